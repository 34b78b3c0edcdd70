//! A question about one substance, as people type it, and its answer: the datasheet. The command
//! and the server ask here, so they answer alike.

use crate::engine::datasheet::{Datasheet, datasheet};
use crate::engine::gas;
use crate::engine::gas::state::Conditions;
use crate::model::Jurisdiction;
use crate::workflow::{Refusal, WorkflowError};

/// What was typed; what is `None` was left out.
#[derive(Debug, Clone, Copy)]
pub struct Inquiry<'a> {
    /// Name, synonym, formula, CAS number or refrigerant number.
    pub name: &'a str,
    /// degC; 20 where left out.
    pub temperature_c: Option<&'a str>,
    /// Absolute; 101.325 where left out.
    pub pressure_kpa: Option<&'a str>,
    /// "eu" (where left out), "uk" or "us".
    pub jurisdiction: Option<&'a str>,
}

/// The datasheet asked for.
///
/// # Errors
/// [`WorkflowError::Missing`] where no table knows the substance; [`WorkflowError::Refused`] names
/// the field, its value and the remedy.
pub fn inquire(asked: &Inquiry<'_>) -> Result<Datasheet, WorkflowError> {
    let celsius = number("temperature_c", asked.temperature_c)?;
    let kilopascals = number("pressure_kpa", asked.pressure_kpa)?;
    let at = Conditions::new(celsius, kilopascals)
        .map_err(|error| Refusal::field(error.field, error.value, &error.remedy))?;
    let jurisdiction = match asked.jurisdiction {
        None | Some("eu") => Jurisdiction::Eu,
        Some("uk") => Jurisdiction::Uk,
        Some("us") => Jurisdiction::Us,
        Some(other) => {
            let remedy = "state eu, uk or us.";
            return Err(Refusal::field("jurisdiction", format!("{other:?}"), remedy).into());
        }
    };
    match gas::find(asked.name) {
        Some(substance) => Ok(datasheet(substance, at, jurisdiction)),
        None => Err(WorkflowError::Missing(unknown(asked.name))),
    }
}

fn number(field: &'static str, typed: Option<&str>) -> Result<Option<f64>, WorkflowError> {
    let Some(typed) = typed.map(str::trim).filter(|typed| !typed.is_empty()) else {
        return Ok(None);
    };
    match typed.parse::<f64>() {
        Ok(number) if number.is_finite() => Ok(Some(number)),
        _ => {
            let remedy = "state a number with a decimal point, without its unit.";
            Err(Refusal::field(field, format!("{typed:?}"), remedy).into())
        }
    }
}

/// What is said of a name no table knows, with those that are like it.
fn unknown(name: &str) -> String {
    let shown: String = name.chars().take(60).collect();
    let same = gas::same_formula(name);
    let like = match same.is_empty() {
        true => gas::search(name).into_iter().take(5).collect(),
        false => same,
    };
    let names: Vec<&str> = like.iter().map(|known| known.name.as_ref()).collect();
    match names.is_empty() {
        true => format!(
            "No table here knows {shown:?}. Try its CAS number, another name, its formula or its \
             refrigerant number; what none of them finds can be stated in a project as a substance \
             of its own."
        ),
        false => format!(
            "{shown:?} names no one substance here. Did you mean {}?",
            names.join(", ")
        ),
    }
}
