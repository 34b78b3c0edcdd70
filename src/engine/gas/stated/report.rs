//! What the project's figures of substances come to, and where one is less safe than what it
//! replaces.

use std::collections::BTreeMap;

use crate::engine::finding::{Finding, Severity};
use crate::engine::gas::stated::{over, own, published, quoted};
use crate::engine::gas::substance::{Figure, Substance};
use crate::engine::gas::{density, hazards, is_toxic, lookup, sensing, within_sentence};
use crate::engine::results::{StatedFigureResult, StatedWord, SubstanceResult};
use crate::engine::trace::Trace;
use crate::model::{
    FigureKind, Hazard, ItemKey, Project, StatedFigure, StatedSubstance, SubstanceId,
};

/// A molar mass may differ so much from the published one, as a fraction, by its atoms' weights.
const SAME_MASS: f64 = 0.005;

/// What is stated of each substance, with findings about what is laxer than the tables have it or
/// is lacking.
pub fn step(
    project: &Project,
    trace: &mut Trace,
    findings: &mut Vec<Finding>,
) -> BTreeMap<SubstanceId, SubstanceResult> {
    let mut results = BTreeMap::new();
    for stated in &project.substances {
        let base = stated.of.as_deref().and_then(lookup::find);
        if base.is_none() && !stated.is_own() {
            let id = format!("gas.stated_unknown/substance-{}", stated.id);
            let message = format!(
                "Figures are stated of {:?}, which no table knows: they count for nothing.",
                stated.called()
            );
            let remedy = "Remove the statement, or state a substance of your own.";
            let finding = Finding::new(id, Severity::Blocker, message, remedy);
            findings.push(finding.about(ItemKey::Substance(stated.id)));
            continue;
        }
        let known = match base {
            Some(base) => over(project, base, stated),
            None => own(stated),
        };
        let made = Made {
            stated,
            base,
            known: &known,
        };
        let result = made.result(project, trace);
        made.judge(&result, trace, findings);
        results.insert(stated.id, result);
    }
    results
}

/// A substance of which figures are stated.
struct Made<'a> {
    stated: &'a StatedSubstance,
    /// As the tables have it.
    base: Option<&'a Substance>,
    known: &'a Substance,
}

impl Made<'_> {
    fn result(&self, project: &Project, trace: &mut Trace) -> SubstanceResult {
        let figures = self.stated.figures.iter();
        let figures = figures
            .map(|one| self.figure(project, trace, one))
            .collect();
        SubstanceResult {
            key: self.known.key.to_string(),
            name: self.known.name.to_string(),
            own: self.stated.is_own(),
            hazards: hazards(self.known),
            relative_density: density::relative_density(trace, self.known),
            figures,
            words: self.words(),
            lacks: match self.stated.is_own() {
                true => lacks(self.known),
                false => Vec::new(),
            },
        }
    }

    fn figure(
        &self,
        project: &Project,
        trace: &mut Trace,
        one: &StatedFigure,
    ) -> StatedFigureResult {
        let jurisdiction = project.head.jurisdiction;
        let kind = one.figure;
        let title = |what: &str| format!("{what} of {}", self.known.name);
        let replaced = self
            .base
            .and_then(|base| published(base, kind, jurisdiction));
        // The published figure comes first, so that the trace tells the one in use last.
        let beside = replaced.as_ref().map(|figure| {
            let title = title(&format!("Published {}", kind.label()));
            trace.given(title, figure.value, figure.unit, figure.citation.clone())
        });
        let stated = published(self.known, kind, jurisdiction);
        let citation = match kind {
            FigureKind::VapourPressure => self.known.stated_vapour.as_ref(),
            _ => stated.as_ref(),
        };
        let citation = citation.expect("what is stated is there").citation.clone();
        let mut label = kind.label().to_owned();
        label[..1].make_ascii_uppercase();
        let value = trace.given(title(&label), one.value, kind.unit(), citation);
        StatedFigureResult {
            figure: kind,
            value,
            reason: one.reason.trim().to_owned(),
            published: beside,
            laxer: replaced.is_some_and(|figure| consequence(one, &figure).is_some()),
        }
    }

    fn words(&self) -> Vec<StatedWord> {
        let mut words = Vec::new();
        if let Some(stated) = &self.stated.hazards {
            let labels = |all: &[Hazard]| {
                let labels: Vec<&str> = all.iter().map(|hazard| hazard.label()).collect();
                labels.join(", ")
            };
            words.push(StatedWord {
                what: "hazards".to_owned(),
                value: labels(&stated.value),
                reason: stated.reason.trim().to_owned(),
                published: self.base.map(|base| labels(&hazards(base))),
                laxer: false,
            });
        }
        if let Some(stated) = &self.stated.gas_group {
            let before = self.base.and_then(|base| base.gas_group);
            words.push(StatedWord {
                what: "gas group".to_owned(),
                value: stated.value.label().to_owned(),
                reason: stated.reason.trim().to_owned(),
                published: before.map(|group| group.label().to_owned()),
                laxer: before.is_some_and(|before| stated.value < before),
            });
        }
        if let Some(stated) = &self.stated.temperature_class {
            let before = self.base.and_then(|base| base.temperature_class);
            words.push(StatedWord {
                what: "temperature class".to_owned(),
                value: stated.value.label().to_owned(),
                reason: stated.reason.trim().to_owned(),
                published: before.map(|class| class.label().to_owned()),
                laxer: before.is_some_and(|before| stated.value < before),
            });
        }
        words.extend(self.sensing());
        words
    }

    fn sensing(&self) -> Vec<StatedWord> {
        let words = |sees: bool| if sees { "sees it" } else { "does not see it" }.to_owned();
        let all = self.stated.sensing.iter().map(|one| {
            let before = self
                .base
                .map(|base| !sensing::never_fit(one.principle, base));
            StatedWord {
                what: one.principle.label().to_owned(),
                value: words(one.sees),
                reason: one.reason.trim().to_owned(),
                published: before.map(words),
                laxer: one.sees && before == Some(false),
            }
        });
        all.collect()
    }

    fn judge(&self, result: &SubstanceResult, trace: &Trace, findings: &mut Vec<Finding>) {
        let about = ItemKey::Substance(self.stated.id);
        let name = within_sentence(&self.known.name);
        let id = |what: &str| format!("gas.stated_{what}/substance-{}", self.stated.id);
        let remedy = "Take the published figure, or have the reason agreed by who answers for the \
                      safety of the plant.";
        for (one, made) in self.stated.figures.iter().zip(&result.figures) {
            let Some(beside) = made.published else {
                continue;
            };
            let entry = trace
                .entry(beside.why)
                .expect("a published figure is traced");
            let figure = Figure {
                value: beside.value,
                unit: beside.unit,
                citation: entry.citation.clone(),
            };
            let Some(then) = consequence(one, &figure) else {
                continue;
            };
            let unit = beside.unit.symbol();
            let message = format!(
                "The {} of {name} is stated for this project as {} {unit}; published is {} {unit} \
                 ({}). {then} The reason stated: {}",
                one.figure.label(),
                quoted(one.value),
                quoted(beside.value),
                figure.citation.text(),
                one.reason.trim()
            );
            let what = format!("laxer_{}", one.figure.word());
            let finding = Finding::new(id(&what), Severity::Warning, message, remedy);
            findings.push(finding.about(about).held_against(made.value, beside));
        }
        for (idx, word) in result
            .words
            .iter()
            .enumerate()
            .filter(|(_, word)| word.laxer)
        {
            let message = format!(
                "Of {name} the project states: {}, {}; by the tables: {}. It asks less of the \
                 equipment. The reason stated: {}",
                word.what,
                word.value,
                word.published.as_deref().unwrap_or("nothing"),
                word.reason
            );
            let what = format!("laxer_word_{idx}");
            let finding = Finding::new(id(&what), Severity::Warning, message, remedy);
            findings.push(finding.about(about));
        }
        if !result.lacks.is_empty() {
            let message = format!("{}: {}", self.known.name, result.lacks.join(" "));
            let remedy = "Take them from its safety data sheet or its supplier.";
            let finding = Finding::new(id("lacks"), Severity::Note, message, remedy);
            findings.push(finding.about(about));
        }
    }
}

