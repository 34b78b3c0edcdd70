//! Where the blockers of a floor are marked: at the thing each is about.
//!
//! A filled diamond, as in the list of findings; the figure in it counts those of one thing.

use std::collections::BTreeMap;

use crate::documents::drawing::caption::{SMALL, text};
use crate::documents::drawing::floor_items::Items;
use crate::documents::drawing::labels::{Labels, frame};
use crate::documents::drawing::{Ink, Mark, Pen, Spot};
use crate::engine::finding::{Finding, Severity};
use crate::geometry::Point;
use crate::model::*;

/// Half the diagonal of a mark, mm of paper: for one finding, and with a figure in it.
const HALF: f64 = 1.5;
const HALF_WITH_COUNT: f64 = 2.3;
/// A mark stands so far out from the middle of its symbol, as a share of the half sizes.
const OUT: f64 = 0.8;

/// A mark of blockers.
#[derive(Debug, Clone, PartialEq)]
pub struct Blocker {
    /// The thing it stands at.
    pub about: ItemKey,
    /// The place of that thing, m.
    pub home: Point,
    /// The middle of the mark.
    pub at: Spot,
    /// Half its diagonal, in the unit of the drawing.
    pub half: f64,
    /// The findings it stands for, by id.
    pub findings: Vec<String>,
}

impl Items<'_> {
    /// The marks of all blockers that have a place on this floor; texts keep off them.
    pub fn blockers(&self, labels: &mut Labels) -> Vec<Blocker> {
        let mut found: BTreeMap<ItemKey, (Option<Point>, Vec<String>)> = BTreeMap::new();
        for finding in &self.scene.results.findings {
            if finding.severity != Severity::Blocker {
                continue;
            }
            if let Some(key) = finding.about.map(|key| self.shown_as(key)) {
                let entry = found.entry(key).or_default();
                entry.0 = entry.0.or(self.place_of(finding));
                entry.1.push(finding.id.clone());
            }
        }
        let marked = found.into_iter();
        marked
            .filter_map(|(about, (at, findings))| self.blocker(about, at, findings, labels))
            .collect()
    }

    fn blocker(
        &self,
        about: ItemKey,
        at: Option<Point>,
        findings: Vec<String>,
        labels: &mut Labels,
    ) -> Option<Blocker> {
        let unit = self.scene.measures.unit;
        let half = unit
            * if findings.len() > 1 {
                HALF_WITH_COUNT
            } else {
                HALF
            };
        let (home, at) = match self.symbol_of(about) {
            Some((home, middle, (width, height))) => {
                // Beside a small symbol, at the corner of one that is not.
                let aside = (1.0 - self.scene.measures.size) * half;
                let at = middle.plus(-OUT * width / 2.0 - aside, -OUT * height / 2.0 - aside);
                labels.take(frame(at, 2.0 * half, 2.0 * half));
                (home, at)
            }
            None => {
                let (home, offers) = self.places_for_mark(about, at, 2.0 * half)?;
                (home, labels.stand(2.0 * half, &offers))
            }
        };
        Some(Blocker {
            about,
            home,
            at,
            half,
            findings,
        })
    }

    /// In a room, or where the finding says.
    fn places_for_mark(
        &self,
        about: ItemKey,
        at: Option<Point>,
        side: f64,
    ) -> Option<(Point, Vec<(Spot, f64)>)> {
        let view = &self.scene.view;
        if let ItemKey::Room(id) = about {
            let rooms = &self.scene.project.rooms;
            let room = rooms
                .get(id)
                .filter(|room| room.floor == self.scene.floor.id)?;
            let home = *room.outline.first()?;
            let outline = view.spots(&room.outline);
            let result = self.scene.results.rooms.get(&id)?;
            let middle = view.spot(result.label_at);
            let mut offers = self.places_in(&outline, middle, (side, side));
            // The names of rooms like the first corner best.
            offers.reverse();
            offers.push((middle, 3.0));
            return Some((home, offers));
        }
        at.map(|at| (at, vec![(view.spot(at), 0.0)]))
    }

    /// A field device is shown by the symbol of its detector.
    fn shown_as(&self, key: ItemKey) -> ItemKey {
        let ItemKey::Device(id) = key else {
            return key;
        };
        let device = self.scene.project.devices.get(id);
        let carried = device.and_then(|device| device.detectors.first());
        match carried {
            Some(&detector) if self.symbol_of(key).is_none() => ItemKey::Detector(detector),
            _ => key,
        }
    }

    fn place_of(&self, finding: &Finding) -> Option<Point> {
        finding
            .at
            .filter(|_| finding.floor == Some(self.scene.floor.id))
    }
}

/// The marks on paper.
pub fn marks(blockers: &[Blocker]) -> Vec<Mark> {
    let marks = blockers
        .iter()
        .map(|blocker| diamond(blocker.at, blocker.half, blocker.findings.len()));
    marks.flatten().collect()
}

/// A filled diamond with a white rim, and a figure where it stands for more than one.
pub fn diamond(at: Spot, half: f64, count: usize) -> Vec<Mark> {
    let corners = vec![
        at.plus(0.0, -half),
        at.plus(half, 0.0),
        at.plus(0.0, half),
        at.plus(-half, 0.0),
    ];
    let mut marks = vec![
        Mark::ring(corners.clone(), Pen::solid(0.7, Ink::White)),
        Mark::Area {
            rings: vec![corners],
            ink: Ink::Black,
            opacity: 1.0,
        },
    ];
    if count > 1 {
        let figure = text(at.plus(0.0, 1.0), SMALL, count.to_string());
        marks.push(figure.bold().middle().ink(Ink::White).mark());
    }
    marks
}
