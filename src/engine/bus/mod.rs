//! Bus segments: their cables, currents and volts, and how devices are shared out among them.
//!
//! Constant-current model: every device draws its alarm current at any voltage, the panel gives
//! its least bus voltage, the conductor is as warm as the basis says. Routes come from `routing`.
//! Ohm's and Kirchhoff's laws; conductor resistance of IEC 60228.

pub mod conductor;
mod formulas;
mod layout;
pub mod line;
mod segment;
#[cfg(test)]
mod tests;
mod wire;

use std::collections::BTreeMap;

use crate::engine::finding::Finding;
use crate::engine::formula::Formula;
use crate::engine::results::SegmentResult;
use crate::engine::routing::Router;
use crate::engine::trace::Trace;
use crate::model::{Project, SegmentId};

pub use formulas::{COUNT_LESS_SPARE, CURRENT_LESS_SPARE, LENGTH_LESS_SPARE, TOTAL_LENGTH};
pub use segment::panel_limits;
pub use wire::wire;

/// The formulas of this module.
pub static FORMULAS: &[&Formula] = &[
    &conductor::RESISTANCE_BETWEEN,
    &conductor::RESISTANCE_WARM,
    &formulas::SLACK,
    &formulas::TERMINATIONS,
    &formulas::CABLE_LENGTH,
    &formulas::TOTAL_LENGTH,
    &formulas::CABLE_RESISTANCE,
    &formulas::CURRENT_SUM,
    &formulas::DROP,
    &formulas::VOLTS,
    &formulas::COUNT_LESS_SPARE,
    &formulas::CURRENT_LESS_SPARE,
    &formulas::LENGTH_LESS_SPARE,
];

/// Routes and computes every segment; a cable without a way is a blocker in `findings`.
pub fn step(
    project: &Project,
    router: &Router,
    trace: &mut Trace,
    findings: &mut Vec<Finding>,
) -> BTreeMap<SegmentId, SegmentResult> {
    let shared = segment::Shared::new(project, trace);
    project
        .segments
        .iter()
        .map(|segment| {
            (
                segment.id,
                segment::compute(project, segment, router, &shared, trace, findings),
            )
        })
        .collect()
}
