//! Projects: made, imported, exported, deleted; and the example that a new database is given.

use std::collections::BTreeMap;
use std::io::Cursor;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD as BASE64;
use sha2::{Digest, Sha256};

use crate::model::project::Head;
use crate::model::{
    Catalogue, Edit, Floor, FloorId, Item, Jurisdiction, Project, ProjectFile, UnitSystem, apply,
};
use crate::plan::{self, ImportLimits, MAX_SHOWN_SIDE_PX, SheetKind};
use crate::store::{NewProject, ProjectId, ProjectRow, StoreError};
use crate::units::Metres;
use crate::workflow::{Refusal, Workflow, WorkflowError, clock, recalculate, substances};

/// The finished example, where this build carries one.
#[derive(rust_embed::Embed)]
#[folder = "static/demo"]
#[allow_missing = true]
struct Demo;

const DEMO: &str = "research-building.json";

/// What somebody says of a new project.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct NewHead {
    pub name: String,
    pub client: String,
    pub site: String,
    pub reference: String,
    pub jurisdiction: Jurisdiction,
    pub units: UnitSystem,
    /// The project whose catalogue the new one starts with.
    pub catalogue_of: Option<ProjectId>,
}

impl Workflow {
    /// All projects, the last changed first.
    pub async fn projects(&self) -> Result<Vec<ProjectRow>, WorkflowError> {
        Ok(self.store().projects().await?)
    }

    /// Makes an empty project with one floor, and the catalogue of another where one is named.
    pub async fn create(&self, new: NewHead) -> Result<ProjectId, WorkflowError> {
        let catalogue = match new.catalogue_of {
            Some(other) => self.store().standing(other).await?.project.catalogue,
            None => Catalogue::default(),
        };
        let project = empty_project(new, catalogue)?;
        let (at, author) = (clock::now(), self.author());
        let new = NewProject {
            project: &project,
            sheets: &BTreeMap::new(),
            at: &at,
            author,
            label: "project made",
            demo: false,
        };
        Ok(self.store().create(new).await?)
    }

    /// Makes a project of a project file.
    pub async fn import(&self, bytes: Vec<u8>) -> Result<ProjectId, WorkflowError> {
        self.import_as(bytes, "project imported", false).await
    }

    async fn import_as(
        &self,
        bytes: Vec<u8>,
        label: &str,
        demo: bool,
    ) -> Result<ProjectId, WorkflowError> {
        let (project, sheets) = {
            let _turn = self.inner.sheets.acquire().await;
            recalculate::off_pool(move || read_file(&bytes)).await??
        };
        let (at, author) = (clock::now(), self.author());
        let new = NewProject {
            project: &project,
            sheets: &sheets,
            at: &at,
            author,
            label,
            demo,
        };
        Ok(self.store().create(new).await?)
    }

    /// The project as a project file, with the pictures its floors show.
    pub async fn export(&self, id: ProjectId) -> Result<ProjectFile, WorkflowError> {
        let project = self.store().standing(id).await?.project;
        let sheets = self.sheets_of(id, &project).await?;
        let text = |(image, png): (String, Vec<u8>)| (image, BASE64.encode(png));
        Ok(ProjectFile::new(
            project,
            sheets.into_iter().map(text).collect(),
        ))
    }

    /// The pictures that the project's floors show.
    pub async fn sheets_of(
        &self,
        id: ProjectId,
        project: &Project,
    ) -> Result<BTreeMap<String, Vec<u8>>, WorkflowError> {
        Ok(self.store().sheets(id, images_of(project)).await?)
    }

    /// Deletes a project for good; `confirm` must be its name.
    pub async fn delete(&self, id: ProjectId, confirm: &str) -> Result<(), WorkflowError> {
        let name = self.store().standing(id).await?.project.head.name;
        if confirm.trim() != name.trim() {
            let remedy = format!("type the project's name, {name}, to delete it for good.");
            return Err(Refusal::field("confirmation", format!("{confirm:?}"), remedy).into());
        }
        match self.store().delete(id).await {
            Ok(()) | Err(StoreError::NoProject(_)) => Ok(()),
            Err(error) => Err(error.into()),
        }
    }

    /// Puts the example into a database that never held a project.
    pub async fn ensure_demo(&self) -> Result<(), WorkflowError> {
        if !self.store().is_new().await? {
            return Ok(());
        }
        match Demo::get(DEMO) {
            Some(file) => {
                self.import_as(file.data.into_owned(), "example made", true)
                    .await?;
                Ok(())
            }
            None => Ok(()),
        }
    }
}

