//! The figures of substances that a project states: their list on the project page, and the forms
//! that change it.

use axum::extract::State;
use axum::response::Redirect;

use crate::documents::Decimals;
use crate::engine::gas;
use crate::engine::results::{StatedFigureResult, StatedWord, SubstanceResult};
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
    /// Begins the ids of its fields on the page.
    pub prefix: String,
    /// What is stated.
    pub stated: Rows,
    /// What may be stated yet.
    pub open: Rows,
    pub relative_density: Option<Figure>,
    /// What is not stated, and what is taken instead.
    pub lacks: Vec<String>,
}

/// Something that may be chosen.
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

/// A class, or whether a principle sees the substance: what may be stated by a choice.
pub(super) struct ChoiceRow {
    pub key: String,
    pub label: String,
    /// What holds where nothing is chosen.
    pub unstated: &'static str,
    pub picks: Vec<Pick>,
    pub reason: String,
    /// What is published, in whose place it stands.
    pub published: Option<String>,
    pub laxer: bool,
}

/// Rows of a form.
pub(super) struct Rows {
    pub figures: Vec<FigureRow>,
    pub choices: Vec<ChoiceRow>,
}

/// What the project states, in the order of ids.
pub(super) fn views(opened: &Opened, figures: &Figures) -> Vec<SubstanceView> {
    let view = |stated: &StatedSubstance| {
        let result = opened.results.substances.get(&stated.id);
        let hazards = stated.hazards.as_ref();
        let (rows, open) = rows(stated, result, figures);
        SubstanceView {
            id: stated.id.0,
            name: name_of(stated),
            own: stated.is_own(),
            formula: stated.formula.clone().unwrap_or_default(),
            cas: stated.cas.clone().unwrap_or_default(),
            hazards: hazard_picks(hazards.map_or(&[][..], |hazards| &hazards.value)),
            hazards_reason: hazards.map_or_else(String::new, |hazards| hazards.reason.clone()),
            prefix: format!("substance-{}", stated.id),
            stated: rows,
            open,
            relative_density: result
                .map(|result| figures.figure(result.relative_density, Decimals::Places(3))),
            lacks: result.map_or_else(Vec::new, |result| result.lacks.clone()),
        }
    };
    opened.project().substances.iter().map(view).collect()
}

/// All that may be stated, with nothing in it: of a known substance, or of one of the project's
/// own.
pub(super) fn blank_rows(own: bool) -> Rows {
    let of = (!own).then(String::new);
    let blank = StatedSubstance::blank(SubstanceId(0), of);
    let figures = FigureKind::ALL.into_iter();
    Rows {
        figures: figures.map(|kind| figure_row(&blank, kind)).collect(),
        choices: choice_rows(&blank),
    }
}

/// The hazards, none ticked.
pub(super) fn hazard_picks(here: &[Hazard]) -> Vec<Pick> {
    let picks = HAZARDS.into_iter();
    picks
        .map(|(hazard, key)| pick(key, hazard.label(), here.contains(&hazard)))
        .collect()
}

/// `POST /projects/{id}/substances`: `version`, `of` (a known substance by name, formula or CAS
/// number; empty for one of the project's own with `name`, `formula`, `cas`), and what is stated:
/// `hazard` as often as there are with `hazards_reason`, and each figure, class and principle by
/// its word with `<word>_reason`; a principle is `yes` where it sees the substance, `no` where not.
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
    let item = Item::Substance(stated.clone());
    workflow
        .edit(id, version(&fields)?, &Edit::Add { item }, &label)
        .await
        .map_err(|refused| named(refused.into(), &stated))?;
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
        let item = Item::Substance(after.clone());
        workflow
            .edit(id, version(&fields)?, &Edit::Change { item }, &label)
            .await
            .map_err(|refused| named(refused.into(), &after))?;
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

/// A refusal with the name of a known substance in the place of its key, which the model has.
fn named(mut error: WebError, stated: &StatedSubstance) -> WebError {
    if let Some(key) = &stated.of {
        let name = name_of(stated);
        error.message = error.message.replace(key, &name);
        error.field = error.field.map(|field| field.replace(key, &name));
    }
    error
}

fn name_of(stated: &StatedSubstance) -> String {
    match stated.of.as_deref().and_then(gas::find) {
        Some(known) => known.name.to_string(),
        None => stated.called().to_owned(),
    }
}

