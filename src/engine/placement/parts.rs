//! Which part of the catalogue measures a gas over the range its set-points ask for.

use crate::engine::gas::{Substances, sensing};
use crate::engine::mounting;
use crate::engine::results::SetPointResult;
use crate::engine::setpoints::{beyond_range, converted, lfl_of};
use crate::model::*;

/// The lowest set-point must be at least this share of the range, or the reading is too coarse.
const FINEST_SHARE: f64 = 0.01;

/// What the catalogue offers for a gas.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Offer<'a> {
    /// The cheapest part whose range holds the set-points.
    Fits(&'a CatalogueItem),
    /// The cheapest part that measures it, though its range does not hold the set-points.
    WrongRange(&'a CatalogueItem),
    Nothing,
}

impl<'a> Offer<'a> {
    /// The part to be taken.
    pub fn item(self) -> Option<&'a CatalogueItem> {
        match self {
            Offer::Fits(item) | Offer::WrongRange(item) => Some(item),
            Offer::Nothing => None,
        }
    }
}

/// The cheapest part that measures `key`; ties go to the lower part number.
pub fn offer<'a>(project: &'a Project, key: &str, points: &[SetPointResult]) -> Offer<'a> {
    let known = Substances::of(project).figures(key);
    let never_fits = |principle| {
        let known = known.as_ref();
        known.is_some_and(|known| sensing::never_fit(principle, known))
    };
    let mut measuring: Vec<&CatalogueItem> = project
        .catalogue
        .items
        .iter()
        .filter(|item| match &item.kind {
            ItemKind::DetectorDevice {
                measures,
                principle,
                ..
            } => {
                let names = |own: &String| mounting::same_gas(project, own, key);
                measures.iter().any(names) && !never_fits(*principle)
            }
            _ => false,
        })
        .collect();
    measuring.sort_by(|a, b| {
        a.price
            .get()
            .total_cmp(&b.price.get())
            .then_with(|| a.part.cmp(&b.part))
    });
    let fits = measuring.iter().find(|item| {
        beyond_range(&item.kind, key, project, points).is_none()
            && is_fine_enough(&item.kind, key, project, points)
    });
    match (fits, measuring.first()) {
        (Some(item), _) => Offer::Fits(item),
        (None, Some(item)) => Offer::WrongRange(item),
        (None, None) => Offer::Nothing,
    }
}

fn is_fine_enough(
    part: &ItemKind,
    key: &str,
    project: &Project,
    points: &[SetPointResult],
) -> bool {
    let ItemKind::DetectorDevice {
        range_high,
        range_unit,
        ..
    } = part
    else {
        return false;
    };
    let lfl = lfl_of(project, key);
    points.iter().all(|point| {
        let high = converted(*range_high, *range_unit, point.value.unit, lfl);
        high.is_some_and(|high| point.value.value >= FINEST_SHARE * high)
    })
}
