//! A table as a value: what stands in it, not how a file format shows it.

use crate::documents::number::{self, Decimals};
use crate::engine::Quantity;
use crate::model::{Citation, Project, UnitSystem};
use crate::units::Unit;

/// A schedule or list.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// Name for files and anchors, such as "detector-schedule".
    pub key: &'static str,
    /// Heading it prints under.
    pub title: String,
    pub columns: Vec<Column>,
    pub rows: Vec<Row>,
    /// Sentences under the table.
    pub notes: Vec<String>,
    /// Said in place of the table where it has no row.
    pub empty: String,
    /// The system of units the figures print in.
    pub units: UnitSystem,
    /// Stands before money.
    pub currency: String,
}

/// A column of a table.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    pub head: &'static str,
    pub kind: ColumnKind,
    /// Share of the width in print, in about millimetres of a page 270 mm wide.
    pub width: f64,
}

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ColumnKind {
    Text,
    /// Figures of one unit.
    Number(Unit),
    /// Figures whose unit changes from row to row.
    Mixed,
    /// Left empty in print for somebody to write in.
    ToFill,
}

/// A row of a table.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    pub kind: RowKind,
    /// One cell per column; a heading has one cell.
    pub cells: Vec<Cell>,
}

/// What a row is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RowKind {
    Plain,
    /// Names the group of the rows below it.
    Heading,
    Subtotal,
    Total,
}

/// What stands in one place of a table.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    Text(String),
    /// A computed figure; its trace says why.
    Number {
        quantity: Quantity,
        decimals: Decimals,
    },
    /// A figure that was stated, with the ground it stands on.
    Stated {
        value: f64,
        unit: Unit,
        decimals: Decimals,
        citation: Citation,
    },
    /// The sum of figures that stand in the rows above it.
    Sum {
        of: Vec<Quantity>,
        decimals: Decimals,
    },
}

impl Table {
    /// A table without rows that prints in the project's units and currency.
    pub fn new(
        project: &Project,
        key: &'static str,
        title: impl Into<String>,
        columns: Vec<Column>,
        empty: impl Into<String>,
    ) -> Self {
        Table {
            key,
            title: title.into(),
            columns,
            rows: Vec::new(),
            notes: Vec::new(),
            empty: empty.into(),
            units: project.head.units,
            currency: project.catalogue.currency.clone(),
        }
    }

    /// Adds a row of things.
    pub fn row(&mut self, cells: Vec<Cell>) {
        self.push(RowKind::Plain, cells);
    }

    /// Adds a row that names the group of the rows below it.
    pub fn heading(&mut self, title: impl Into<String>) {
        self.push(RowKind::Heading, vec![Cell::text(title)]);
    }

    /// Adds a row of another kind.
    pub fn push(&mut self, kind: RowKind, cells: Vec<Cell>) {
        self.rows.push(Row { kind, cells });
    }

    /// How many rows of things there are.
    pub fn n_rows(&self) -> usize {
        let plain = |row: &&Row| row.kind == RowKind::Plain;
        self.rows.iter().filter(plain).count()
    }

    /// A cell as it is printed.
    pub fn print(&self, cell: &Cell) -> String {
        match (cell.figure(), cell) {
            (Some((value, unit, decimals)), _) => {
                number::text(value, unit, decimals, self.units, &self.currency)
            }
            (None, Cell::Text(text)) => text.clone(),
            (None, _) => String::new(),
        }
    }
}

impl Column {
    /// A column of words.
    pub const fn text(head: &'static str, width: f64) -> Self {
        Column {
            head,
            kind: ColumnKind::Text,
            width,
        }
    }

    /// A column of figures of one unit.
    pub const fn number(head: &'static str, unit: Unit, width: f64) -> Self {
        Column {
            head,
            kind: ColumnKind::Number(unit),
            width,
        }
    }

    /// A column of figures of several units.
    pub const fn mixed(head: &'static str, width: f64) -> Self {
        Column {
            head,
            kind: ColumnKind::Mixed,
            width,
        }
    }

    /// A column for somebody to write in.
    pub const fn to_fill(head: &'static str, width: f64) -> Self {
        Column {
            head,
            kind: ColumnKind::ToFill,
            width,
        }
    }

    /// Whether it holds figures, which stand to the right.
    pub const fn is_number(&self) -> bool {
        matches!(self.kind, ColumnKind::Number(_) | ColumnKind::Mixed)
    }
}

impl Cell {
    /// A cell of words.
    pub fn text(text: impl Into<String>) -> Self {
        Cell::Text(text.into())
    }

    /// A cell with nothing in it.
    pub const fn empty() -> Self {
        Cell::Text(String::new())
    }

    /// A computed figure with the digits of its unit.
    pub const fn number(quantity: Quantity) -> Self {
        Cell::Number {
            quantity,
            decimals: Decimals::OfUnit,
        }
    }

    /// A height: to 0.01 m.
    pub const fn height(quantity: Quantity) -> Self {
        Cell::Number {
            quantity,
            decimals: Decimals::Places(2),
        }
    }

    /// A set-point, a limit or a range: exactly as it was set.
    pub const fn as_set(quantity: Quantity) -> Self {
        Cell::Number {
            quantity,
            decimals: Decimals::AsSet,
        }
    }

    /// A figure where there is one.
    pub fn maybe(cell: Option<Cell>) -> Self {
        cell.unwrap_or(Cell::empty())
    }

    /// Value, unit and digits, where the cell holds a figure.
    pub fn figure(&self) -> Option<(f64, Unit, Decimals)> {
        match self {
            Cell::Text(_) => None,
            Cell::Number { quantity, decimals } => Some((quantity.value, quantity.unit, *decimals)),
            Cell::Stated {
                value,
                unit,
                decimals,
                ..
            } => Some((*value, *unit, *decimals)),
            Cell::Sum { of, decimals } => {
                let unit = of.first().map_or(Unit::One, |quantity| quantity.unit);
                Some((
                    of.iter().map(|quantity| quantity.value).sum(),
                    unit,
                    *decimals,
                ))
            }
        }
    }
}
