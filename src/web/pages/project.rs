//! `/projects/{id}`: title block, floors, basis of design, catalogue.

use askama::Template;
use axum::extract::State;
use axum::response::Response;

use crate::documents::Decimals;
use crate::documents::number::symbol;
use crate::model::basis::{BasisItem, ITEMS};
use crate::model::project::Head;
use crate::model::{CatalogueItem, Citation, ItemKind, UnitSystem};
use crate::store::{ProjectId, Version};
use crate::units::Unit;
use crate::web::error::WebError;
use crate::web::extract::Place;
use crate::web::figures::Figures;
use crate::web::layout::{Top, html};
use crate::web::pages::mixtures::{self, MixtureView, PartView};
use crate::web::pages::next::{Next, next};
use crate::web::pages::projects::{FloorItem, floors, summary};
use crate::web::pages::substances::{self, Pick, Rows, SubstanceView};
use crate::web::words::counted;
use crate::workflow::{Opened, Workflow};

#[derive(Template)]
#[template(path = "projects/show.html")]
struct ProjectPage {
    top: Top,
    project: ProjectId,
    version: Version,
    head: Head,
    jurisdictions: Vec<Choice>,
    unit_systems: Vec<Choice>,
    summary: String,
    next: Next,
    floors: Vec<FloorItem>,
    floor_rows: Vec<FloorRow>,
    mixtures: Vec<MixtureView>,
    blank_rows: Vec<PartView>,
    substance_names: Vec<String>,
    substances: Vec<SubstanceView>,
    known_rows: Rows,
    own_rows: Rows,
    hazards: Vec<Pick>,
    n_changed: String,
    groups: Vec<BasisGroup>,
    catalogue: String,
    catalogue_name: String,
    sample: bool,
    parts: Vec<PartRow>,
}

/// A choice of a picker.
struct Choice {
    key: &'static str,
    label: &'static str,
    here: bool,
}

struct FloorRow {
    id: u32,
    name: String,
    elevation: f64,
    sheet: Option<String>,
    goes_with: String,
}

struct BasisGroup {
    name: &'static str,
    rows: Vec<BasisRow>,
}

struct BasisRow {
    key: &'static str,
    label: &'static str,
    value: String,
    unit: String,
    /// Beside the value, in the project's units, where they are others.
    converted: Option<String>,
    /// A question to be answered with yes or no.
    is_switch: bool,
    is_on: bool,
    default: String,
    ground: String,
    changed: bool,
}

struct PartRow {
    part: String,
    description: String,
    kind: &'static str,
    price: String,
}

/// `GET /projects/{id}`
pub(crate) async fn show(
    State(workflow): State<Workflow>,
    Place(id): Place<ProjectId>,
) -> Result<Response, WebError> {
    let opened = workflow.open(id).await?;
    let project = opened.project();
    let figures = Figures::of(&opened);
    let head = project.head.clone();
    let groups = ITEMS
        .chunk_by(|a, b| a.group == b.group)
        .map(|items| BasisGroup {
            name: items[0].group,
            rows: items
                .iter()
                .map(|item| basis_row(&opened, &figures, item))
                .collect(),
        });
    let items = &project.catalogue.items;
    html(&ProjectPage {
        top: Top::of(&opened, "project"),
        project: id,
        version: opened.standing.version,
        jurisdictions: jurisdictions(&head),
        unit_systems: unit_systems(&head),
        summary: summary(&opened),
        next: next(&opened),
        floors: floors(&opened),
        floor_rows: floor_rows(&opened),
        mixtures: mixtures::views(&opened, &figures),
        blank_rows: mixtures::blank_rows(),
        substance_names: mixtures::substance_names(),
        substances: substances::views(&opened, &figures),
        known_rows: substances::blank_rows(false),
        own_rows: substances::blank_rows(true),
        hazards: substances::hazard_picks(&[]),
        n_changed: counted(project.basis.changes().count(), "departure"),
        groups: groups.collect(),
        catalogue: counted(items.len(), "part"),
        catalogue_name: project.catalogue.name.clone(),
        sample: project.catalogue.sample,
        parts: items.iter().map(|item| part_row(&figures, item)).collect(),
        head,
    })
}

