//! What the marked areas of a floor mean for the place of a detector: where none may be, and where
//! one is hard to reach for calibration. None acts through a wall.

use crate::engine::airspace::{Airspaces, MarkedPart};
use crate::geometry::Point;
use crate::model::basis::{self, BasisItem};
use crate::model::*;

/// One reaches this far beyond the edge of a platform, m (common practice, no source).
const BEYOND_PLATFORM_M: f64 = 0.6;

/// Rounding of places and heights, m.
const ROUNDED_M: f64 = 1e-6;

/// The area in or near which a detector of an airspace may not be, with how far off it is round the
/// walls (0 inside), m.
pub fn forbidding<'a>(
    spaces: &Airspaces<'a>,
    space: usize,
    at: Point,
) -> Option<(&'a MarkedArea, f64)> {
    let near = spaces.marked_in(space).filter_map(|part| {
        let clear = match keeps_clear(part.area.kind)? {
            Some(item) => spaces.project.basis.get(item),
            None => 0.0,
        };
        let off = part.off(spaces, at, clear)?;
        (off == 0.0 || off < clear - ROUNDED_M).then_some((part.area, off))
    });
    near.min_by(|a, b| a.1.total_cmp(&b.1))
}

/// The area in or near which a detector may not be, as [`forbidding`] finds it.
pub fn in_the_way<'a>(
    spaces: &Airspaces<'a>,
    detector: &Detector,
) -> Option<(&'a MarkedArea, f64)> {
    let room = spaces.room_at(detector.floor, detector.at)?;
    forbidding(spaces, spaces.space_of(room.id), detector.at)
}

/// Why a detector of an airspace at this height, m above finished floor, is hard to reach for
/// calibration.
pub fn hard_to_reach(
    spaces: &Airspaces<'_>,
    space: usize,
    at: Point,
    height: f64,
) -> Option<HardToReach> {
    let basis = &spaces.project.basis;
    let mut behind = spaces.marked_in(space);
    let hidden = (0.0..basis.get(&basis::ACCESS_LOW)).contains(&height);
    let hides = |part: &MarkedPart<'_>| {
        part.area.kind == MarkedKind::Obstructed && part.outline.contains(at)
    };
    if hidden && behind.any(hides) {
        return Some(HardToReach::Obstructed);
    }
    let above = height - stand(spaces, space, at, height);
    let is_high = above > basis.get(&basis::ACCESS_HEIGHT) + ROUNDED_M;
    is_high.then_some(HardToReach::High { above })
}

/// Height of what one can stand on below a place, m.
fn stand(spaces: &Airspaces<'_>, space: usize, at: Point, height: f64) -> f64 {
    let platforms = spaces.marked_in(space).filter(|part| {
        let off = || part.off(spaces, at, BEYOND_PLATFORM_M);
        part.area.kind == MarkedKind::Platform && off().is_some()
    });
    let levels = platforms.map(|part| part.area.level_in(&spaces.project.basis));
    levels.filter(|level| *level < height).fold(0.0, f64::max)
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