/// What follows where a stated figure is less safe than the published one; `None` where it is not.
fn consequence(one: &StatedFigure, published: &Figure) -> Option<&'static str> {
    let (stated, before) = (one.value, published.value);
    let above = stated > before * (1.0 + 1e-9);
    let below = stated < before * (1.0 - 1e-9);
    match one.figure {
        FigureKind::Lfl if above => Some("Every alarm set by it comes later."),
        FigureKind::Ufl if below => Some("A mixture that still burns passes for too rich."),
        FigureKind::LongLimit | FigureKind::ShortLimit | FigureKind::CeilingLimit if above => {
            Some("People may breathe more of it before an alarm.")
        }
        FigureKind::Idlh | FigureKind::PracticalLimit if above => {
            Some("More of it passes for harmless.")
        }
        FigureKind::BoilingPoint if stated > before + 1e-9 => Some("Less vapour is reckoned with."),
        FigureKind::VapourPressure if below => Some("Less vapour is reckoned with."),
        FigureKind::AutoIgnition if above => Some("Hotter surfaces pass for safe."),
        FigureKind::IonisationEnergy if below => {
            Some("A lamp passes for strong enough that may not be.")
        }
        FigureKind::MolarMass if (stated / before - 1.0).abs() > SAME_MASS => {
            Some("It decides whether the gas is sought high or low.")
        }
        _ => None,
    }
}

/// What is not stated of a substance of the project's own, and what is taken instead.
fn lacks(known: &Substance) -> Vec<String> {
    let mut said = Vec::new();
    let mut say = |text: &str| said.push(text.to_owned());
    let all = hazards(known);
    if all.contains(&Hazard::Flammable) && known.lfl.is_empty() {
        say("No lower flammable limit is stated, so set-points in %LFL cannot be told in ppm.");
    }
    if is_toxic(known) && known.limits.is_empty() && known.idlh.is_none() {
        say(
            "Neither an exposure limit nor what is immediately dangerous is stated, so it gets no \
             toxic set-point.",
        );
    } else if is_toxic(known) && known.idlh.is_none() {
        say(
            "What is immediately dangerous is not stated: the limit for short exposure, else the \
             highest set-point, stands for what harms.",
        );
    }
    if known.boiling_point.is_none() {
        say("No boiling point is stated: it is taken to leave at the temperature of the room.");
    }
    if known.stated_vapour.is_none() && known.boiling_point.as_ref().is_none_or(|b| b.value > 15.0)
    {
        say(
            "No vapour pressure is stated: its vapour over a liquid is sought low, and how much \
             of it there is, is not known.",
        );
    }
    if all.contains(&Hazard::Flammable)
        && (known.gas_group.is_none() || known.temperature_class.is_none())
    {
        say("Gas group or temperature class are not stated: choose equipment for IIC T6, or ask.");
    }
    said
}
