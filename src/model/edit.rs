//! Edits: the only way a project changes, for the browser, imports and accepted suggestions alike.

mod check;
mod mixtures;
mod substances;
mod limits;
mod points;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::model::catalogue::Catalogue;
use crate::model::detector::Detector;
use crate::model::floor::Floor;
use crate::model::ids::*;
use crate::model::marked::MarkedArea;
use crate::model::mixture::Mixture;
use crate::model::project::{Head, Project};
use crate::model::register::{Entry, Register};
use crate::model::room::{Barrier, Opening, Room};
use crate::model::source::ReleaseSource;
use crate::model::stated::StatedSubstance;
use crate::model::terminal::AirTerminal;
use crate::model::wiring::{Containment, ControlPanel, FieldDevice, Riser, Segment};

pub use check::check;

/// One change of a project.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "do", rename_all = "snake_case", deny_unknown_fields)]
pub enum Edit {
    /// Adds a thing whose id is not yet in use.
    Add { item: Item },
    /// Puts a thing in the place of the one with its id.
    Change { item: Item },
    /// Takes a thing away, with what cannot stand without it.
    Remove { key: ItemKey },
    /// Changes the title block.
    SetHead { head: Head },
    /// Changes an assumption of the basis of design; `null` goes back to the default.
    SetBasis { key: String, value: Option<f64> },
    /// Puts another catalogue in place.
    SetCatalogue { catalogue: Catalogue },
    /// Several changes as one: all of them or none.
    All { label: String, edits: Vec<Edit> },
}

macro_rules! items {
    ($($variant:ident($type:ty, $id:ty) in $field:ident, $tag:literal;)*) => {
        /// Anything in a project that has an id.
        #[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
        #[serde(tag = "kind", content = "value")]
        pub enum Item { $(#[serde(rename = $tag)] $variant($type)),* }

        /// Names a thing in a project.
        #[derive(
            Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
        )]
        #[serde(tag = "kind", content = "id")]
        pub enum ItemKey { $(#[serde(rename = $tag)] $variant($id)),* }

        impl Item {
            /// The thing's name.
            pub fn key(&self) -> ItemKey {
                match self { $(Item::$variant(thing) => ItemKey::$variant(thing.id())),* }
            }
        }

        impl ItemKey {
            /// What one of them is called.
            pub const fn noun(self) -> &'static str {
                match self { $(ItemKey::$variant(_) => <$type as Entry>::NOUN),* }
            }

            /// Its number.
            pub fn number(self) -> u32 {
                match self { $(ItemKey::$variant(id) => id.0),* }
            }
        }

        impl Project {
            /// Whether the project has this thing.
            pub fn has(&self, key: ItemKey) -> bool {
                match key { $(ItemKey::$variant(id) => self.$field.has(id)),* }
            }

            /// The thing of this name.
            pub fn item(&self, key: ItemKey) -> Option<Item> {
                match key {
                    $(ItemKey::$variant(id) => self.$field.get(id).cloned().map(Item::$variant)),*
                }
            }

            fn put(&mut self, item: Item) {
                match item { $(Item::$variant(thing) => self.$field.put(thing)),* }
            }

            fn take(&mut self, key: ItemKey) {
                match key { $(ItemKey::$variant(id) => drop(self.$field.take(id))),* }
            }
        }
    };
}

items! {
    Floor(Floor, FloorId) in floors, "floor";
    Room(Room, RoomId) in rooms, "room";
    Barrier(Barrier, BarrierId) in barriers, "barrier";
    Opening(Opening, OpeningId) in openings, "opening";
    Source(ReleaseSource, SourceId) in sources, "source";
    Terminal(AirTerminal, AirTerminalId) in terminals, "terminal";
    Marked(MarkedArea, MarkedAreaId) in marked, "marked";
    Detector(Detector, DetectorId) in detectors, "detector";
    Device(FieldDevice, DeviceId) in devices, "device";
    Panel(ControlPanel, PanelId) in panels, "panel";
    Containment(Containment, ContainmentId) in containments, "containment";
    Riser(Riser, RiserId) in risers, "riser";
    Segment(Segment, SegmentId) in segments, "segment";
    Mixture(Mixture, MixtureId) in mixtures, "mixture";
    Substance(StatedSubstance, SubstanceId) in substances, "substance";
}

/// Why an edit was refused. The project is unchanged.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum EditError {
    #[error("There is already a {noun} {id}; give the new one another id.", noun = .0.noun(), id = .0.number())]
    Taken(ItemKey),
    #[error("There is no {noun} {id}; it may have been removed. Reload the page.", noun = .0.noun(), id = .0.number())]
    Missing(ItemKey),
    /// A field that cannot be as it is.
    #[error("{field} is {value}: {remedy}")]
    Field {
        field: String,
        value: String,
        remedy: String,
    },
}

