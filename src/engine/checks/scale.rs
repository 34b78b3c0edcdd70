//! A plan sheet under drawn rooms must have a scale: without it every length is a guess.

use crate::engine::finding::{Finding, Severity};
use crate::model::{ItemKey, Project};

/// One blocker per floor whose sheet has no scale although rooms are drawn on it.
pub fn check(project: &Project) -> Vec<Finding> {
    project
        .floors
        .iter()
        .filter(|floor| {
            floor
                .sheet
                .as_ref()
                .is_some_and(|sheet| sheet.scale.is_none())
        })
        .filter(|floor| project.rooms_on(floor.id).next().is_some())
        .map(|floor| {
            Finding::new(
                format!("plan.scale/floor-{}", floor.id),
                Severity::Blocker,
                format!(
                    "The plan sheet of {} has no scale; its lengths, and all that follows from \
                     them, are guesses.",
                    floor.name
                ),
                "Set the scale: click the two ends of a dimension and type its length.",
            )
            .about(ItemKey::Floor(floor.id))
        })
        .collect()
}
