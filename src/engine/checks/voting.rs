//! Where detectors vote, the vote must survive one of them in fault.

use std::collections::{BTreeMap, BTreeSet};

use crate::engine::coverage::{need_item, survives_a_failure, vote};
use crate::engine::finding::{Finding, Severity};
use crate::engine::results::SourceResult;
use crate::model::{Edit, Project, SourceId};

/// One warning per hazard whose sources ask for two detectors in reach while a fault is left out of
/// the vote.
pub fn check(project: &Project, sources: &BTreeMap<SourceId, SourceResult>) -> Vec<Finding> {
    let watches = sources.values().flat_map(|source| &source.watches);
    let asked: BTreeSet<&str> = watches.map(|watch| need_item(watch.hazard).key).collect();
    let items = crate::model::basis::ITEMS.iter();
    items
        .filter(|item| asked.contains(item.key))
        .filter_map(|item| {
            let need = project.basis.get(item) as usize;
            if need < 2 || survives_a_failure(project, need) {
                return None;
            }
            let what = item.label.split(':').next().unwrap_or_default();
            let message = format!("{what}: {}", vote(project, need));
            let remedy = "Ask for three in reach, or count a fault as a vote (basis of design).";
            let id = format!("voting.one_failure/{}", item.key);
            let three = Edit::SetBasis {
                key: item.key.to_owned(),
                value: Some(3.0),
            };
            let finding = Finding::new(id, Severity::Warning, message, remedy);
            Some(finding.with_fix("Ask for three in reach", three))
        })
        .collect()
}
