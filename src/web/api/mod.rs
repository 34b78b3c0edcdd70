//! JSON for the editor.

pub(crate) mod state;
pub(crate) mod comparison;
pub(crate) mod distances;
pub(crate) mod edits;
pub(crate) mod jobs;
pub(crate) mod labels;
pub(crate) mod sheet;
pub(crate) mod reference;
