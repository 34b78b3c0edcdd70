//! Every detector has a field device, every field device is on a segment.

use crate::engine::checks::listed;
use crate::engine::finding::{Finding, Severity};
use crate::model::{Detector, FieldDevice, ItemKey, Origin, Project};

/// What is not wired yet, as one warning each for detectors and for devices.
pub fn check(project: &Project) -> Vec<Finding> {
    let detectors: Vec<&Detector> = project
        .detectors
        .iter()
        .filter(|detector| project.device_of(detector.id).is_none())
        .filter(|detector| detector.origin != Origin::Existing)
        .collect();
    let devices: Vec<&FieldDevice> = project
        .devices
        .iter()
        .filter(|d| project.segment_of(d.id).is_none())
        .collect();
    let mut found = Vec::new();
    if project.panels.is_empty() && !(detectors.is_empty() && devices.is_empty()) {
        found.push(Finding::new(
            "wiring.no_panel",
            Severity::Warning,
            "There is no control panel, so nothing can be wired.",
            "Place a control panel.",
        ));
    }
    let remedy = "Suggest the wiring, or wire it by hand.";
    if let Some(first) = detectors.first() {
        let tags: Vec<&str> = detectors
            .iter()
            .map(|detector| detector.tag.as_str())
            .collect();
        let message = format!(
            "Not wired yet: {} detectors have no field device ({}). The cable schedule and the \
             price hold no cable for them.",
            tags.len(),
            listed(&tags)
        );
        let finding = Finding::new(
            "wiring.no_device",
            Severity::Warning,
            singular(message),
            remedy,
        );
        found.push(
            finding
                .about(ItemKey::Detector(first.id))
                .at(first.floor, first.at),
        );
    }
    if let Some(first) = devices.first() {
        let tags: Vec<&str> = devices.iter().map(|device| device.tag.as_str()).collect();
        let message = format!(
            "Not wired yet: {} field devices are on no segment ({}). The cable schedule and the \
             price hold no cable for them.",
            tags.len(),
            listed(&tags)
        );
        let finding = Finding::new(
            "wiring.no_segment",
            Severity::Warning,
            singular(message),
            remedy,
        );
        found.push(
            finding
                .about(ItemKey::Device(first.id))
                .at(first.floor, first.at),
        );
    }
    found
}

fn singular(message: String) -> String {
    message
        .replace(": 1 detectors have", ": 1 detector has")
        .replace(": 1 field devices are", ": 1 field device is")
}
