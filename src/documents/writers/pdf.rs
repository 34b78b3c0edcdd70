//! PDF: the whole set (cover, a sheet per floor, the schedules) or the calculation sheets. Typeset
//! from templates that we embed.
//!
//! The typesetter sees a world of our own: our templates, our fonts, the data; no file, no
//! network, no clock. The dates are the issue's, so the same document gives the same bytes.

mod calculation;

use std::collections::BTreeMap;
use std::sync::LazyLock;

use serde::Serialize;
use typst::diag::{FileError, FileResult, SourceDiagnostic};
use typst::foundations::{Bytes, Datetime, Duration, Smart};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, Timestamp};

use crate::documents::calculation::CalculationSheets;
use crate::documents::document::{CAUTION, Document};
use crate::documents::drawing::{Drawing, Spot};
use crate::documents::table::{Column, ColumnKind, RowKind, Table};
use crate::documents::writers::svg::svg;

const PROJECT: &str = "project.typ";
const CALCULATION: &str = "calculation.typ";
const TEMPLATES: [(&str, &str); 5] = [
    (
        CALCULATION,
        include_str!("../../../templates/pdf/calculation.typ"),
    ),
    (PROJECT, include_str!("../../../templates/pdf/project.typ")),
    (
        "style.typ",
        include_str!("../../../templates/pdf/style.typ"),
    ),
    (
        "cover.typ",
        include_str!("../../../templates/pdf/cover.typ"),
    ),
    (
        "table.typ",
        include_str!("../../../templates/pdf/table.typ"),
    ),
];

macro_rules! fonts {
    ($($name:literal),* $(,)?) => {
        [$(include_bytes!(concat!("../../../static/fonts/", $name)).as_slice()),*]
    };
}

static FONTS: LazyLock<Vec<Font>> = LazyLock::new(|| {
    let files = fonts![
        "BarlowSemiCondensed-Regular.ttf",
        "BarlowSemiCondensed-Italic.ttf",
        "BarlowSemiCondensed-Medium.ttf",
        "BarlowSemiCondensed-SemiBold.ttf",
        "BarlowSemiCondensed-Bold.ttf",
        "BratticeSymbols-Regular.ttf",
        "BratticeSymbols-SemiBold.ttf",
    ];
    let fonts = files
        .into_iter()
        .filter_map(|file| Font::new(Bytes::new(file), 0));
    fonts.collect()
});

/// Why a document could not be typeset: a fault of ours, not of the project.
#[derive(Debug, thiserror::Error)]
#[error("The PDF could not be typeset: {0}. The schedules can still be had as CSV and XLSX.")]
pub struct PdfError(String);

/// The document as PDF. Takes a moment of processor time: keep it off the async pool.
///
/// # Errors
/// [`PdfError`] where the typesetter refuses the templates.
pub fn pdf(document: &Document) -> Result<Vec<u8>, PdfError> {
    let block = &document.title_block;
    let name = format!("{} {}", block.project, block.reference);
    written(&DocumentWorld::of(document), &name, &document.issue.date)
}

/// The calculation sheets as PDF.
///
/// # Errors
/// [`PdfError`] where the typesetter refuses the templates.
pub fn calculation_pdf(sheets: &CalculationSheets) -> Result<Vec<u8>, PdfError> {
    let block = &sheets.title_block;
    let name = format!("{} {} calculation", block.project, block.reference);
    written(&calculation::world(sheets), &name, &sheets.issue.date)
}

fn written(world: &DocumentWorld, name: &str, day: &str) -> Result<Vec<u8>, PdfError> {
    let typeset = typst::compile::<PagedDocument>(world);
    let pages = typeset.output.map_err(|errors| fault(&errors))?;
    let options = PdfOptions {
        ident: Smart::Custom(format!("{name} {day}")),
        creator: Smart::Custom(Some("Brattice".to_owned())),
        timestamp: date(day).map(Timestamp::new_utc),
        ..PdfOptions::default()
    };
    let bytes = typst_pdf::pdf(&pages, &options).map_err(|errors| fault(&errors));
    typst::comemo::evict(0);
    bytes
}

fn fault(errors: &[SourceDiagnostic]) -> PdfError {
    let words: Vec<String> = errors
        .iter()
        .map(|error| error.message.to_string())
        .collect();
    PdfError(words.join("; "))
}

/// Midnight of the day of issue.
fn date(issue: &str) -> Option<Datetime> {
    let mut parts = issue.splitn(3, '-');
    let year = parts.next()?.parse().ok()?;
    let month = parts.next()?.parse().ok()?;
    let day = parts.next()?.parse().ok()?;
    Datetime::from_ymd_hms(year, month, day, 0, 0, 0)
}

/// All the typesetter can reach.
struct DocumentWorld {
    library: LazyHash<Library>,
    book: LazyHash<FontBook>,
    main: FileId,
    sources: BTreeMap<String, Source>,
    files: BTreeMap<String, Bytes>,
    today: Option<Datetime>,
}

impl DocumentWorld {
    fn of(document: &Document) -> Self {
        let mut files = BTreeMap::new();
        let drawings = std::iter::once(&document.cover).chain(&document.drawings);
        for (idx, drawing) in drawings.enumerate() {
            let text = svg(drawing, &document.pictures);
            files.insert(format!("sheet-{idx}.svg"), Bytes::from_string(text));
        }
        DocumentWorld::with(PROJECT, &Data::of(document), files, &document.issue.date)
    }

