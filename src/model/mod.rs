//! The designer's statement of a project, and the only way to change it.
//!
//! A [`Project`] is a value. It changes only through [`apply`]. Nothing computed is stored in it:
//! numbers come from `engine`. The same structures are the project file (see [`ProjectFile`]).

pub mod citation;
pub mod ids;
pub mod register;
pub mod basis;
pub mod catalogue;
pub mod floor;
pub mod room;
pub mod release;
pub mod source;
pub mod terminal;
pub mod marked;
pub mod mixture;
pub mod detector;
pub mod stated;
pub mod wiring;
pub mod project;
pub mod edit;
pub mod file;

pub use basis::Basis;
pub use catalogue::{CableClass, Catalogue, CatalogueItem, ItemKind};
pub use citation::Citation;
pub use detector::{Averaging, Band, Detector, Hazard, Origin, Principle, SetPoint};
pub use edit::{Edit, EditError, Item, ItemKey, apply};
pub use file::{FileError, ProjectFile};
pub use floor::{Floor, PLAN_FADE, PlanSheet, SheetScale};
pub use ids::*;
pub use marked::{MarkedArea, MarkedKind};
pub use mixture::{FractionOf, Mixture, MixturePart};
pub use project::{Jurisdiction, Project, UnitSystem};
pub use register::{Entry, Register};
pub use release::Release;
pub use room::{Barrier, Enclosure, Opening, OpeningForm, Room, RoomFeatures, RoomUse};
pub use source::{Extent, Holding, ReleaseSource};
pub use stated::{
    FigureKind, GasGroup, Stated, StatedFigure, StatedSensing, StatedSubstance, TemperatureClass,
};
pub use terminal::{AirTerminal, AirTerminalKind};
pub use wiring::{
    Containment, ContainmentKind, ControlPanel, FieldDevice, Riser, Segment, Topology,
};
