//! The frame of a sheet with its zones (ISO 5457) and the title block (ISO 7200).
//!
//! Dimensions are those of an A3 sheet of ISO 5457: 20 mm left for binding, 10 mm elsewhere,
//! zones of 50 mm counted from the centring marks (from memory).

use crate::documents::drawing::caption::{LARGE, NORMAL, SMALL, fitted, text};
use crate::documents::drawing::{Drawing, Ink, Mark, Pen, Spot};

/// Width and height of the sheet, mm.
pub const A3: (f64, f64) = (420.0, 297.0);

/// Corners of the drawing area, mm.
pub const INNER: (Spot, Spot) = (Spot::new(20.0, 10.0), Spot::new(410.0, 287.0));

/// Upper left corner of the title block, mm; it reaches to the frame's lower right corner.
pub const BLOCK: Spot = Spot::new(240.0, 236.0);

const OUTER: (Spot, Spot) = (Spot::new(15.0, 5.0), Spot::new(415.0, 292.0));
const ZONE: f64 = 50.0;
/// ISO 5457 leaves out I and O.
const LETTERS: [&str; 6] = ["A", "B", "C", "D", "E", "F"];

/// What the title block says.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TitleBlock {
    pub project: String,
    pub client: String,
    pub site: String,
    pub reference: String,
    pub revision: String,
    pub date: String,
    pub author: String,
    /// Label and figure of each total, at most six.
    pub totals: Vec<(String, String)>,
}

/// The cover: frame and title block; the words come from the writer's cover template.
pub fn cover_drawing(block: &TitleBlock) -> Drawing {
    let mut marks = frame();
    marks.extend(title_block(block, "Cover sheet", "cover sheet", "none"));
    Drawing {
        title: "Cover sheet".to_owned(),
        shows: format!("Frame and title block of {}", block.project),
        width_mm: A3.0,
        height_mm: A3.1,
        sheet_number_at: sheet_number_at(),
        marks,
    }
}

/// Where the number of the sheet is printed.
pub fn sheet_number_at() -> Spot {
    BLOCK.plus(84.2, 48.6)
}

/// The frame, the zones and the centring marks.
pub fn frame() -> Vec<Mark> {
    let box_of = |(a, b): (Spot, Spot)| Mark::rectangle(a, b.x - a.x, b.y - a.y);
    let mut marks = vec![
        Mark::ring(box_of(OUTER), Pen::THIN),
        Mark::ring(box_of(INNER), Pen::HEAVY),
    ];
    let (middle_x, middle_y) = (A3.0 / 2.0, A3.1 / 2.0);
    for idx in 0..8_i32 {
        let x = middle_x + f64::from(idx - 4) * ZONE;
        let (left, right) = (x.max(INNER.0.x), (x + ZONE).min(INNER.1.x));
        for (edge, inner) in [(OUTER.0.y, INNER.0.y), (OUTER.1.y, INNER.1.y)] {
            if idx > 0 {
                let ends = vec![Spot::new(x, edge), Spot::new(x, inner)];
                marks.push(Mark::line(ends, Pen::THIN));
            }
            let at = Spot::new((left + right) / 2.0, (edge + inner) / 2.0 + 1.2);
            marks.push(text(at, NORMAL, (idx + 1).to_string()).middle().mark());
        }
    }
    for (idx, letter) in LETTERS.into_iter().enumerate() {
        let y = middle_y + (idx as f64 - 3.0) * ZONE;
        let (top, foot) = (y.max(INNER.0.y), (y + ZONE).min(INNER.1.y));
        for (edge, inner) in [(OUTER.0.x, INNER.0.x), (OUTER.1.x, INNER.1.x)] {
            if idx > 0 {
                let ends = vec![Spot::new(edge, y), Spot::new(inner, y)];
                marks.push(Mark::line(ends, Pen::THIN));
            }
            let at = Spot::new((edge + inner) / 2.0, (top + foot) / 2.0 + 1.2);
            marks.push(text(at, NORMAL, letter).middle().mark());
        }
    }
    marks.extend(centring_marks(middle_x, middle_y));
    marks
}

