//! A suggestion: an edit the engine offers, with what it would change.

use serde::Serialize;

use crate::model::{Edit, FloorId, RoomId};

/// What a suggestion may touch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Scope {
    Project,
    Floor(FloorId),
    Room(RoomId),
}

/// An edit that the designer may accept or drop.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Suggestion {
    /// An [`Edit::All`]; accepting it is one edit, undone by one undo.
    pub edit: Edit,
    /// "+3 −1 detectors", in words for the line above the drawing.
    pub summary: String,
    /// Per room and gas what was proven, and what could not be met; sentences.
    pub remarks: Vec<String>,
    /// Whether every search it rests on ran to its end.
    pub proven: bool,
    pub n_added: usize,
    pub n_removed: usize,
    /// Change of the cable's length, m; `None` where nobody has worked it out.
    pub cable_change_m: Option<f64>,
    /// Change of the price, in the currency of the catalogue; `None` where nobody has worked it
    /// out.
    pub price_change: Option<f64>,
}
