//! The embedded tables: one CSV file a publication, read as published.
//!
//! Must not interpret a figure. Every row ends in `work`, `clause`, `memory`: its citation; lines
//! before the header that begin with `#` say where the rows were read.

use std::borrow::Cow;

use crate::model::Citation;

/// An embedded table.
pub struct Table {
    /// File name, such as "nfpa_497_2008.csv".
    pub file: &'static str,
    text: &'static str,
}

/// A row of a table, with access by column name.
#[derive(Debug, Clone)]
pub struct Row {
    file: &'static str,
    number: u64,
    cells: Vec<(&'static str, &'static str)>,
}

macro_rules! tables {
    ($($(#[$doc:meta])* $name:ident = $file:literal;)*) => {
        $($(#[$doc])* pub static $name: Table =
            Table { file: $file, text: include_str!(concat!("tables/", $file)) };)*

        /// Every table.
        pub static TABLES: &[&Table] = &[$(&$name),*];
    };
}

tables! {
    /// What exists: keys, names, formulas.
    IDENTITY = "identity.csv";
    ATOMIC_WEIGHTS = "iupac_atomic_weights_2021.csv";
    /// Mixtures by mole fraction.
    MIXTURES = "mixture_compositions_common_practice.csv";
    /// Refrigerant blends by mass fraction.
    BLENDS = "ashrae_34_2019_blends.csv";
    SAFETY_CLASSES = "ashrae_34_2019_classes.csv";
    IEC_FLAMMABLE = "iec_60079_20_1_2010.csv";
    NFPA_FLAMMABLE = "nfpa_497_2008.csv";
    REFRIGERANT_LIMITS = "en_378_1_2016.csv";
    APPLIANCE_REFRIGERANTS = "iec_60335_2_40_2018.csv";
    SILANE = "cga_g_13_2006.csv";
    POCKET_GUIDE = "niosh_pocket_guide_2005.csv";
    CLASSIFICATION = "eu_clp_1272_2008_annex_vi.csv";
    US_Z1 = "29cfr1910_1000_table_z1.csv";
    US_Z2 = "29cfr1910_1000_table_z2.csv";
    US_SUBSTANCES = "29cfr1910_subpart_z_substances.csv";
    EU_INDICATIVE = "eu_iolv_directives.csv";
    EU_CARCINOGENS = "eu_directive_2004_37_ec.csv";
    UK_WELS = "eh40_2020.csv";
    ONTARIO = "ontario_reg_833_2020.csv";
    BOILING_POINTS = "crc_handbook_97_boiling_points.csv";
    CRITICAL = "poling_2001_critical.csv";
    CRITICAL_REFRIGERANTS = "ashrae_fundamentals_2017_critical.csv";
    CRITICAL_FLUIDS = "refprop_10_2018_critical.csv";
    MEASURED_VIRIAL = "dymond_2002_second_virial.csv";
    IONISATION = "crc_handbook_97_ionisation_energies.csv";
    CELLS = "electrochemical_cells_common_practice.csv";
    ANTOINE_LN_KPA = "smith_van_ness_2018_antoine.csv";
    ANTOINE_LOG_MMHG = "langes_15_antoine.csv";
}

impl Table {
    /// A table of another module; `file` is its name in messages.
    pub const fn new(file: &'static str, text: &'static str) -> Self {
        Table { file, text }
    }

    /// The rows in file order. The text is leaked: tables are read once for the program's life.
    pub fn rows(&self) -> Vec<Row> {
        let mut reader = csv::ReaderBuilder::new()
            .comment(Some(b'#'))
            .from_reader(self.text.as_bytes());
        let header = reader
            .headers()
            .expect("an embedded table has a header row")
            .clone();
        let header: Vec<&'static str> = header.iter().map(leak).collect();
        reader
            .records()
            .map(|record| {
                let record = record.unwrap_or_else(|err| panic!("{}: {err}", self.file));
                let cells = header
                    .iter()
                    .copied()
                    .zip(record.iter().map(leak))
                    .collect();
                Row {
                    file: self.file,
                    number: record.position().map_or(0, csv::Position::line),
                    cells,
                }
            })
            .collect()
    }

    /// The row whose first column is `key`.
    pub fn rows_of(&self, key: &str) -> Vec<Row> {
        self.rows()
            .into_iter()
            .filter(|row| row.cells[0].1 == key)
            .collect()
    }
}

impl Row {
    /// The first column.
    pub fn key(&self) -> &'static str {
        self.cells[0].1
    }

    /// A cell as text; empty where nothing is stated.
    pub fn text(&self, column: &str) -> &'static str {
        let cell = self.cells.iter().find(|(name, _)| *name == column);
        cell.unwrap_or_else(|| panic!("{} has a column {column}", self.file))
            .1
    }

    /// A cell as text, `None` where nothing is stated.
    pub fn stated(&self, column: &str) -> Option<&'static str> {
        Some(self.text(column)).filter(|text| !text.is_empty())
    }

    /// A cell as a list parted by semicolons.
    pub fn list(&self, column: &str) -> Vec<&'static str> {
        self.text(column)
            .split(';')
            .filter(|part| !part.is_empty())
            .collect()
    }

    /// A cell as a number, `None` where nothing is stated.
    pub fn number(&self, column: &str) -> Option<f64> {
        self.stated(column).map(|text| {
            text.parse().unwrap_or_else(|_| {
                panic!(
                    "{} line {}: {column} {text:?} is a number",
                    self.file, self.number
                )
            })
        })
    }

    /// A cell that must state a number.
    pub fn required(&self, column: &str) -> f64 {
        self.number(column)
            .unwrap_or_else(|| panic!("{} line {}: {column} is stated", self.file, self.number))
    }

    /// Where the row's figures come from.
    pub fn citation(&self) -> Citation {
        match self.text("work") {
            "common practice" => Citation::CommonPractice,
            work => Citation::Published {
                work: Cow::Borrowed(work),
                clause: Cow::Borrowed(self.text("clause")),
                from_memory: self.text("memory") == "yes",
            },
        }
    }
}

fn leak(text: &str) -> &'static str {
    text.to_owned().leak()
}
