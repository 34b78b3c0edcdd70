//! Detectors carry the letters of a gas transmitter, AT (ISA-5.1, from memory).

use crate::engine::finding::{Finding, Severity};
use crate::model::{ItemKey, Project};

/// A note per detector whose tag begins otherwise.
pub fn check(project: &Project) -> Vec<Finding> {
    project
        .detectors
        .iter()
        .filter(|detector| {
            let letters: String = detector
                .tag
                .chars()
                .take_while(|c| c.is_ascii_alphabetic())
                .collect();
            letters != "AT"
        })
        .map(|detector| {
            Finding::new(
                format!("tag.letters/detector-{}", detector.id),
                Severity::Note,
                format!(
                    "{} is a detector, but its tag does not begin with AT.",
                    detector.tag
                ),
                "Give it a tag such as AT-101, unless the site numbers otherwise.",
            )
            .about(ItemKey::Detector(detector.id))
            .at(detector.floor, detector.at)
        })
        .collect()
}