impl EditError {
    /// An error that names the field, its value and the remedy.
    pub fn field(
        field: impl Into<String>,
        value: impl std::fmt::Display,
        remedy: impl Into<String>,
    ) -> Self {
        EditError::Field {
            field: field.into(),
            value: value.to_string(),
            remedy: remedy.into(),
        }
    }
}

/// The project after the edit; the project given is not touched.
///
/// # Errors
/// [`EditError`] names what cannot be as it is; then nothing has changed.
pub fn apply(project: &Project, edit: &Edit) -> Result<Project, EditError> {
    let mut next = project.clone();
    change(&mut next, edit)?;
    check(&next)?;
    Ok(next)
}

fn change(project: &mut Project, edit: &Edit) -> Result<(), EditError> {
    match edit {
        Edit::Add { item } if project.has(item.key()) => return Err(EditError::Taken(item.key())),
        Edit::Add { item } => project.put(item.clone()),
        Edit::Change { item } if !project.has(item.key()) => {
            return Err(EditError::Missing(item.key()));
        }
        Edit::Change { item } => {
            carry_device_along(project, item);
            project.put(item.clone());
        }
        Edit::Remove { key } if !project.has(*key) => return Err(EditError::Missing(*key)),
        Edit::Remove { key } => {
            mixtures::may_go(project, *key)?;
            substances::may_go(project, *key)?;
            remove(project, *key);
        }
        Edit::SetHead { head } => project.head = head.clone(),
        Edit::SetBasis { key, value } => {
            check::basis_value(key, *value)?;
            project.basis.set(key, *value);
        }
        Edit::SetCatalogue { catalogue } => project.catalogue = catalogue.clone(),
        Edit::All { edits, .. } => {
            for edit in edits {
                change(project, edit)?;
            }
        }
    }
    Ok(())
}

/// A field device that stands where its detector stands moves with it.
fn carry_device_along(project: &mut Project, item: &Item) {
    let Item::Detector(after) = item else { return };
    let Some(before) = project.detectors.get(after.id) else {
        return;
    };
    let (was_at, was_height) = (before.at, before.height);
    for device in project.devices.iter_mut() {
        let stands_there = device.at == was_at && device.height == was_height;
        if device.detectors.contains(&after.id) && stands_there {
            device.at = after.at;
            device.height = after.height;
            device.floor = after.floor;
        }
    }
}

/// Takes a thing away, with what cannot stand without it.
fn remove(project: &mut Project, key: ItemKey) {
    project.take(key);
    match key {
        ItemKey::Floor(floor) => remove_floor(project, floor),
        ItemKey::Panel(panel) => project.segments.retain(|segment| segment.panel != panel),
        _ => {}
    }
    drop_orphans(project);
}

fn remove_floor(project: &mut Project, floor: FloorId) {
    project.rooms.retain(|thing| thing.floor != floor);
    project.barriers.retain(|thing| thing.floor != floor);
    project.openings.retain(|thing| thing.floor != floor);
    project.sources.retain(|thing| thing.floor != floor);
    project.terminals.retain(|thing| thing.floor != floor);
    project.marked.retain(|thing| thing.floor != floor);
    project.detectors.retain(|thing| thing.floor != floor);
    project.devices.retain(|thing| thing.floor != floor);
    project.panels.retain(|thing| thing.floor != floor);
    project.containments.retain(|thing| thing.floor != floor);
    project
        .risers
        .retain(|thing| thing.lowest != floor && thing.highest != floor);
}

/// Field devices lose detectors that are gone, and go when they have lost the last; segments lose
/// devices and panels that are gone, and go when they are empty.
fn drop_orphans(project: &mut Project) {
    let detectors = project.detectors.clone();
    project.devices.retain(|device| {
        device.detectors.is_empty() || device.detectors.iter().any(|&id| detectors.has(id))
    });
    for device in project.devices.iter_mut() {
        device.detectors.retain(|&id| detectors.has(id));
    }
    let devices: Register<FieldDevice> = project.devices.clone();
    let panels = project.panels.clone();
    for segment in project.segments.iter_mut() {
        segment.devices.retain(|&id| devices.has(id));
    }
    project
        .segments
        .retain(|segment| !segment.devices.is_empty() && panels.has(segment.panel));
}

#[cfg(test)]
mod tests;