fn jurisdictions(head: &Head) -> Vec<Choice> {
    use crate::model::Jurisdiction::{Eu, Uk, Us};
    let all = [
        (Eu, "eu", "European Union"),
        (Uk, "uk", "United Kingdom"),
        (Us, "us", "United States"),
    ];
    let choice = |(value, key, label)| Choice {
        key,
        label,
        here: head.jurisdiction == value,
    };
    all.into_iter().map(choice).collect()
}

fn unit_systems(head: &Head) -> Vec<Choice> {
    let all = [
        (UnitSystem::Metric, "metric", "metric: m, mm²"),
        (
            UnitSystem::UsCustomary,
            "us_customary",
            "US customary: ft, AWG",
        ),
    ];
    let choice = |(value, key, label)| Choice {
        key,
        label,
        here: head.units == value,
    };
    all.into_iter().map(choice).collect()
}

fn floor_rows(opened: &Opened) -> Vec<FloorRow> {
    let project = opened.project();
    let row = |floor: &&crate::model::Floor| {
        let n_rooms = project.rooms_on(floor.id).count();
        let here = |thing: &&crate::model::Detector| thing.floor == floor.id;
        let n_detectors = project.detectors.iter().filter(here).count();
        FloorRow {
            id: floor.id.0,
            name: floor.name.clone(),
            elevation: floor.elevation.get(),
            sheet: floor.sheet.as_ref().map(|sheet| match sheet.scale {
                Some(_) => sheet.name.clone(),
                None => format!("{}, no scale set yet", sheet.name),
            }),
            goes_with: format!(
                "{}, {}",
                counted(n_rooms, "room"),
                counted(n_detectors, "detector")
            ),
        }
    };
    project.floors_upwards().iter().map(row).collect()
}

fn basis_row(opened: &Opened, figures: &Figures, item: &'static BasisItem) -> BasisRow {
    let basis = &opened.project().basis;
    let value = basis.get(item);
    let is_switch = item.unit == Unit::One && item.least == 0.0 && item.most == 1.0;
    let changed = basis.is_changed(item);
    let yes_or_no = |value: f64| if value >= 0.5 { "yes" } else { "no" }.to_owned();
    let metric = symbol(item.unit, UnitSystem::Metric);
    let foreign = symbol(item.unit, figures.units) != metric;
    BasisRow {
        key: item.key,
        label: item.label.trim_end_matches(" (1 yes)"),
        value: format!("{value}"),
        unit: match item.unit {
            Unit::Money => figures.currency.clone(),
            Unit::MoneyPerHour => format!("{}/h", figures.currency),
            _ => metric.to_owned(),
        },
        converted: foreign.then(|| figures.text(value, item.unit, Decimals::AsSet)),
        is_switch,
        is_on: value >= 0.5,
        default: match is_switch {
            true => yes_or_no(item.default),
            false => figures.text(item.default, item.unit, Decimals::AsSet),
        },
        ground: match changed {
            true => Citation::Designer.text(),
            false => item.citation.text(),
        },
        changed,
    }
}

fn part_row(figures: &Figures, item: &CatalogueItem) -> PartRow {
    PartRow {
        part: item.part.clone(),
        description: item.description.clone(),
        kind: match item.kind {
            ItemKind::DetectorDevice { .. } => "field device with detector",
            ItemKind::IoUnit { .. } => "I/O unit",
            ItemKind::Sounder { .. } => "sounder with beacon",
            ItemKind::Display { .. } => "display",
            ItemKind::Panel(_) => "control panel",
            ItemKind::Cable { .. } => "cable, by the metre",
            ItemKind::Battery { .. } => "battery",
            ItemKind::Accessory { .. } => "accessory",
        },
        price: figures.text(item.price.get(), Unit::Money, Decimals::OfUnit),
    }
}
