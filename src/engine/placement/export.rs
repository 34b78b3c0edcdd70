//! The cover problems of a design with their solutions as plain values, for an audit without us.
//!
//! Must not change the project; what is solved is what `suggest` would solve for it as it stands.

use serde::Serialize;

use crate::engine::airspace::Airspaces;
use crate::engine::coverage;
use crate::engine::mounting;
use crate::engine::placement::suggest::WORK_IN_SUGGEST;
use crate::engine::placement::{cover, holds_for, instance, left_out, members, offer};
use crate::engine::progress::Progress;
use crate::engine::solve::allowance::Allowance;
use crate::engine::solve::cover::{Column, CoverSolution, Row};
use crate::engine::trace::Trace;
use crate::model::basis;
use crate::model::*;

/// A cover problem and its solution: one airspace, gas and band.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CoverFile {
    /// `cover-1`.
    pub format: &'static str,
    pub title: String,
    /// The candidate grid and cells that a proof holds for.
    pub holds_for: String,
    /// Places where a detector can stand, then detectors that stand there; cost in the project's
    /// currency.
    pub columns: Vec<Column>,
    /// What must be watched, by how many of which columns.
    pub rows: Vec<Row>,
    pub fixed: Vec<usize>,
    /// Rows of which some may stay short: together they weigh no more than `most`.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub allowances: Vec<Allowance>,
    /// `count-then-cost` or `cost`.
    pub objective: &'static str,
    pub solution: CoverSolution,
}

/// The cover problems of `project`, in the order of its groups.
pub fn covers(project: &Project, progress: &dyn Progress) -> Vec<CoverFile> {
    let spaces = Airspaces::new(project);
    let mut trace = Trace::default();
    let (mut findings, mut questions) = (Vec::new(), Vec::new());
    let sources = mounting::mount(project, &spaces, &mut trace, &mut findings, &mut questions);
    let assessment = coverage::assess(project, &spaces, &sources, None, &mut trace, &mut findings);
    let objective = match project.basis.is_on(&basis::COST_FIRST) {
        true => "cost",
        false => "count-then-cost",
    };
    let groups = assessment.groups.iter().zip(&assessment.served);
    groups
        .map(|(group, served)| {
            let counted: Vec<DetectorId> = served.iter().map(|(id, _)| *id).collect();
            let members = members(project, &counted, &|_| true);
            let offer = offer(project, group, &mut trace);
            let instance = instance(project, &spaces, &assessment.needs, group, members, offer);
            let title = cover::title(&spaces, group);
            let nodes = instance.nodes(WORK_IN_SUGGEST);
            let solution = instance.solve(project, nodes, &title, progress);
            CoverFile {
                format: "cover-1",
                title,
                holds_for: holds_for(&spaces, group, &instance, left_out(&instance, &solution)),
                columns: instance.problem.columns,
                rows: instance.problem.rows,
                fixed: instance.problem.fixed,
                allowances: instance.allowances,
                objective,
                solution,
            }
        })
        .collect()
}
