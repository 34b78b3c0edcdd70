//! What the surveyor did not know, as questions to the client.

use crate::documents::content::names;
use crate::documents::table::{Cell, Column, Table};
use crate::engine::Results;
use crate::model::Project;

/// One row per open question, with what is assumed until it is answered.
pub fn questions(project: &Project, results: &Results) -> Table {
    let columns = vec![
        Column::text("no.", 12.0),
        Column::text("about", 50.0),
        Column::text("question", 100.0),
        Column::mixed("assumed until answered", 30.0),
        Column::to_fill("answer", 70.0),
    ];
    let empty = "No open question: everything the design needs is stated.";
    let title = "Questions to the client";
    let mut table = Table::new(project, "questions", title, columns, empty);
    for (idx, question) in results.questions.iter().enumerate() {
        table.row(vec![
            Cell::text((idx + 1).to_string()),
            Cell::text(names::thing(project, question.about)),
            Cell::text(&question.question),
            Cell::as_set(question.assumed),
            Cell::empty(),
        ]);
    }
    table.notes.push(
        "The design stands on the assumed figures until the client answers; an answer may move \
         detectors, cables and price."
            .to_owned(),
    );
    table
}
