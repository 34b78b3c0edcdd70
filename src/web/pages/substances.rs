//! The figures of substances that a project states: their list on the project page, and the forms
//! that change it.

use axum::extract::State;
use axum::response::Redirect;

use crate::documents::Decimals;
use crate::engine::gas;
use crate::engine::results::StatedFigureResult;
use crate::model::{
    Edit, FigureKind, GasGroup, Hazard, Item, ItemKey, Principle, Stated, StatedFigure,
    StatedSensing, StatedSubstance, SubstanceId, TemperatureClass,
};
use crate::store::ProjectId;
use crate::web::error::WebError;
use crate::web::extract::{FormBody, Place};
use crate::web::figures::{Figure, Figures};
use crate::web::pages::project_forms::{RemoveIn, field, number, to, version};
use crate::workflow::{Opened, Workflow};

/// What a project states of a substance, as its page shows it.
pub(super) struct SubstanceView {
    pub id: u32,
    pub name: String,
    pub own: bool,
    pub formula: String,
    pub cas: String,
    pub hazards: Vec<Pick>,
    pub hazards_reason: String,
    pub figures: Vec<FigureRow>,
    /// Gas group, temperature class, and what sees it.
    pub classes: Vec<ClassRow>,
    pub relative_density: Option<Figure>,
    /// What is not stated, and what is taken instead.
    pub lacks: Vec<String>,
}

/// Something that may be chosen.
#[derive(Clone)]
pub(super) struct Pick {
    pub key: &'static str,
    pub label: &'static str,
    pub here: bool,
}

/// A number that may be stated.
pub(super) struct FigureRow {
    pub key: &'static str,
    pub label: &'static str,
    pub unit: String,
    pub value: String,
    pub reason: String,
    /// The published figure in whose place it stands.
    pub published: Option<Figure>,
    pub laxer: bool,
}

/// A class, or whether a principle sees it, that may be stated.
#[derive(Clone)]
pub(super) struct ClassRow {
    pub key: &'static str,
    pub label: &'static str,
    pub picks: Vec<Pick>,
    pub reason: String,
}

/// What the project states, in the order of ids.
pub(super) fn views(opened: &Opened, figures: &Figures) -> Vec<SubstanceView> {
    let view = |stated: &StatedSubstance| {
        let result = opened.results.substances.get(&stated.id);
        let hazards = stated.hazards.as_ref();
        SubstanceView {
            id: stated.id.0,
            name: name_of(stated),
            own: stated.is_own(),
            formula: stated.formula.clone().unwrap_or_default(),
            cas: stated.cas.clone().unwrap_or_default(),
            hazards: hazard_picks(hazards.map_or(&[][..], |hazards| &hazards.value)),
            hazards_reason: hazards.map_or_else(String::new, |hazards| hazards.reason.clone()),
            figures: figure_rows(stated, result.map(|result| &result.figures[..]), figures),
            classes: [class_rows(stated), sensing_rows(stated)].concat(),
            relative_density: result
                .map(|result| figures.figure(result.relative_density, Decimals::Places(3))),
            lacks: result.map_or_else(Vec::new, |result| result.lacks.clone()),
        }
    };
    opened.project().substances.iter().map(view).collect()
}

/// The numbers that may be stated, with nothing in them.
pub(super) fn blank_figures() -> Vec<FigureRow> {
    let blank = StatedSubstance::blank(SubstanceId(0), None);
    FigureKind::ALL
        .into_iter()
        .map(|kind| figure_row(&blank, kind))
        .collect()
}

/// The hazards, none ticked.
pub(super) fn hazard_picks(here: &[Hazard]) -> Vec<Pick> {
    let pick = |(hazard, key): (Hazard, &'static str)| Pick {
        key,
        label: hazard.label(),
        here: here.contains(&hazard),
    };
    HAZARDS.into_iter().map(pick).collect()
}

/// `POST /projects/{id}/substances`: `version`, `of` (a known substance by name, formula or CAS
/// number; empty for one of the project's own with `name`, `formula`, `cas`), and what is stated:
/// `hazard` as often as there are with `hazards_reason`, and each figure and class by its word with
/// `<word>_reason`.
pub(crate) async fn add(
    State(workflow): State<Workflow>,
    Place(id): Place<ProjectId>,
    FormBody(fields): FormBody<Vec<(String, String)>>,
) -> Result<Redirect, WebError> {
    let opened = workflow.open(id).await?;
    let number = opened.project().substances.next_id();
    let of = field(&fields, "of").trim();
    let of = match (of, field(&fields, "name").trim()) {
        ("", "") => {
            let remedy = "choose a substance of the list, or type the name of one of your own.";
            return Err(WebError::refused("substance", "empty", remedy));
        }
        ("", _) => None,
        (of, _) => {
            let remedy = "choose a substance of the list, by name, formula or CAS number.";
            let refused = || WebError::refused("substance", format!("{of:?}"), remedy);
            Some(gas::find(of).ok_or_else(refused)?.key.to_string())
        }
    };
    let stated = read(&fields, StatedSubstance::blank(number, of))?;
    let label = format!("figures of {} stated", name_of(&stated));
    let item = Item::Substance(stated);
    workflow
        .edit(id, version(&fields)?, &Edit::Add { item }, &label)
        .await?;
    Ok(to(id, "#substances"))
}

