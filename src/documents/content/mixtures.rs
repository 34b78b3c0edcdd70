//! The mixtures of a project: what they are made of, and what that comes to.

use crate::documents::number::Decimals;
use crate::documents::table::{Cell, Column, Table};
use crate::engine::gas::{Substances, within_sentence};
use crate::engine::results::MixtureResult;
use crate::engine::{Quantity, Results};
use crate::model::{Citation, FractionOf, Mixture, MixturePart, Project};
use crate::units::Unit;

/// Every stated mixture: its components, density, limits, and what each hazard is watched by.
pub fn mixtures(project: &Project, results: &Results) -> Table {
    let columns = vec![
        Column::text("mixture", 50.0),
        Column::text("component or figure", 90.0),
        Column::mixed("as stated", 40.0),
        Column::mixed("in the gas", 40.0),
        Column::text("remark", 50.0),
    ];
    let empty = "No mixture is stated.";
    let mut table = Table::new(project, "mixtures", "Mixtures", columns, empty);
    for mixture in &project.mixtures {
        let name = mixture.name.trim();
        table.heading(format!("{name}, shares by {}", mixture.by.label()));
        let Some(result) = results.mixtures.get(&mixture.id) else {
            let said = "one of its components is in no table";
            table.row(cells(name, said, Cell::empty(), Cell::empty(), ""));
            continue;
        };
        components(&mut table, project, mixture, result);
        figures(&mut table, name, result);
        for watch in &result.watch {
            let what = format!("{} is watched by", watch.hazard.label());
            let share = watch.response.value;
            let remark = match share < 0.995 {
                true => format!("{:.0} % of that hazard", 100.0 * share),
                false => String::new(),
            };
            let by = Cell::text(within_sentence(&watch.name));
            table.row(cells(name, &what, Cell::empty(), by, &remark));
        }
        let notes = result.notes.iter();
        table
            .notes
            .extend(notes.map(|note| format!("{name}: {note}")));
    }
    table.notes.push(
        "Limits of mixtures are by Le Chatelier's rule and the additive rule; a certificate of the \
         mixture goes before them."
            .to_owned(),
    );
    table
}

fn components(table: &mut Table, project: &Project, mixture: &Mixture, result: &MixtureResult) {
    let name = mixture.name.trim();
    let unit = match mixture.by {
        FractionOf::Mole => "mole",
        FractionOf::Mass => "mass",
    };
    let stated = |part: &MixturePart| Cell::Stated {
        value: (part.fraction * 1e6).round() / 1e4,
        unit: Unit::Percent,
        decimals: Decimals::AsSet,
        citation: Citation::Designer,
    };
    let share = |quantity: Quantity| Cell::Number {
        quantity,
        decimals: Decimals::Significant(4),
    };
    let mut listed: Vec<String> = Vec::new();
    for part in &mixture.components {
        let label = Substances::of(project).name(&part.substance);
        let in_gas = result.parts.iter().find(|found| found.name == label);
        let in_gas = Cell::maybe(in_gas.map(|found| share(found.share)));
        table.row(cells(name, &label, stated(part), in_gas, unit));
        listed.push(label.into_owned());
    }
    // What a component that is a mixture itself brings along.
    let others = result
        .parts
        .iter()
        .filter(|part| !listed.contains(&part.name));
    for part in others {
        let remark = "part of a component";
        table.row(cells(
            name,
            &part.name,
            Cell::empty(),
            share(part.share),
            remark,
        ));
    }
}

fn figures(table: &mut Table, name: &str, result: &MixtureResult) {
    let three = Decimals::Significant(3);
    let all = [
        (
            "density relative to air",
            Some(result.relative_density),
            Decimals::Places(3),
        ),
        ("molar mass", Some(result.molar_mass), Decimals::Places(2)),
        ("lower flammable limit", result.lfl, three),
        ("exposure limit of the mixture", result.limit, three),
        (
            "flammability of the inerted mixture, burns above 1",
            result.critical,
            three,
        ),
    ];
    for (label, quantity, decimals) in all {
        if let Some(quantity) = quantity {
            let figure = Cell::Number { quantity, decimals };
            table.row(cells(name, label, Cell::empty(), figure, ""));
        }
    }
}

fn cells(mixture: &str, what: &str, stated: Cell, in_gas: Cell, remark: &str) -> Vec<Cell> {
    let (mixture, what) = (Cell::text(mixture), Cell::text(what));
    vec![mixture, what, stated, in_gas, Cell::text(remark)]
}
