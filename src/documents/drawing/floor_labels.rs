//! Where every tag and name of a floor stands, at any scale: the one answer for paper and screen.

use std::collections::BTreeSet;

use crate::documents::drawing::floor::{Scene, bounds};
use crate::documents::drawing::floor_blockers::Blocker;
use crate::documents::drawing::floor_items::Items;
use crate::documents::drawing::floor_words::Detail;
use crate::documents::drawing::labels::{Labels, Placed, frame};
use crate::documents::drawing::measures::Measures;
use crate::documents::drawing::view::View;
use crate::documents::drawing::walls::{WALL_PRICE, walls};
use crate::documents::drawing::{Anchor, Spot};
use crate::engine::Results;
use crate::geometry::Point;
use crate::geometry::labels::Frame;
use crate::model::{Floor, ItemKey, Project};

/// What looks for a place in one turn: tags that were put somewhere by hand, names of rooms, tags
/// of detectors, names of sources.
#[derive(Debug, Clone, Copy)]
enum What {
    TagsByHand,
    Rooms,
    Tags,
    Names,
}

/// The turns in which words choose their places on a screen.
const TURNS: [(What, Detail); 9] = [
    (What::TagsByHand, Detail::Near),
    (What::Rooms, Detail::Near),
    (What::Tags, Detail::Near),
    (What::Rooms, Detail::Beside),
    (What::Rooms, Detail::Short),
    (What::Tags, Detail::Short),
    (What::Names, Detail::Near),
    (What::Tags, Detail::Far),
    (What::Names, Detail::Far),
];

/// Words on a screen stay this near to what is drawn, px.
const EDGE: f64 = 31.0;

/// The words of a floor on a screen.
#[derive(Debug, Clone, PartialEq)]
pub struct FloorLabels {
    pub pixels_per_metre: f64,
    /// Size of symbols beside what they are closer up.
    pub symbol_size: f64,
    pub words: Vec<Words>,
    pub asides: Vec<SymbolAside>,
    pub blockers: Vec<BlockerMark>,
}

/// A tag or name.
#[derive(Debug, Clone, PartialEq)]
pub struct Words {
    pub about: ItemKey,
    /// Lines of text; the first is bold if `bold`.
    pub lines: Vec<String>,
    pub bold: bool,
    /// Middle of the block, m.
    pub at: Point,
    /// To which side of the block its lines are set.
    pub anchor: Anchor,
    /// Its size, px.
    pub width: f64,
    pub height: f64,
    /// Whether a line leads from it to its symbol.
    pub leader: bool,
}

/// A symbol that stands aside from its true place, so that it covers no other.
#[derive(Debug, Clone, PartialEq)]
pub struct SymbolAside {
    pub about: ItemKey,
    /// How far to the right and down, px.
    pub right: f64,
    pub down: f64,
}

/// Where blockers are marked: at the thing they are about.
#[derive(Debug, Clone, PartialEq)]
pub struct BlockerMark {
    pub about: ItemKey,
    /// The place of that thing, m.
    pub home: Point,
    /// From there to the middle of the mark, to the right and down, px.
    pub right: f64,
    pub down: f64,
    /// Half the mark's diagonal, px.
    pub half: f64,
    /// Findings by id.
    pub findings: Vec<String>,
}

/// Where the words of `floor` stand on a screen with so many CSS pixels for a metre. Words that
/// find no free place are left out: closer up they will find one.
///
/// At a larger scale the same places in metres are as free, since only the gaps grow.
pub fn floor_labels(
    project: &Project,
    results: &Results,
    floor: &Floor,
    pixels_per_metre: f64,
) -> FloorLabels {
    let view = View::screen(pixels_per_metre);
    let scene = Scene {
        project,
        results,
        floor,
        view,
        measures: Measures::screen(pixels_per_metre),
    };
    let mut labels = FloorLabels {
        pixels_per_metre,
        symbol_size: scene.measures.size,
        words: Vec::new(),
        asides: Vec::new(),
        blockers: Vec::new(),
    };
    let Some(bounds) = bounds(project, results, floor) else {
        return labels;
    };
    let window = frame(
        view.spot(bounds.centre()),
        view.long(bounds.width()) + 2.0 * EDGE,
        view.long(bounds.height()) + 2.0 * EDGE,
    );
    let mut room = Labels::within(window, scene.measures);
    walls(&scene, &mut room);
    let items = Items::of(&scene, room.lines());
    items.cables(&mut room);
    let (placed, blockers) = settle(&items, room);
    labels.blockers = blockers
        .into_iter()
        .map(|mark| blocker(&view, mark))
        .collect();
    labels.words = placed
        .into_iter()
        .map(|label| words(&view, label))
        .collect();
    labels.asides = items
        .asides()
        .into_iter()
        .map(|aside| SymbolAside {
            about: aside.key,
            right: aside.at.x - aside.home.x,
            down: aside.at.y - aside.home.y,
        })
        .collect();
    labels
}

