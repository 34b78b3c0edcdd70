//! Something sounds an alarm on every floor that is watched.
//!
//! Whether it is heard everywhere is not computed: the note asks the designer to see to it.

use crate::engine::finding::{Finding, Severity};
use crate::model::{FieldDevice, ItemKey, ItemKind, Project};

/// A note for each floor that has detectors and no sounder.
pub fn check(project: &Project) -> Vec<Finding> {
    let silent = project.floors.iter().filter_map(|floor| {
        let detectors = project.detectors.iter();
        let n_detectors = detectors.filter(|it| it.floor == floor.id).count();
        let mut devices = project.devices.iter();
        let sounds = devices.any(|it| it.floor == floor.id && is_sounder(project, it));
        if n_detectors == 0 || sounds {
            return None;
        }
        let message = format!("Nothing sounds an alarm on {} yet.", floor.name);
        let remedy = "Place sounders so that every room watched hears one, or state to the client \
                      what sounds instead.";
        let id = format!("alarm.silent/floor-{}", floor.id);
        let finding = Finding::new(id, Severity::Note, message, remedy);
        let mut finding = finding.about(ItemKey::Floor(floor.id));
        finding.floor = Some(floor.id);
        Some(finding)
    });
    silent.collect()
}

/// By its part; one without a part of the catalogue by the letters of its tag (ISA-5.1: XA).
fn is_sounder(project: &Project, device: &FieldDevice) -> bool {
    match project.catalogue.item(&device.part) {
        Some(item) => matches!(item.kind, ItemKind::Sounder { .. }),
        None => device.tag.starts_with("XA"),
    }
}