/// `POST /projects/{id}/substances/{substance}`, with the same fields less `of`.
pub(crate) async fn change(
    State(workflow): State<Workflow>,
    Place((id, substance)): Place<(ProjectId, SubstanceId)>,
    FormBody(fields): FormBody<Vec<(String, String)>>,
) -> Result<Redirect, WebError> {
    let opened = workflow.open(id).await?;
    let before = opened.project().substances.get(substance);
    let blank = || StatedSubstance::blank(substance, None);
    let after = read(&fields, before.cloned().unwrap_or_else(blank))?;
    if before != Some(&after) {
        let label = format!("figures of {} changed", name_of(&after));
        let item = Item::Substance(after);
        workflow
            .edit(id, version(&fields)?, &Edit::Change { item }, &label)
            .await?;
    }
    Ok(to(id, "#substances"))
}

/// `POST /projects/{id}/substances/{substance}/remove`
pub(crate) async fn remove(
    State(workflow): State<Workflow>,
    Place((id, substance)): Place<(ProjectId, SubstanceId)>,
    FormBody(asked): FormBody<RemoveIn>,
) -> Result<Redirect, WebError> {
    let opened = workflow.open(id).await?;
    let stated = opened.project().substances.get(substance);
    let label = format!(
        "figures of {} removed",
        stated.map_or_else(String::new, name_of)
    );
    let key = ItemKey::Substance(substance);
    workflow
        .edit(id, asked.version, &Edit::Remove { key }, &label)
        .await?;
    Ok(to(id, "#substances"))
}

const HAZARDS: [(Hazard, &str); 4] = [
    (Hazard::Flammable, "flammable"),
    (Hazard::Toxic, "toxic"),
    (Hazard::OxygenDepletion, "oxygen_depletion"),
    (Hazard::OxygenEnrichment, "oxygen_enrichment"),
];

fn name_of(stated: &StatedSubstance) -> String {
    match stated.of.as_deref().and_then(gas::find) {
        Some(known) => known.name.to_string(),
        None => stated.called().to_owned(),
    }
}

fn figure_rows(
    stated: &StatedSubstance,
    results: Option<&[StatedFigureResult]>,
    figures: &Figures,
) -> Vec<FigureRow> {
    let row = |kind: FigureKind| {
        let mut row = figure_row(stated, kind);
        let result = results.and_then(|all| all.iter().find(|one| one.figure == kind));
        if let Some(result) = result {
            row.published = result
                .published
                .map(|published| figures.figure(published, Decimals::AsSet));
            row.laxer = result.laxer;
        }
        row
    };
    FigureKind::ALL.into_iter().map(row).collect()
}

fn figure_row(stated: &StatedSubstance, kind: FigureKind) -> FigureRow {
    let figure = stated.figure(kind);
    FigureRow {
        key: kind.word(),
        label: kind.label(),
        unit: kind.unit().to_string(),
        value: figure.map_or_else(String::new, |figure| figure.value.to_string()),
        reason: figure.map_or_else(String::new, |figure| figure.reason.clone()),
        published: None,
        laxer: false,
    }
}

fn class_rows(stated: &StatedSubstance) -> Vec<ClassRow> {
    let group = stated.gas_group.as_ref();
    let groups = GasGroup::ALL.into_iter().map(|one| Pick {
        key: one.label(),
        label: one.label(),
        here: group.is_some_and(|group| group.value == one),
    });
    let class = stated.temperature_class.as_ref();
    let classes = TemperatureClass::ALL.into_iter().map(|one| Pick {
        key: one.label(),
        label: one.label(),
        here: class.is_some_and(|class| class.value == one),
    });
    vec![
        ClassRow {
            key: "gas_group",
            label: "gas group",
            picks: groups.collect(),
            reason: group.map_or_else(String::new, |group| group.reason.clone()),
        },
        ClassRow {
            key: "temperature_class",
            label: "temperature class",
            picks: classes.collect(),
            reason: class.map_or_else(String::new, |class| class.reason.clone()),
        },
    ]
}

/// A principle, the word of its field and what that says.
const SENSING: [(Principle, &str, &str); 6] = [
    (
        Principle::Catalytic,
        "sees_catalytic",
        "a catalytic detector",
    ),
    (Principle::Infrared, "sees_infrared", "an infrared detector"),
    (
        Principle::Electrochemical,
        "sees_electrochemical",
        "an electrochemical cell",
    ),
    (
        Principle::ThermalConductivity,
        "sees_thermal",
        "a thermal conductivity detector",
    ),
    (
        Principle::Semiconductor,
        "sees_semiconductor",
        "a semiconductor",
    ),
    (
        Principle::Photoionisation,
        "sees_photoionisation",
        "a photoionisation detector",
    ),
];
const SEES: &str = "sees it";
const BLIND: &str = "does not see it";

