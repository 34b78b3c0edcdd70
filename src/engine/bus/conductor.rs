//! Resistance of copper conductors (IEC 60228). It knows nothing of segments.

use crate::engine::formula::{Formula, Symbol};
use crate::engine::trace::{Quantity, Trace};
use crate::model::basis::CONDUCTOR_TEMPERATURE;
use crate::model::{CableClass, CatalogueItem, Citation, ItemKind, Project};
use crate::units::Unit;

const TABLE: &str = include_str!("tables/iec_60228_2004.csv");

/// The work the table comes from.
pub const IEC_60228: &str = "IEC 60228:2004";

/// Resistance where the table has no such cross-section.
pub static RESISTANCE_BETWEEN: Formula = Formula {
    id: "bus.resistance_between",
    title: "Resistance of a conductor whose cross-section the table does not list",
    expression: "r₂₀ = k / A",
    inputs: &[
        Symbol::new(
            "k",
            "greatest product of resistance and cross-section in the table",
            Unit::One,
        )
        .within(17.241, 20.0),
        Symbol::new("A", "cross-section of one core", Unit::SquareMillimetre).within(0.05, 300.0),
    ],
    repeats: false,
    output: Symbol::new(
        "r₂₀",
        "resistance of one conductor at 20 °C",
        Unit::OhmPerKilometre,
    ),
    citation: Citation::CommonPractice,
    compute: |x| x[0] / x[1],
    example: (&[18.525, 0.823], 22.509),
    example_from: "by hand; above the 20.95 ohm/km that pure copper (17.241 ohm mm²/km, IEC 60028, \
                   from memory) has at 0.823 mm²",
};

/// Resistance at the conductor's temperature.
pub static RESISTANCE_WARM: Formula = Formula {
    id: "bus.resistance_warm",
    title: "Resistance of a conductor at its temperature",
    expression: "r = r₂₀ [1 + 0.00393 (T − 20)]",
    inputs: &[
        Symbol::new(
            "r₂₀",
            "resistance of one conductor at 20 °C",
            Unit::OhmPerKilometre,
        ),
        Symbol::new("T", "conductor temperature", Unit::Celsius).within(-40.0, 120.0),
    ],
    repeats: false,
    output: Symbol::new("r", "resistance of one conductor", Unit::OhmPerKilometre),
    citation: Citation::from_memory("IEC 60287-1-1", "temperature coefficient of copper"),
    compute: |x| x[0] * (1.0 + 0.00393 * (x[1] - 20.0)),
    example: (&[13.3, 50.0], 14.868),
    example_from: "by hand; IEC 60228's own k = 250 / (230 + T) gives 14.896, 0.2 % more",
};

/// The table: cross-section (mm2), resistance of class 1 and 2, of class 5 and 6 (ohm/km).
pub fn table() -> Vec<(f64, f64, f64)> {
    TABLE
        .lines()
        .skip(1)
        .map(|line| {
            let mut cells = line.split(',');
            let mut next = || -> f64 {
                let cell = cells
                    .next()
                    .expect("the resistance table has three columns of figures");
                cell.parse()
                    .expect("the first three columns of the resistance table are figures")
            };
            (next(), next(), next())
        })
        .collect()
}

/// Cross-section (mm2) and class of a catalogue part; `None` where it is no cable.
pub fn cable(item: &CatalogueItem) -> Option<(f64, CableClass)> {
    match item.kind {
        ItemKind::Cable {
            cross_section_mm2,
            class,
        } => Some((cross_section_mm2, class)),
        _ => None,
    }
}

/// Ohm per kilometre of one core of this cable at the basis's conductor temperature.
pub fn resistance(
    project: &Project,
    (cross_section, class): (f64, CableClass),
    trace: &mut Trace,
) -> Quantity {
    let cold = cold(cross_section, class, trace);
    let temperature = trace.basis(&project.basis, &CONDUCTOR_TEMPERATURE);
    trace.eval(&RESISTANCE_WARM, &[cold, temperature])
}

fn cold(cross_section: f64, class: CableClass, trace: &mut Trace) -> Quantity {
    let (column, words) = match class {
        CableClass::Fixed => (0, "class 1 and 2, plain copper, 20 °C"),
        CableClass::Flexible => (1, "class 5 and 6, plain copper, 20 °C"),
    };
    let rows: Vec<(f64, f64)> = table()
        .into_iter()
        .map(|row| (row.0, [row.1, row.2][column]))
        .collect();
    let citation = Citation::published(IEC_60228, words);
    if let Some((_, ohms)) = rows.iter().find(|row| (row.0 - cross_section).abs() < 1e-9) {
        let title = format!("Resistance of a {cross_section} mm² conductor");
        return trace.given(title, *ohms, Unit::OhmPerKilometre, citation);
    }
    let greatest = rows
        .iter()
        .map(|(area, ohms)| area * ohms)
        .fold(0.0, f64::max);
    let title = "Greatest product of resistance and cross-section in the table, Ω·mm²/km";
    let product = trace.given(title, greatest, Unit::One, citation);
    let title = "Cross-section of one core";
    let area = trace.given(
        title,
        cross_section,
        Unit::SquareMillimetre,
        Citation::Catalogue,
    );
    trace.eval(&RESISTANCE_BETWEEN, &[product, area])
}
