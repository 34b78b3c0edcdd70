//! Every part that is to be bought stands in the catalogue, as the kind of part it is used for.

use crate::engine::finding::{Finding, Severity};
use crate::model::{CatalogueItem, ItemKey, ItemKind, Origin, Project};

/// Blockers for parts the catalogue does not have, warnings for detectors without a part.
pub fn check(project: &Project) -> Vec<Finding> {
    let mut found = detectors(project);
    for device in &project.devices {
        let fits = |item: &CatalogueItem| item.load().is_some();
        if !has(project, &device.part, fits) {
            let key = ItemKey::Device(device.id);
            let finding = missing(key, &device.tag, &device.part, "field device");
            found.push(finding.at(device.floor, device.at));
        }
    }
    for panel in &project.panels {
        if !has(project, &panel.part, |item| {
            matches!(item.kind, ItemKind::Panel(_))
        }) {
            let key = ItemKey::Panel(panel.id);
            let finding = missing(key, &panel.tag, &panel.part, "control panel");
            found.push(finding.at(panel.floor, panel.at));
        }
    }
    for segment in &project.segments {
        if !has(project, &segment.cable, |item| {
            matches!(item.kind, ItemKind::Cable { .. })
        }) {
            let key = ItemKey::Segment(segment.id);
            found.push(missing(key, &segment.tag, &segment.cable, "cable"));
        }
    }
    found
}

/// Detectors that nobody chose a part for; a part that does not fit is `coverage`'s to find.
fn detectors(project: &Project) -> Vec<Finding> {
    project
        .detectors
        .iter()
        .filter(|detector| detector.part.is_none() && detector.origin != Origin::Existing)
        .filter(|detector| project.device_of(detector.id).is_none())
        .map(|detector| {
            Finding::new(
                format!("catalogue.no_part/detector-{}", detector.id),
                Severity::Warning,
                format!(
                    "{} has no part; the price holds nothing for it.",
                    detector.tag
                ),
                "Choose a part of the catalogue.",
            )
            .about(ItemKey::Detector(detector.id))
            .at(detector.floor, detector.at)
        })
        .collect()
}

fn has(project: &Project, part: &str, fits: impl Fn(&CatalogueItem) -> bool) -> bool {
    project.catalogue.item(part).is_some_and(fits)
}

fn missing(key: ItemKey, tag: &str, part: &str, what: &str) -> Finding {
    let mut message = match part {
        "" => format!("{tag} has no part yet."),
        part => format!("{tag} has part {part:?}, which is no {what} of the catalogue."),
    };
    let remedy = match part {
        "" => format!("Choose a {what} of the catalogue."),
        _ => format!("Choose a {what} of the catalogue, or add the part to it."),
    };
    if matches!(key, ItemKey::Panel(_)) {
        message.push_str(" The volts and limits of its segments are not known.");
    }
    Finding::new(
        format!(
            "catalogue.part/{}-{}",
            key.noun().replace(' ', "_"),
            key.number()
        ),
        Severity::Blocker,
        message,
        remedy,
    )
    .about(key)
}
