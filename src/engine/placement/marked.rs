//! What the marked areas of a floor mean for the place of a detector: where none may be, and where
//! one is hard to reach for calibration.

use crate::geometry::{Point, Polygon};
use crate::model::basis::{self, BasisItem};
use crate::model::*;

/// One reaches this far beyond the edge of a platform, m (common practice, no source).
const BEYOND_PLATFORM_M: f64 = 0.6;

/// Rounding of places and heights, m.
const ROUNDED_M: f64 = 1e-6;

/// The marked areas of one floor.
pub struct MarkedAreas<'a> {
    project: &'a Project,
    areas: Vec<(&'a MarkedArea, Polygon)>,
}

impl<'a> MarkedAreas<'a> {
    /// Those of `floor`.
    pub fn on(project: &'a Project, floor: FloorId) -> Self {
        let here = project.marked.iter().filter(|one| one.floor == floor);
        let areas = here.map(|one| (one, Polygon::new(one.outline.clone())));
        MarkedAreas {
            project,
            areas: areas.collect(),
        }
    }

    /// The area in or near which a detector may not be, with how far off it is (0 inside), m.
    pub fn forbidding(&self, at: Point) -> Option<(&'a MarkedArea, f64)> {
        let off = |outline: &Polygon| match outline.contains(at) {
            true => 0.0,
            false => outline.boundary_distance(at),
        };
        let all = self.areas.iter().filter_map(|(area, outline)| {
            let clear = match keeps_clear(area.kind)? {
                Some(item) => self.project.basis.get(item),
                None => 0.0,
            };
            let off = off(outline);
            (off == 0.0 || off < clear - ROUNDED_M).then_some((*area, off))
        });
        all.min_by(|a, b| a.1.total_cmp(&b.1))
    }

    /// Why a detector at this height, m above finished floor, is hard to reach for calibration.
    pub fn hard_to_reach(&self, at: Point, height: f64) -> Option<HardToReach> {
        let basis = &self.project.basis;
        let over = |kind| {
            let of_kind = self.areas.iter().filter(move |(area, _)| area.kind == kind);
            of_kind.filter(|(_, outline)| outline.contains(at))
        };
        let hidden = (0.0..basis.get(&basis::ACCESS_LOW)).contains(&height);
        if hidden && over(MarkedKind::Obstructed).next().is_some() {
            return Some(HardToReach::Obstructed);
        }
        let above = height - self.stand(at, height);
        let is_high = above > basis.get(&basis::ACCESS_HEIGHT) + ROUNDED_M;
        is_high.then_some(HardToReach::High { above })
    }

    /// Height of what one can stand on below a place, m.
    fn stand(&self, at: Point, height: f64) -> f64 {
        let platforms = self.areas.iter().filter(|(area, outline)| {
            let near = outline.contains(at) || outline.boundary_distance(at) <= BEYOND_PLATFORM_M;
            area.kind == MarkedKind::Platform && near
        });
        let levels = platforms.map(|(area, _)| area.level_in(&self.project.basis));
        levels.filter(|level| *level < height).fold(0.0, f64::max)
    }
}

/// Why a detector is hard to reach.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum HardToReach {
    /// Near the floor, behind a bench or plant.
    Obstructed,
    /// So far above what one can stand on, m.
    High { above: f64 },
}

/// Whether detectors are kept out of areas of a kind, and by which item how far from them.
fn keeps_clear(kind: MarkedKind) -> Option<Option<&'static BasisItem>> {
    match kind {
        MarkedKind::Heat => Some(Some(&basis::HEAT_CLEAR)),
        MarkedKind::Water => Some(Some(&basis::WATER_CLEAR)),
        MarkedKind::KeepOut => Some(None),
        MarkedKind::Pit | MarkedKind::Obstructed | MarkedKind::Platform => None,
    }
}