fn empty_project(new: NewHead, catalogue: Catalogue) -> Result<Project, WorkflowError> {
    let head = Head {
        name: new.name.trim().to_owned(),
        client: new.client.trim().to_owned(),
        site: new.site.trim().to_owned(),
        reference: new.reference.trim().to_owned(),
        revision: "P1".to_owned(),
        jurisdiction: new.jurisdiction,
        units: new.units,
    };
    let floor = Floor {
        id: FloorId(1),
        name: "Ground floor".to_owned(),
        elevation: Metres::new(0.0),
        sheet: None,
    };
    let edits = vec![
        Edit::SetHead { head },
        Edit::SetCatalogue { catalogue },
        Edit::Add {
            item: Item::Floor(floor),
        },
    ];
    let label = "project made".to_owned();
    Ok(apply(&Project::default(), &Edit::All { label, edits })?)
}

fn images_of(project: &Project) -> impl Iterator<Item = &str> {
    let sheets = project
        .floors
        .iter()
        .filter_map(|floor| floor.sheet.as_ref());
    sheets.map(|sheet| sheet.image.as_str())
}

type Sheets = BTreeMap<String, Vec<u8>>;

/// A project file's project and pictures, each checked.
pub(crate) fn read_file(bytes: &[u8]) -> Result<(Project, Sheets), WorkflowError> {
    let Ok(text) = std::str::from_utf8(bytes) else {
        let remedy = "choose a file that this program exported.";
        return Err(Refusal::field("file", "no text in UTF-8", remedy).into());
    };
    let file = ProjectFile::read(text.trim_start_matches('\u{feff}'))?;
    substances::check(&Project::default(), &file.project)?;
    let mut sheets = Sheets::new();
    for image in images_of(&file.project) {
        if sheets.contains_key(image) {
            continue;
        }
        let field = format!("sheets.{image}");
        let remedy = "export the project again; each sheet is a PNG in base64 under its SHA-256.";
        let Some(coded) = file.sheets.get(image) else {
            return Err(Refusal::field(field, "missing", remedy).into());
        };
        let png = BASE64
            .decode(coded)
            .map_err(|_| Refusal::field(&field, "no base64", remedy))?;
        if fingerprint(&png) != image {
            return Err(Refusal::field(field, "another picture", remedy).into());
        }
        check_picture(&file.project, image, &png)?;
        sheets.insert(image.to_owned(), png);
    }
    Ok((file.project, sheets))
}

/// A picture must decode whole, within the limits of a plan file, in the size its floors say.
fn check_picture(project: &Project, image: &str, png: &[u8]) -> Result<(), WorkflowError> {
    let field = format!("sheets.{image}");
    let sheet = plan::import(png, 1, &ImportLimits::default()).map_err(|error| {
        let message = error.to_string();
        let remedy = message.split_once(". ").map(|(_, rest)| rest.to_owned());
        Refusal {
            message: format!("Picture {field} cannot be read. {message}"),
            field: Some(field.clone()),
            value: None,
            remedy,
        }
    })?;
    let remedy = "export the project again; each sheet is a PNG in base64 under its SHA-256.";
    if sheet.kind != SheetKind::Png {
        return Err(Refusal::field(field, format!("{}, no PNG", sheet.kind.name()), remedy).into());
    }
    let reader = image::ImageReader::with_format(Cursor::new(png), image::ImageFormat::Png);
    let Ok((width, height)) = reader.into_dimensions() else {
        return Err(Refusal::field(field, "no PNG", remedy).into());
    };
    if (width, height) != (sheet.width_px, sheet.height_px) {
        let remedy = format!("a sheet has {MAX_SHOWN_SIDE_PX} px a side at most; scale it down.");
        return Err(Refusal::field(field, format!("{width} by {height} px"), remedy).into());
    }
    for floor in &project.floors {
        let shown = floor.sheet.iter().filter(|shown| shown.image == image);
        for shown in shown {
            if (shown.width_px, shown.height_px) != (width, height) {
                let field = format!("width_px and height_px of the plan sheet of {}", floor.name);
                let value = format!("{} by {}", shown.width_px, shown.height_px);
                let remedy = format!("the picture has {width} by {height} px; write these.");
                return Err(Refusal::field(field, value, remedy).into());
            }
        }
    }
    Ok(())
}

/// SHA-256 in hexadecimal.
pub(crate) fn fingerprint(bytes: &[u8]) -> String {
    let digest = Sha256::digest(bytes);
    digest.iter().map(|byte| format!("{byte:02x}")).collect()
}
