//! Plan sheets: a file's page becomes the picture under a floor.

use crate::model::{Edit, FloorId, Item, PLAN_FADE, PlanSheet};
use crate::plan::{self, ImportLimits};
use crate::store::{ProjectId, Version};
use crate::workflow::projects::fingerprint;
use crate::workflow::{Opened, Workflow, WorkflowError, recalculate};

use std::sync::Arc;

/// A plan file as it was chosen.
#[derive(Debug)]
pub struct PlanFile {
    pub name: String,
    pub bytes: Vec<u8>,
    /// From 1.
    pub page: u32,
}

impl Workflow {
    /// Puts a page of a plan file under a floor. Without `version`, onto the project as it stands.
    pub async fn put_sheet(
        &self,
        id: ProjectId,
        version: Option<Version>,
        floor: FloorId,
        file: PlanFile,
    ) -> Result<Arc<Opened>, WorkflowError> {
        let opened = match version {
            Some(version) => self.at_version(id, version).await?,
            None => self.open(id).await?,
        };
        if !opened.project().floors.has(floor) {
            return Err(no_floor(floor));
        }
        let (name, page) = (short_name(&file.name), file.page);
        let sheet = {
            let _turn = self.inner.sheets.acquire().await;
            let read = move || plan::import(&file.bytes, page, &ImportLimits::default());
            recalculate::off_pool(read).await??
        };
        let image = fingerprint(&sheet.png);
        self.store().put_sheet(id, &image, &sheet.png).await?;
        let opened = match version {
            Some(_) => opened,
            None => self.open(id).await?,
        };
        let Some(mut floor) = opened.project().floors.get(floor).cloned() else {
            return Err(no_floor(floor));
        };
        let before = floor.sheet.take();
        let same_size =
            |old: &PlanSheet| old.width_px == sheet.width_px && old.height_px == sheet.height_px;
        let label = format!("plan sheet {name} on {}", floor.name);
        floor.sheet = Some(match before.filter(same_size) {
            // A later issue of the same drawing: it keeps its scale and place.
            Some(old) => PlanSheet {
                image,
                name,
                page,
                ..old
            },
            None => PlanSheet {
                image,
                name,
                page,
                width_px: sheet.width_px,
                height_px: sheet.height_px,
                scale: None,
                rotation: 0.0,
                origin: Default::default(),
                fade: PLAN_FADE,
            },
        });
        let item = Item::Floor(floor);
        let version = opened.standing.version;
        self.edit(id, version, &Edit::Change { item }, &label).await
    }

    /// The picture of this fingerprint.
    pub async fn sheet(&self, id: ProjectId, image: &str) -> Result<Vec<u8>, WorkflowError> {
        self.store().sheet(id, image).await?.ok_or_else(|| {
            let message = "There is no such plan sheet in this project; import it again.";
            WorkflowError::Missing(message.to_owned())
        })
    }
}

pub(crate) fn no_floor(floor: FloorId) -> WorkflowError {
    WorkflowError::Missing(format!(
        "There is no floor {floor} in this project. It may have been removed; \
         the project's page lists its floors."
    ))
}

/// A file's name without its folders, short enough for a title block.
fn short_name(name: &str) -> String {
    let last = name.rsplit(['/', '\\']).next().unwrap_or("");
    let clean: String = last.chars().filter(|c| !c.is_control()).take(80).collect();
    match clean.trim() {
        "" => "plan".to_owned(),
        name => name.to_owned(),
    }
}
