//! What each document says: tables from a project and its results. No file format here.

pub mod names;
mod detectors;
mod cables;
mod bill;
mod questions;
mod basis;
mod substances;
mod mixtures;
mod findings;
mod watched;

use crate::documents::table::Table;
use crate::engine::Results;
use crate::model::Project;

pub use basis::basis_of_design;
pub use bill::bill_of_materials;
pub use cables::{cable_schedule, segment_schedule};
pub use detectors::{detector_reasons, detector_schedule};
pub use findings::findings;
pub use mixtures::mixtures;
pub use questions::questions;
pub use substances::substances;
pub use watched::{scenarios, watched};

/// Every table of a project, in the order it prints.
pub fn tables(project: &Project, results: &Results) -> Vec<Table> {
    let mut tables = vec![
        detector_schedule(project, results),
        detector_reasons(project, results),
        scenarios(project, results),
        watched(project, results),
        segment_schedule(project, results),
        cable_schedule(project, results),
        bill_of_materials(project, results),
        questions(project, results),
        basis_of_design(project, results),
    ];
    if !project.substances.is_empty() {
        tables.push(substances(project, results));
    }
    if !project.mixtures.is_empty() {
        tables.push(mixtures(project, results));
    }
    tables.push(findings(project, results));
    tables
}
