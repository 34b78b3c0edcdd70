//! Where every tag and name of a floor stands, at any scale: the one answer for paper and screen.

use std::collections::BTreeSet;

use crate::documents::drawing::floor::{Scene, bounds};
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

/// Words on a screen stay this near to what is drawn, px.
const EDGE: f64 = 31.0;

/// The words of a floor on a screen.
#[derive(Debug, Clone, PartialEq)]
pub struct FloorLabels {
    pub pixels_per_metre: f64,
    pub words: Vec<Words>,
    pub asides: Vec<SymbolAside>,
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
        words: Vec::new(),
        asides: Vec::new(),
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
    let placed = settle(&items, room);
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
/// left out, tags choose before names, and one that finds no good place is shortened.
pub fn settle(items: &Items, mut labels: Labels) -> Vec<Placed> {
    let mut placed = Vec::new();
    items.claim(&mut labels);
    if items.scene.measures.drops_names {
        for detail in [Detail::Near, Detail::Short] {
            let done: BTreeSet<ItemKey> = placed.iter().map(|label: &Placed| label.key).collect();
            items.tags(&mut labels, detail, &done);
            placed.extend(labels.settle(|label| is_good(items, label, detail)));
        }
        items.names(&mut labels);
        placed.extend(labels.settle(|label| is_good(items, label, Detail::Near)));
    } else {
        items.tags(&mut labels, Detail::Whole, &BTreeSet::new());
        items.names(&mut labels);
        placed.extend(labels.settle(|_| true));
    }
    placed
}

/// Words that would lie over a wall wait until one looks closer, but for the last form of a
/// detector's tag and for one that was put there by hand.
fn is_good(items: &Items, label: &Placed, detail: Detail) -> bool {
    let may_lie_over_a_wall = match label.key {
        ItemKey::Detector(id) => {
            let detector = items.scene.project.detectors.get(id);
            detail == Detail::Short || detector.is_some_and(|it| it.tag_offset.is_some())
        }
        _ => false,
    };
    label.clear && (may_lie_over_a_wall || label.over < WALL_PRICE)
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