/// What is stated, and what may be stated yet.
fn rows(
    stated: &StatedSubstance,
    result: Option<&SubstanceResult>,
    figures: &Figures,
) -> (Rows, Rows) {
    let found = result.map_or(&[][..], |result| &result.figures);
    let all = figure_rows(stated, found, figures);
    let (stated_figures, open_figures) = all.into_iter().partition(|row| !row.value.is_empty());
    let mut choices = choice_rows(stated);
    for row in &mut choices {
        let is_it = |word: &&StatedWord| row.key == key_of(&word.what);
        if let Some(word) = result.and_then(|result| result.words.iter().find(is_it)) {
            row.published = word.published.clone();
            row.laxer = word.laxer;
        }
    }
    let is_stated = |row: &ChoiceRow| row.picks.iter().any(|pick| pick.here);
    let (stated_choices, open_choices) = choices.into_iter().partition(is_stated);
    let rows = |figures, choices| Rows { figures, choices };
    (
        rows(stated_figures, stated_choices),
        rows(open_figures, open_choices),
    )
}

fn figure_rows(
    stated: &StatedSubstance,
    results: &[StatedFigureResult],
    figures: &Figures,
) -> Vec<FigureRow> {
    let row = |kind: FigureKind| {
        let mut row = figure_row(stated, kind);
        if let Some(result) = results.iter().find(|one| one.figure == kind) {
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

/// Gas group, temperature class and what each principle sees.
fn choice_rows(stated: &StatedSubstance) -> Vec<ChoiceRow> {
    let unstated = match stated.is_own() {
        true => "not stated",
        false => "as published",
    };
    let row = |label: String, picks: Vec<Pick>, reason: Option<&String>| ChoiceRow {
        key: key_of(&label),
        label,
        unstated,
        picks,
        reason: reason.cloned().unwrap_or_default(),
        published: None,
        laxer: false,
    };
    let group = stated.gas_group.as_ref();
    let groups = GasGroup::ALL.into_iter().map(|one| {
        let here = group.is_some_and(|group| group.value == one);
        pick(one.label(), one.label(), here)
    });
    let class = stated.temperature_class.as_ref();
    let classes = TemperatureClass::ALL.into_iter().map(|one| {
        let here = class.is_some_and(|class| class.value == one);
        pick(one.label(), one.label(), here)
    });
    let mut rows = vec![
        row(
            "gas group".to_owned(),
            groups.collect(),
            group.map(|group| &group.reason),
        ),
        row(
            "temperature class".to_owned(),
            classes.collect(),
            class.map(|class| &class.reason),
        ),
    ];
    for principle in Principle::ALL {
        let said = (stated.sensing.iter()).find(|one| one.principle == principle);
        let sees = said.map(|one| one.sees);
        let picks = vec![
            pick(SEES, "sees it", sees == Some(true)),
            pick(SEES_NOT, "does not see it", sees == Some(false)),
        ];
        let mut seen = row(sensed(principle), picks, said.map(|one| &one.reason));
        seen.key = key_of(principle.label());
        rows.push(seen);
    }
    rows
}

/// Values of the choice whether a principle sees a substance.
const SEES: &str = "yes";
const SEES_NOT: &str = "no";

/// How the choice of a principle is called on the form.
fn sensed(principle: Principle) -> String {
    format!("{} sensor", principle.label())
}

/// Name of a form's field.
fn key_of(label: &str) -> String {
    label.replace(' ', "_")
}

const fn pick(key: &'static str, label: &'static str, here: bool) -> Pick {
    Pick { key, label, here }
}

/// What a form states; how a substance is usually held it has no field for, and that stays as it is
/// in `stated`.
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
    let sensing = Principle::ALL.into_iter().filter_map(|principle| {
        let key = key_of(principle.label());
        let sees = match text(&key).as_str() {
            SEES => true,
            SEES_NOT => false,
            _ => return None,
        };
        let reason = text(&format!("{key}_reason"));
        Some(StatedSensing {
            principle,
            sees,
            reason,
        })
    });
    stated.sensing = sensing.collect();
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
            ("catalytic", "yes"),
            ("catalytic_reason", "maker's list"),
            ("thermal_conductivity", "no"),
            ("thermal_conductivity_reason", "too near to air"),
            ("infrared", ""),
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
        let sensing = stated.sensing.iter();
        let sensing: Vec<_> = sensing
            .map(|one| (one.principle, one.sees, one.reason.as_str()))
            .collect();
        assert_eq!(
            sensing,
            [
                (Principle::Catalytic, true, "maker's list"),
                (Principle::ThermalConductivity, false, "too near to air"),
            ]
        );
    }

    #[test]
    fn a_figure_that_is_no_number_is_refused() {
        let form = fields(&[("lfl", "low")]);
        let of = Some("74-82-8".to_owned());
        assert!(read(&form, StatedSubstance::blank(SubstanceId(1), of)).is_err());
    }
}
