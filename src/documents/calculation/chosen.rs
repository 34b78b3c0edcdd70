//! Which releases a calculation sheet is about.

use crate::documents::content::names;
use crate::engine::results::ReleaseResult;
use crate::geometry::Polygon;
use crate::model::{FloorId, Project, ReleaseSource, RoomId, SourceId};

/// Which releases are asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Chosen {
    #[default]
    All,
    Floor(FloorId),
    Room(RoomId),
    Source(SourceId),
}

impl Chosen {
    /// Whether a source is among them.
    pub fn holds(
        self,
        project: &Project,
        source: &ReleaseSource,
        release: Option<&ReleaseResult>,
    ) -> bool {
        match self {
            Chosen::All => true,
            Chosen::Floor(floor) => source.floor == floor,
            Chosen::Source(id) => source.id == id,
            Chosen::Room(id) => match release {
                Some(release) => release.room == Some(id),
                None => project.rooms.get(id).is_some_and(|room| {
                    let outline = Polygon::new(room.outline.clone());
                    room.floor == source.floor && outline.contains(source.at)
                }),
            },
        }
    }

    /// Whether the project has what is asked for.
    pub fn exists(self, project: &Project) -> bool {
        match self {
            Chosen::All => true,
            Chosen::Floor(id) => project.floors.get(id).is_some(),
            Chosen::Room(id) => project.rooms.get(id).is_some(),
            Chosen::Source(id) => project.sources.get(id).is_some(),
        }
    }

    /// What is asked for, in words; empty for all.
    pub fn words(self, project: &Project) -> String {
        match self {
            Chosen::All => String::new(),
            Chosen::Floor(id) => names::floor(project, id),
            Chosen::Room(id) => project.rooms.get(id).map(names::room).unwrap_or_default(),
            Chosen::Source(id) => {
                let source = project.sources.get(id);
                source.map(|source| source.name.clone()).unwrap_or_default()
            }
        }
    }
}
