//! `/api/substances` and `/api/basis`: what the editor offers to choose from.

use axum::Json;
use axum::extract::State;
use serde::{Deserialize, Serialize};

use crate::engine::datasheet::Datasheet;
use crate::engine::gas::{self, Substance, SubstanceOrigin, Substances};
use crate::model::Hazard;
use crate::model::basis::ITEMS;
use crate::store::ProjectId;
use crate::units::Unit;
use crate::web::error::WebError;
use crate::web::extract::{Asked, Place};
use crate::workflow::{Inquiry, Workflow, inquire};

/// So many substances answer a search.
const LONGEST: usize = 30;

#[derive(Deserialize)]
pub(crate) struct SearchIn {
    #[serde(default)]
    q: String,
    /// The project whose mixtures, substances and figures count as well.
    project: Option<ProjectId>,
}

#[derive(Serialize)]
pub(crate) struct SubstanceOut {
    key: String,
    /// With the refrigerant number that was asked for: "R-290 (propane)".
    name: String,
    /// That number, for the source to keep.
    called: Option<String>,
    formula: Option<String>,
    cas: Option<String>,
    hazards: Vec<Hazard>,
    relative_density: f64,
    /// Whose figures it has: "tables", "overridden" or "own".
    origin: SubstanceOrigin,
}

#[derive(Serialize)]
pub(crate) struct BasisOut {
    key: &'static str,
    group: &'static str,
    label: &'static str,
    unit: Unit,
    default: f64,
    least: f64,
    most: f64,
    citation: String,
}

/// `GET /api/substances?q=hyd&project=1`: the project's own mixtures and substances first.
pub(crate) async fn substances(
    State(workflow): State<Workflow>,
    Asked(asked): Asked<SearchIn>,
) -> Result<Json<Vec<SubstanceOut>>, WebError> {
    let mut out: Vec<SubstanceOut> = match asked.project {
        Some(id) => {
            let opened = workflow.open(id).await?;
            let found = Substances::of(opened.project()).search(&asked.q);
            let known = found.iter();
            known.map(|known| described(known, &asked.q)).collect()
        }
        None => {
            let found = gas::search(&asked.q).into_iter();
            found.map(|known| described(known, &asked.q)).collect()
        }
    };
    out.truncate(LONGEST);
    Ok(Json(out))
}

fn described(substance: &Substance, asked: &str) -> SubstanceOut {
    let called = gas::number_asked(substance, asked);
    let name = called
        .as_deref()
        .and_then(|called| gas::by_number(substance, called));
    SubstanceOut {
        key: substance.key.to_string(),
        name: name.unwrap_or_else(|| substance.name.to_string()),
        called,
        formula: substance.formula.as_deref().map(str::to_owned),
        cas: substance.cas.as_deref().map(str::to_owned),
        hazards: gas::hazards(substance),
        relative_density: substance.relative_density(),
        origin: substance.origin,
    }
}

#[derive(Deserialize)]
pub(crate) struct ConditionsIn {
    temperature_c: Option<String>,
    pressure_kpa: Option<String>,
    jurisdiction: Option<String>,
}

/// `GET /api/substances/67-64-1?temperature_c=20&pressure_kpa=101.325&jurisdiction=eu`: what the
/// command `substance` prints.
pub(crate) async fn substance(
    Place(name): Place<String>,
    Asked(asked): Asked<ConditionsIn>,
) -> Result<Json<Datasheet>, WebError> {
    let asked = Inquiry {
        name: &name,
        temperature_c: asked.temperature_c.as_deref(),
        pressure_kpa: asked.pressure_kpa.as_deref(),
        jurisdiction: asked.jurisdiction.as_deref(),
    };
    Ok(Json(inquire(&asked)?))
}

/// `GET /api/basis`
pub(crate) async fn basis() -> Json<Vec<BasisOut>> {
    let out = ITEMS.iter().map(|item| BasisOut {
        key: item.key,
        group: item.group,
        label: item.label,
        unit: item.unit,
        default: item.default,
        least: item.least,
        most: item.most,
        citation: item.citation.text(),
    });
    Json(out.collect())
}