fn sensing_rows(stated: &StatedSubstance) -> Vec<ClassRow> {
    let row = |(principle, key, label): (Principle, &'static str, &'static str)| {
        let here = stated.sensing.iter().find(|one| one.principle == principle);
        let pick = |label: &'static str, sees: bool| Pick {
            key: label,
            label,
            here: here.is_some_and(|one| one.sees == sees),
        };
        ClassRow {
            key,
            label,
            picks: vec![pick(SEES, true), pick(BLIND, false)],
            reason: here.map_or_else(String::new, |one| one.reason.clone()),
        }
    };
    SENSING.into_iter().map(row).collect()
}

/// What a form states; what it has no field for stays as it is in `stated`.
fn read(
    fields: &[(String, String)],
    mut stated: StatedSubstance,
) -> Result<StatedSubstance, WebError> {
    let text = |name: &str| field(fields, name).trim().to_owned();
    let some = |name: &str| Some(text(name)).filter(|text| !text.is_empty());
    if stated.is_own() {
        stated.name = text("name");
        stated.formula = some("formula");
        stated.cas = some("cas");
    }
    let called = name_of(&stated);
    let ticked = |key: &str| {
        fields
            .iter()
            .any(|(name, at)| name == "hazard" && at == key)
    };
    let hazards: Vec<Hazard> = (HAZARDS.into_iter())
        .filter_map(|(hazard, key)| ticked(key).then_some(hazard))
        .collect();
    stated.hazards = (!hazards.is_empty()).then(|| Stated {
        value: hazards,
        reason: text("hazards_reason"),
    });
    stated.figures = Vec::new();
    for figure in FigureKind::ALL {
        if let Some(value) = some(figure.word()) {
            stated.figures.push(StatedFigure {
                figure,
                value: number(&format!("{} of {called}", figure.label()), &value)?,
                reason: text(&format!("{}_reason", figure.word())),
            });
        }
    }
    let group = text("gas_group");
    let group = GasGroup::ALL.into_iter().find(|one| one.label() == group);
    stated.gas_group = group.map(|value| Stated {
        value,
        reason: text("gas_group_reason"),
    });
    let class = text("temperature_class");
    let class = (TemperatureClass::ALL.into_iter()).find(|one| one.label() == class);
    stated.temperature_class = class.map(|value| Stated {
        value,
        reason: text("temperature_class_reason"),
    });
    stated.sensing = (SENSING.into_iter())
        .filter_map(|(principle, key, _)| {
            let said = text(key);
            (said == SEES || said == BLIND).then(|| StatedSensing {
                principle,
                sees: said == SEES,
                reason: text(&format!("{key}_reason")),
            })
        })
        .collect();
    Ok(stated)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fields(pairs: &[(&str, &str)]) -> Vec<(String, String)> {
        let owned = |(key, value): &(&str, &str)| ((*key).to_owned(), (*value).to_owned());
        pairs.iter().map(owned).collect()
    }

    #[test]
    fn a_form_states_figures_with_their_reasons_and_leaves_out_empty_ones() {
        let form = fields(&[
            ("name", " Thinner 12 "),
            ("cas", ""),
            ("hazard", "flammable"),
            ("hazards_reason", "safety data sheet"),
            ("molar_mass", "92,1"),
            ("molar_mass_reason", "its main part"),
            ("ufl", " "),
            ("gas_group", "IIB"),
            ("gas_group_reason", "supplier"),
            ("sees_infrared", "sees it"),
            ("sees_infrared_reason", "tried on site"),
            ("sees_catalytic", ""),
        ]);
        let stated = read(&form, StatedSubstance::blank(SubstanceId(3), None)).unwrap();
        assert_eq!(
            (stated.name.as_str(), stated.cas.as_deref()),
            ("Thinner 12", None)
        );
        assert_eq!(stated.hazards.unwrap().value, [Hazard::Flammable]);
        assert_eq!(stated.figures.len(), 1);
        assert_eq!(
            (stated.figures[0].value, stated.figures[0].reason.as_str()),
            (92.1, "its main part")
        );
        assert_eq!(stated.gas_group.unwrap().value, GasGroup::Iib);
        assert!(stated.temperature_class.is_none());
        let [sensing] = &stated.sensing[..] else {
            panic!("{:?}", stated.sensing);
        };
        assert_eq!(
            (sensing.principle, sensing.sees),
            (Principle::Infrared, true)
        );
        assert_eq!(sensing.reason, "tried on site");
    }

    #[test]
    fn a_figure_that_is_no_number_is_refused() {
        let form = fields(&[("lfl", "low")]);
        let of = Some("74-82-8".to_owned());
        assert!(read(&form, StatedSubstance::blank(SubstanceId(1), of)).is_err());
    }
}
