//! `/api/substances` and `/api/basis`: what the editor offers to choose from.

use axum::Json;
use serde::{Deserialize, Serialize};

use crate::engine::gas;
use crate::model::Hazard;
use crate::model::basis::ITEMS;
use crate::units::Unit;
use crate::web::error::WebError;
use crate::web::extract::Asked;

/// So many substances answer a search.
const LONGEST: usize = 30;

#[derive(Deserialize)]
pub(crate) struct SearchIn {
    #[serde(default)]
    q: String,
}

#[derive(Serialize)]
pub(crate) struct SubstanceOut {
    key: String,
    name: String,
    formula: Option<&'static str>,
    cas: Option<&'static str>,
    hazards: Vec<Hazard>,
    relative_density: f64,
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

/// `GET /api/substances?q=hyd`
pub(crate) async fn substances(
    Asked(asked): Asked<SearchIn>,
) -> Result<Json<Vec<SubstanceOut>>, WebError> {
    let found = gas::search(&asked.q).into_iter().take(LONGEST);
    let out = found.map(|substance| SubstanceOut {
        key: substance.key.to_string(),
        name: substance.name.to_string(),
        formula: substance.formula,
        cas: substance.cas,
        hazards: gas::hazards(substance),
        relative_density: substance.relative_density(),
    });
    Ok(Json(out.collect()))
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
