//! A project opened: where it stands, what is computed of it; edits, undo, redo, previews.

use std::collections::BTreeSet;
use std::sync::Arc;

use crate::engine::coverage::distance_lines;
use crate::engine::results::DistanceLine;
use crate::engine::{self, Results};
use crate::model::{DetectorId, Edit, ItemKey, Project, apply};
use crate::store::{Change, LogKind, ProjectId, Standing, StoreError, Version};
use crate::workflow::labels::Found;
use crate::workflow::{Refusal, Workflow, WorkflowError, clock, recalculate, substances};

/// A label longer than this is no label.
const LONGEST_LABEL: usize = 200;

/// One version of a project with its results.
#[derive(Debug)]
pub struct Opened {
    pub id: ProjectId,
    pub standing: Standing,
    pub results: Results,
    pub(crate) labels: Found,
}

impl Opened {
    /// The project of this version.
    pub fn project(&self) -> &Project {
        &self.standing.project
    }

    /// The last row of the log as a sentence; `None` while nothing was done.
    pub fn last_edit(&self) -> Option<String> {
        let step = &self.standing.last;
        match step.kind {
            LogKind::Create => None,
            LogKind::Edit => Some(step.label.clone()),
            LogKind::Undo => Some(format!("Undone: {}", step.label)),
            LogKind::Redo => Some(format!("Done again: {}", step.label)),
        }
    }
}

impl Workflow {
    /// The project as it stands, with results.
    pub async fn open(&self, id: ProjectId) -> Result<Arc<Opened>, WorkflowError> {
        let version = self.store().version(id).await?;
        if let Some(opened) = self.inner.cache.get(id, version) {
            return Ok(opened);
        }
        let _one_at_a_time = self.inner.cache.busy.lock().await;
        let standing = self.store().standing(id).await?;
        if let Some(opened) = self.inner.cache.get(id, standing.version) {
            return Ok(opened);
        }
        let results = recalculate::run(Arc::new(standing.project.clone())).await?;
        let opened = Arc::new(Opened {
            id,
            standing,
            results,
            labels: Found::default(),
        });
        self.inner.cache.put(opened.clone());
        Ok(opened)
    }

    /// The project as it stood at `version`, while that is remembered; else it must stand there.
    pub async fn open_at(
        &self,
        id: ProjectId,
        version: Version,
    ) -> Result<Arc<Opened>, WorkflowError> {
        match self.inner.cache.get(id, version) {
            Some(opened) => Ok(opened),
            None => self.at_version(id, version).await,
        }
    }

    /// Applies an edit made of `version` and writes it into the log.
    pub async fn edit(
        &self,
        id: ProjectId,
        version: Version,
        edit: &Edit,
        label: &str,
    ) -> Result<Arc<Opened>, WorkflowError> {
        let before = self.at_version(id, version).await?;
        let after = apply(before.project(), edit)?;
        substances::check(before.project(), &after)?;
        let label = label_of(label, edit)?;
        let change = Change {
            edit,
            label: &label,
            after: &after,
            at: &clock::now(),
            author: self.author(),
        };
        self.store().append(id, version, change).await?;
        self.open(id).await
    }

    /// What an edit of `version` would give; nothing is written. Where it only puts detectors, the
    /// results are about their airspaces alone.
    pub async fn preview(
        &self,
        id: ProjectId,
        version: Version,
        edit: &Edit,
    ) -> Result<Results, WorkflowError> {
        let before = self.at_version(id, version).await?;
        let project = Arc::new(apply(before.project(), edit)?);
        substances::check(before.project(), &project)?;
        let mut moved = BTreeSet::new();
        let results = match only_detectors(edit, &mut moved) {
            true => {
                let project = project.clone();
                recalculate::off_pool(move || engine::preview(&project, &moved)).await?
            }
            false => recalculate::run(project).await?,
        };
        Ok(results)
    }

    /// Lines of equal distance round a detector, with the version they hold for; `None` where the
    /// project or the detector does not exist.
    pub async fn distance_lines(
        &self,
        id: ProjectId,
        detector: DetectorId,
    ) -> Result<Option<(Version, Vec<DistanceLine>)>, WorkflowError> {
        let opened = self.open(id).await?;
        if !opened.project().detectors.has(detector) {
            return Ok(None);
        }
        let version = opened.standing.version;
        let lines = recalculate::off_pool(move || {
            distance_lines(opened.project(), &opened.results, detector)
        })
        .await?;
        Ok(Some((version, lines)))
    }

    /// Takes the last edit back.
    pub async fn undo(
        &self,
        id: ProjectId,
        version: Version,
    ) -> Result<Arc<Opened>, WorkflowError> {
        let now = clock::now();
        self.store().undo(id, version, &now, self.author()).await?;
        self.open(id).await
    }

    /// Brings the edit undone last back.
    pub async fn redo(
        &self,
        id: ProjectId,
        version: Version,
    ) -> Result<Arc<Opened>, WorkflowError> {
        let now = clock::now();
        self.store().redo(id, version, &now, self.author()).await?;
        self.open(id).await
    }

    /// The project, if it still stands at this version.
    pub(crate) async fn at_version(
        &self,
        id: ProjectId,
        version: Version,
    ) -> Result<Arc<Opened>, WorkflowError> {
        let opened = self.open(id).await?;
        let now = opened.standing.version;
        match now == version {
            true => Ok(opened),
            false => Err(StoreError::Stale {
                asked: version,
                now,
            }
            .into()),
        }
    }
}

/// Whether an edit puts detectors, and nothing else; collects them.
fn only_detectors(edit: &Edit, detectors: &mut BTreeSet<DetectorId>) -> bool {
    match edit {
        Edit::Add { item } | Edit::Change { item } => match item.key() {
            ItemKey::Detector(id) => {
                detectors.insert(id);
                true
            }
            _ => false,
        },
        Edit::All { edits, .. } => edits.iter().all(|edit| only_detectors(edit, detectors)),
        _ => false,
    }
}

/// The label given, or one made of the edit.
fn label_of(label: &str, edit: &Edit) -> Result<String, WorkflowError> {
    let label = label.trim();
    if label.chars().count() > LONGEST_LABEL {
        let n_letters = label.chars().count();
        let remedy = format!("say it in {LONGEST_LABEL} letters.");
        return Err(Refusal::field("label", format!("{n_letters} letters long"), remedy).into());
    }
    if !label.is_empty() {
        return Ok(label.to_owned());
    }
    Ok(match edit {
        Edit::Add { item } => format!("{} added", item.key().noun()),
        Edit::Change { item } => format!("{} changed", item.key().noun()),
        Edit::Remove { key } => format!("{} removed", key.noun()),
        Edit::SetHead { .. } => "title block changed".to_owned(),
        Edit::SetBasis { .. } => "basis of design changed".to_owned(),
        Edit::SetCatalogue { .. } => "catalogue changed".to_owned(),
        Edit::All { label, .. } => label.chars().take(LONGEST_LABEL).collect(),
    })
}
