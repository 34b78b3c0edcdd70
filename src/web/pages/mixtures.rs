//! The mixtures of a project: their list on the project page, and the forms that change it.

use axum::extract::State;
use axum::response::Redirect;

use crate::documents::Decimals;
use crate::engine::gas;
use crate::engine::mounting::within_sentence;
use crate::model::{Edit, FractionOf, Item, ItemKey, Mixture, MixtureId, MixturePart, Project};
use crate::store::ProjectId;
use crate::web::error::WebError;
use crate::web::extract::{FormBody, Place};
use crate::web::figures::{Figure, Figures};
use crate::web::pages::project_forms::{RemoveIn, field, number, to, version};
use crate::web::words::capital;
use crate::workflow::{Opened, Workflow};

/// Empty rows under the components of a mixture.
const SPARE_ROWS: usize = 2;

/// A mixture as the project page shows it.
pub(super) struct MixtureView {
    pub id: u32,
    pub name: String,
    pub by_mass: bool,
    pub parts: Vec<PartView>,
    /// What it comes to, each with its reason.
    pub figures: Vec<(&'static str, Figure)>,
    /// "Flammable: watched by methane".
    pub watch: Vec<String>,
}

/// A row of the components; an empty one to be filled in.
pub(super) struct PartView {
    pub row: usize,
    pub substance: String,
    /// Per cent, as it is typed.
    pub share: String,
}

/// The mixtures of a project in the order of their ids.
pub(super) fn views(opened: &Opened, figures: &Figures) -> Vec<MixtureView> {
    let view = |mixture: &Mixture| MixtureView {
        id: mixture.id.0,
        name: mixture.name.clone(),
        by_mass: mixture.by == FractionOf::Mass,
        parts: rows(mixture),
        figures: found(opened, figures, mixture.id),
        watch: watch(opened, mixture.id),
    };
    opened.project().mixtures.iter().map(view).collect()
}

/// Empty rows of a new mixture.
pub(super) fn blank_rows() -> Vec<PartView> {
    (0..SPARE_ROWS + 1).map(|row| blank(row + 1)).collect()
}

/// The names a component may have.
pub(super) fn substance_names() -> Vec<String> {
    gas::substances()
        .iter()
        .map(|known| known.name.to_string())
        .collect()
}

/// `POST /projects/{id}/mixtures`: `version`, `name`, `by`, and as many `substance` and `share` (in
/// per cent) as there are components.
pub(crate) async fn add(
    State(workflow): State<Workflow>,
    Place(id): Place<ProjectId>,
    FormBody(fields): FormBody<Vec<(String, String)>>,
) -> Result<Redirect, WebError> {
    let opened = workflow.open(id).await?;
    let mixture = read(&fields, opened.project().mixtures.next_id())?;
    let label = format!("mixture {} added", mixture.name);
    let item = Item::Mixture(mixture);
    workflow
        .edit(id, version(&fields)?, &Edit::Add { item }, &label)
        .await?;
    Ok(to(id, "#mixtures"))
}

/// `POST /projects/{id}/mixtures/{mixture}`, with the same fields.
pub(crate) async fn change(
    State(workflow): State<Workflow>,
    Place((id, mixture)): Place<(ProjectId, MixtureId)>,
    FormBody(fields): FormBody<Vec<(String, String)>>,
) -> Result<Redirect, WebError> {
    let opened = workflow.open(id).await?;
    let after = read(&fields, mixture)?;
    if opened.project().mixtures.get(mixture) != Some(&after) {
        let label = format!("mixture {} changed", after.name);
        let item = Item::Mixture(after);
        workflow
            .edit(id, version(&fields)?, &Edit::Change { item }, &label)
            .await?;
    }
    Ok(to(id, "#mixtures"))
}

/// `POST /projects/{id}/mixtures/{mixture}/remove`
pub(crate) async fn remove(
    State(workflow): State<Workflow>,
    Place((id, mixture)): Place<(ProjectId, MixtureId)>,
    FormBody(asked): FormBody<RemoveIn>,
) -> Result<Redirect, WebError> {
    let opened = workflow.open(id).await?;
    let name = name_of(opened.project(), mixture);
    let key = ItemKey::Mixture(mixture);
    let label = format!("mixture {name} removed");
    workflow
        .edit(id, asked.version, &Edit::Remove { key }, &label)
        .await?;
    Ok(to(id, "#mixtures"))
}

fn name_of(project: &Project, mixture: MixtureId) -> String {
    let stated = project.mixtures.get(mixture);
    stated.map_or_else(String::new, |stated| stated.name.clone())
}

fn rows(mixture: &Mixture) -> Vec<PartView> {
    let mut rows: Vec<PartView> = (mixture.components.iter().enumerate())
        .map(|(idx, part)| PartView {
            row: idx + 1,
            substance: gas::find(&part.substance)
                .map_or_else(|| part.substance.clone(), |known| known.name.to_string()),
            share: format!("{}", (part.fraction * 1e6).round() / 1e4),
        })
        .collect();
    let n_parts = rows.len();
    rows.extend((0..SPARE_ROWS).map(|row| blank(n_parts + row + 1)));
    rows
}

fn blank(row: usize) -> PartView {
    PartView {
        row,
        substance: String::new(),
        share: String::new(),
    }
}

fn found(opened: &Opened, figures: &Figures, id: MixtureId) -> Vec<(&'static str, Figure)> {
    let Some(result) = opened.results.mixtures.get(&id) else {
        return Vec::new();
    };
    let (three, whole) = (Decimals::Significant(3), Decimals::Significant(3));
    let all = [
        (
            "density relative to air",
            Some(result.relative_density),
            Decimals::Places(3),
        ),
        ("molar mass", Some(result.molar_mass), Decimals::Places(2)),
        ("lower flammable limit", result.lfl, three),
        ("exposure limit of the mixture", result.limit, whole),
    ];
    let figure = |(label, value, decimals): (&'static str, Option<_>, _)| {
        value.map(|value| (label, figures.figure(value, decimals)))
    };
    all.into_iter().filter_map(figure).collect()
}

fn watch(opened: &Opened, id: MixtureId) -> Vec<String> {
    let Some(result) = opened.results.mixtures.get(&id) else {
        return vec!["One of its components is in no table.".to_owned()];
    };
    let watch = result.watch.iter().map(|watch| {
        let share = match (watch.response.value * 100.0).round() {
            whole if whole >= 100.0 => String::new(),
            share => format!(", which makes up {share} % of that hazard"),
        };
        format!(
            "{}: watched by {}{share}.",
            capital(watch.hazard.label()),
            within_sentence(&watch.name)
        )
    });
    watch.chain(result.notes.iter().cloned()).collect()
}

/// The mixture that a form states; rows without a substance and a share are left out.
fn read(fields: &[(String, String)], id: MixtureId) -> Result<Mixture, WebError> {
    let all = |name: &str| -> Vec<&str> {
        let those = fields.iter().filter(|(key, _)| key == name);
        those.map(|(_, value)| value.trim()).collect()
    };
    let name = field(fields, "name").trim().to_owned();
    let mut components = Vec::new();
    for (substance, share) in all("substance").into_iter().zip(all("share")) {
        if substance.is_empty() && share.is_empty() {
            continue;
        }
        let field = format!("component of mixture {name}");
        let Some(known) = gas::find(substance) else {
            let remedy = "choose a substance from the list, by name, formula or CAS number.";
            return Err(WebError::refused(&field, format!("{substance:?}"), remedy));
        };
        let percent = number(&format!("share of {} in {name}", known.name), share)?;
        components.push(MixturePart {
            substance: known.key.to_string(),
            fraction: (percent * 1e6).round() / 1e8,
        });
    }
    Ok(Mixture {
        id,
        name,
        by: match field(fields, "by") {
            "mass" => FractionOf::Mass,
            _ => FractionOf::Mole,
        },
        components,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fields(pairs: &[(&str, &str)]) -> Vec<(String, String)> {
        let owned = |(key, value): &(&str, &str)| ((*key).to_owned(), (*value).to_owned());
        pairs.iter().map(owned).collect()
    }

    #[test]
    fn a_form_states_its_components_by_name_and_per_cent() {
        let form = fields(&[
            ("name", " Biogas "),
            ("by", "mole"),
            ("substance", "methane"),
            ("share", "59,8"),
            ("substance", "CO2"),
            ("share", "40.2"),
            ("substance", ""),
            ("share", ""),
        ]);
        let mixture = read(&form, MixtureId(4)).unwrap();
        assert_eq!(mixture.key(), "mixture-4");
        assert_eq!(mixture.name, "Biogas");
        let parts: Vec<(&str, f64)> = mixture
            .components
            .iter()
            .map(|part| (part.substance.as_str(), part.fraction))
            .collect();
        assert_eq!(parts, [("74-82-8", 0.598), ("124-38-9", 0.402)]);
    }

    #[test]
    fn a_component_that_no_table_knows_and_a_share_that_is_no_number_are_refused() {
        let of = |substance, share| {
            let form = fields(&[("name", "Mix"), ("substance", substance), ("share", share)]);
            read(&form, MixtureId(1)).is_err()
        };
        assert!(of("no such gas", "10"));
        assert!(of("methane", "half"));
        assert!(of("", "10"));
        assert!(!of("methane", "10"));
    }
}
