//! How much of a whole floor is to be watched, where that is less than all of it.

use crate::engine::coverage::demands::Need;

/// What of a floor may stay unwatched. Areas are taken to the square millimetre, here and in the
/// cover alike: that is all the tolerance there is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spare {
    /// Area of each cell, mm2.
    pub areas: Vec<u64>,
    /// Area that may stay unwatched, mm2.
    pub most: u64,
}

impl Spare {
    /// Whether the cells that are short of detectors are no more than may be.
    pub fn allows(&self, is_short: impl Fn(usize) -> bool) -> bool {
        let cells = self.areas.iter().enumerate();
        let short = cells.filter(|(cell, _)| is_short(*cell));
        short.map(|(_, area)| area).sum::<u64>() <= self.most
    }
}

impl Need {
    /// What of it may stay unwatched; `None` where all of it is to be watched.
    pub fn spare(&self) -> Option<Spare> {
        let (asked, size) = (self.demand.asked?, self.demand.size?);
        let areas: Vec<u64> = self.cells.iter().map(|cell| square_mm(cell.area)).collect();
        let all: u64 = areas.iter().sum();
        let most = (all as f64 * (1.0 - asked.value / size.value)).round() as u64;
        Some(Spare { areas, most })
    }

    /// How many count for it, of which so many count for each cell: for its least watched cell,
    /// or, where less than all is asked for, for as much as that.
    pub fn watching(&self, counts: &[usize]) -> usize {
        let least = counts.iter().copied().min().unwrap_or(0);
        let Some(spare) = self.spare() else {
            return least;
        };
        let enough = |n: &usize| spare.allows(|cell| counts[cell] < *n);
        let wanted = self.demand.wanted();
        (least..=wanted).rev().find(enough).unwrap_or(least)
    }
}

/// An area of so many m2 to the square millimetre, mm2.
fn square_mm(area: f64) -> u64 {
    (area * 1e6).round() as u64
}
