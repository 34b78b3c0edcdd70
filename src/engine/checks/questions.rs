//! What the surveyor did not know and no earlier step asked about, as questions to the client.

use crate::engine::results::Question;
use crate::engine::trace::Trace;
use crate::geometry::Polygon;
use crate::model::basis::SOURCE_HEIGHT_UNKNOWN;
use crate::model::{ItemKey, Project};

/// The height of every source that has none.
pub fn questions(project: &Project, trace: &mut Trace) -> Vec<Question> {
    let unknown = project
        .sources
        .iter()
        .filter(|source| source.height.is_none());
    unknown
        .map(|source| {
            let room = project
                .rooms_on(source.floor)
                .find(|room| Polygon::new(room.outline.clone()).contains(source.at));
            let place = match room {
                Some(room) => format!("{} in {} {}", source.name, room.number, room.name),
                None => source.name.clone(),
            };
            Question {
                about: ItemKey::Source(source.id),
                question: format!("At what height can gas get out of the {place}?"),
                assumed: trace.basis(&project.basis, &SOURCE_HEIGHT_UNKNOWN),
            }
        })
        .collect()
}