    fn with(
        main: &str,
        data: &impl Serialize,
        mut files: BTreeMap<String, Bytes>,
        day: &str,
    ) -> Self {
        let data = serde_json::to_vec(data).expect("the data has only string keys");
        files.insert("data.json".to_owned(), Bytes::new(data));
        let source = |(name, text): (&str, &str)| {
            (name.to_owned(), Source::new(file_id(name), text.to_owned()))
        };
        DocumentWorld {
            library: LazyHash::new(Library::default()),
            book: LazyHash::new(FontBook::from_fonts(FONTS.iter())),
            main: file_id(main),
            sources: TEMPLATES.into_iter().map(source).collect(),
            files,
            today: date(day),
        }
    }
}

fn file_id(name: &str) -> FileId {
    let path = VirtualPath::new(name).expect("our file names are plain");
    FileId::new(RootedPath::new(VirtualRoot::Project, path))
}

fn name_of(id: FileId) -> String {
    id.vpath().get_without_slash().to_owned()
}

impl World for DocumentWorld {
    fn library(&self) -> &LazyHash<Library> {
        &self.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &self.book
    }

    fn main(&self) -> FileId {
        self.main
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        let name = name_of(id);
        self.sources
            .get(&name)
            .cloned()
            .ok_or_else(|| FileError::NotFound(name.into()))
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        let name = name_of(id);
        self.files
            .get(&name)
            .cloned()
            .ok_or_else(|| FileError::NotFound(name.into()))
    }

    fn font(&self, index: usize) -> Option<Font> {
        FONTS.get(index).cloned()
    }

    fn today(&self, _: Option<Duration>) -> Option<Datetime> {
        self.today
    }
}

/// What the templates read.
#[derive(Serialize)]
struct Data<'a> {
    project: &'a str,
    facts: Vec<(&'static str, &'a str)>,
    totals: &'a [(String, String)],
    reference: &'a str,
    revision: &'a str,
    date: &'a str,
    author: &'a str,
    caution: &'static str,
    notes: &'a [String],
    sheets: Vec<SheetData<'a>>,
    tables: Vec<TableData<'a>>,
}

#[derive(Serialize)]
struct SheetData<'a> {
    file: String,
    title: &'a str,
    shows: &'a str,
    number_at: Spot,
}

#[derive(Serialize)]
struct TableData<'a> {
    key: &'a str,
    title: &'a str,
    empty: &'a str,
    columns: Vec<ColumnData>,
    rows: Vec<RowData>,
    notes: &'a [String],
}

#[derive(Serialize)]
struct ColumnData {
    head: &'static str,
    width: f64,
    right: bool,
    fill: bool,
}

#[derive(Serialize)]
struct RowData {
    kind: &'static str,
    cells: Vec<String>,
}

impl<'a> Data<'a> {
    fn of(document: &'a Document) -> Self {
        let block = &document.title_block;
        let drawings = std::iter::once(&document.cover).chain(&document.drawings);
        let sheet = |(idx, drawing): (usize, &'a Drawing)| SheetData {
            file: format!("sheet-{idx}.svg"),
            title: &drawing.title,
            shows: &drawing.shows,
            number_at: drawing.sheet_number_at,
        };
        Data {
            project: &block.project,
            facts: vec![
                ("client", block.client.as_str()),
                ("site", &block.site),
                ("reference", &block.reference),
                ("revision", &block.revision),
                ("date of issue", &block.date),
                ("made by", &block.author),
            ],
            totals: &block.totals,
            reference: &block.reference,
            revision: &block.revision,
            date: &block.date,
            author: &block.author,
            caution: CAUTION,
            notes: &document.notes,
            sheets: drawings.enumerate().map(sheet).collect(),
            tables: document.tables.iter().map(table_data).collect(),
        }
    }
}

/// A group's name stands in its heading, so the column "group" is left out in print.
fn table_data(table: &Table) -> TableData<'_> {
    let grouped = table.rows.iter().any(|row| row.kind == RowKind::Heading);
    let skip = usize::from(grouped && table.columns[0].head == "group");
    let column = |column: &Column| ColumnData {
        head: column.head,
        width: column.width,
        right: column.is_number(),
        fill: column.kind == ColumnKind::ToFill,
    };
    let rows = table.rows.iter().map(|row| {
        let mut cells: Vec<String> = row
            .cells
            .iter()
            .map(|cell| breakable(&table.print(cell)))
            .collect();
        let kind = match row.kind {
            RowKind::Plain => "plain",
            RowKind::Heading => "heading",
            RowKind::Subtotal => "subtotal",
            RowKind::Total => "total",
        };
        if skip == 1 && row.kind != RowKind::Heading {
            let label = cells.remove(0);
            if row.kind != RowKind::Plain {
                cells[0] = label;
            }
        }
        RowData { kind, cells }
    });
    TableData {
        key: table.key,
        title: &table.title,
        empty: &table.empty,
        rows: rows.collect(),
        columns: table.columns.iter().skip(skip).map(column).collect(),
        notes: &table.notes,
    }
}

/// Lets a very long word break, so that it cannot run over its column.
fn breakable(text: &str) -> String {
    if text.split(' ').all(|word| word.chars().count() <= 18) {
        return text.to_owned();
    }
    let mut out = String::new();
    let mut run = 0;
    for letter in text.chars() {
        out.push(letter);
        run = if letter == ' ' { 0 } else { run + 1 };
        if run == 18 || (run > 5 && matches!(letter, '-' | '/' | '_' | '.')) {
            out.push('\u{200b}');
            run = 0;
        }
    }
    out
}