fn centring_marks(x: f64, y: f64) -> Vec<Mark> {
    let ends = [
        (Spot::new(x, 0.0), Spot::new(x, 15.0)),
        (Spot::new(x, 297.0), Spot::new(x, 282.0)),
        (Spot::new(0.0, y), Spot::new(25.0, y)),
        (Spot::new(420.0, y), Spot::new(405.0, y)),
    ];
    ends.into_iter()
        .map(|(a, b)| Mark::line(vec![a, b], Pen::HEAVY))
        .collect()
}

/// A field of the title block: place and width in it, label, what it says.
struct Field<'a> {
    x: f64,
    y: f64,
    width: f64,
    label: &'a str,
    says: &'a str,
    size: f64,
}

/// The title block of a sheet called `title`.
pub fn title_block(block: &TitleBlock, title: &str, kind: &str, scale: &str) -> Vec<Mark> {
    let field = |x, y, width, label, says, size| Field {
        x,
        y,
        width,
        label,
        says,
        size,
    };
    let mut fields = vec![
        field(0.0, 0.0, 110.0, "project", block.project.as_str(), LARGE),
        field(110.0, 0.0, 60.0, "client", &block.client, NORMAL),
        field(0.0, 11.0, 110.0, "site", &block.site, NORMAL),
        field(110.0, 11.0, 60.0, "reference", &block.reference, NORMAL),
        field(0.0, 20.5, 110.0, "title", title, LARGE),
        field(110.0, 20.5, 60.0, "kind of document", kind, NORMAL),
        field(0.0, 41.0, 24.0, "revision", &block.revision, LARGE),
        field(24.0, 41.0, 32.0, "date of issue", &block.date, NORMAL),
        field(56.0, 41.0, 27.0, "scale on A3", scale, NORMAL),
        field(83.0, 41.0, 27.0, "sheet", "", NORMAL),
        field(110.0, 41.0, 28.0, "made by", &block.author, NORMAL),
        field(138.0, 41.0, 32.0, "approved", "", NORMAL),
    ];
    let widths = [25.0, 29.0, 29.0, 37.0, 24.0, 26.0];
    let mut x = 0.0;
    for ((label, says), width) in block.totals.iter().zip(widths) {
        fields.push(field(x, 31.5, width, label, says, 4.0));
        x += width;
    }
    let (width, height) = (INNER.1.x - BLOCK.x, INNER.1.y - BLOCK.y);
    let outline = Mark::rectangle(BLOCK, width, height);
    let mut marks = vec![
        Mark::Area {
            rings: vec![outline.clone()],
            ink: Ink::White,
            opacity: 1.0,
        },
        Mark::ring(outline, Pen::HEAVY),
    ];
    for y in [11.0, 20.5, 31.5, 41.0] {
        let left = BLOCK.plus(0.0, y);
        marks.push(Mark::line(vec![left, left.plus(width, 0.0)], Pen::THIN));
    }
    for field in &fields {
        marks.extend(field_marks(field));
    }
    marks
}

fn field_marks(field: &Field) -> Vec<Mark> {
    let corner = BLOCK.plus(field.x, field.y);
    let room = field.width - 2.4;
    let height = if field.y == 0.0 || field.y == 20.5 {
        11.0
    } else {
        9.5
    };
    let size = [field.size, NORMAL, SMALL]
        .into_iter()
        .find(|&size| fitted(field.says, size, room) == field.says)
        .unwrap_or(SMALL);
    let mut marks = vec![
        text(corner.plus(1.2, 3.1), SMALL, field.label)
            .ink(Ink::Grey)
            .mark(),
        text(
            corner.plus(1.2, height - 1.9),
            size,
            fitted(field.says, size, room),
        )
        .bold()
        .mark(),
    ];
    if field.x > 0.0 {
        let foot = corner.plus(0.0, height.min(INNER.1.y - corner.y));
        marks.push(Mark::line(vec![corner, foot], Pen::THIN));
    }
    marks
}