/// Finds the places of all words of `items`, off what `labels` knows already. Where words may be
/// left out, the names of rooms choose first, then tags, then the names of sources, and one that
/// finds no good place is shortened or led to from further off.
///
/// With them the marks of blockers, which stand before any word.
pub fn settle(items: &Items, mut labels: Labels) -> (Vec<Placed>, Vec<Blocker>) {
    let mut placed: Vec<Placed> = Vec::new();
    items.claim(&mut labels);
    let blockers = items.blockers(&mut labels);
    let none = BTreeSet::new();
    if !items.scene.measures.drops_names {
        items.tags(&mut labels, Detail::Whole, &none);
        items.rooms(&mut labels, Detail::Whole, &none);
        items.names(&mut labels, Detail::Whole, &none);
        items.segment_tags(&mut labels);
        return (labels.settle(|_| true), blockers);
    }
    for (what, detail) in TURNS {
        let done: BTreeSet<ItemKey> = placed.iter().map(|label| label.key).collect();
        match what {
            What::TagsByHand => {
                let detectors = items.scene.project.detectors.iter();
                let others = detectors.filter(|detector| detector.tag_offset.is_none());
                let others = others.map(|detector| ItemKey::Detector(detector.id));
                items.tags(&mut labels, detail, &others.collect());
            }
            What::Rooms => items.rooms(&mut labels, detail, &done),
            // Symbols too small to bear their letters bear no words either.
            What::Tags | What::Names if items.scene.measures.size < 1.0 => {}
            What::Tags => items.tags(&mut labels, detail, &done),
            What::Names => items.names(&mut labels, detail, &done),
        }
        placed.extend(labels.settle(|label| is_good(items, label, detail)));
    }
    items.segment_tags(&mut labels);
    placed.extend(labels.settle(|label| is_good(items, label, Detail::Near)));
    (placed, blockers)
}

/// Words that would lie over a wall wait until one looks closer, but for the short form of a
/// detector's tag and for one that was put there by hand. The name of a source stands in no other
/// room than its own.
fn is_good(items: &Items, label: &Placed, detail: Detail) -> bool {
    if let ItemKey::Source(id) = label.key
        && items.is_in_another_room(id, Spot::at(label.frame.middle))
    {
        return false;
    }
    let may_lie_over_a_wall = match label.key {
        ItemKey::Detector(id) => {
            let detector = items.scene.project.detectors.get(id);
            let short = matches!(detail, Detail::Short | Detail::Far);
            short || detector.is_some_and(|it| it.tag_offset.is_some())
        }
        _ => false,
    };
    label.clear && (may_lie_over_a_wall || label.over < WALL_PRICE)
}

fn blocker(view: &View, mark: Blocker) -> BlockerMark {
    let home = view.spot(mark.home);
    BlockerMark {
        about: mark.about,
        home: mark.home,
        right: mark.at.x - home.x,
        down: mark.at.y - home.y,
        half: mark.half,
        findings: mark.findings,
    }
}

fn words(view: &View, label: Placed) -> Words {
    let Frame {
        middle,
        width,
        height,
    } = label.frame;
    Words {
        about: label.key,
        lines: label.block.lines,
        bold: label.block.bold,
        at: view.point(Spot::at(middle)),
        anchor: label.anchor,
        width,
        height,
        leader: label.leader.is_some(),
    }
}
