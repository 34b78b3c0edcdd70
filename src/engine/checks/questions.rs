//! What the surveyor did not know and no earlier step asked about, as questions to the client.

use crate::engine::results::Question;
use crate::engine::trace::Trace;
use crate::geometry::{Point, Polygon};
use crate::model::basis::{PIT_DEPTH_UNKNOWN, PLATFORM_HEIGHT_UNKNOWN, SOURCE_HEIGHT_UNKNOWN};
use crate::model::{FloorId, ItemKey, MarkedKind, Project};

/// The height of every source that has none, and the depths of pits and heights of platforms.
pub fn questions(project: &Project, trace: &mut Trace) -> Vec<Question> {
    let mut questions = heights(project, trace);
    let unknown = project.marked.iter().filter(|area| area.level.is_none());
    questions.extend(unknown.filter_map(|area| {
        let (question, item) = match area.kind {
            MarkedKind::Pit => ("How deep is the", &PIT_DEPTH_UNKNOWN),
            MarkedKind::Platform => ("How high is the", &PLATFORM_HEIGHT_UNKNOWN),
            _ => return None,
        };
        let middle = Polygon::new(area.outline.clone()).label_point();
        let place = place(project, area.floor, middle, &area.name());
        Some(Question {
            about: ItemKey::Marked(area.id),
            question: format!("{question} {place}?"),
            assumed: trace.basis(&project.basis, item),
        })
    }));
    questions
}

/// What stands at a place, with its room: "pit 1 in G.01 Hall".
fn place(project: &Project, floor: FloorId, at: Point, name: &str) -> String {
    let mut rooms = project.rooms_on(floor);
    match rooms.find(|room| Polygon::new(room.outline.clone()).contains(at)) {
        Some(room) => format!("{name} in {} {}", room.number, room.name),
        None => name.to_owned(),
    }
}

fn heights(project: &Project, trace: &mut Trace) -> Vec<Question> {
    let unknown = project
        .sources
        .iter()
        .filter(|source| source.height.is_none());
    unknown
        .map(|source| {
            let place = place(project, source.floor, source.at, &source.name);
            Question {
                about: ItemKey::Source(source.id),
                question: format!("At what height can gas get out of the {place}?"),
                assumed: trace.basis(&project.basis, &SOURCE_HEIGHT_UNKNOWN),
            }
        })
        .collect()
}
