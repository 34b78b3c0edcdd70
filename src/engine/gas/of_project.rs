//! The substances as one project knows them: the tables, and what the project states itself.
//!
//! Every step of the engine asks here, and not the tables, so that a stated mixture is a substance
//! like any other.

use std::borrow::Cow;

use crate::engine::gas::substance::Substance;
use crate::engine::gas::{lookup, mixture};
use crate::model::{Mixture, Project};

/// A project's view of the substances; costs nothing to make.
#[derive(Debug, Clone, Copy)]
pub struct Substances<'a> {
    project: &'a Project,
}

impl<'a> Substances<'a> {
    /// The view of `project`.
    pub fn of(project: &'a Project) -> Self {
        Substances { project }
    }

    /// The substance or mixture that `key` names, or that people call so; `None` also for a stated
    /// mixture with a component that no table knows.
    pub fn find(&self, key: &str) -> Option<Cow<'static, Substance>> {
        match Mixture::id_of(key) {
            Some(id) => {
                let stated = self.project.mixtures.get(id)?;
                mixture::substance(self.project, stated).map(Cow::Owned)
            }
            None => lookup::find(key).map(Cow::Borrowed),
        }
    }

    /// Name of what `key` stands for; the key itself where it is unknown.
    pub fn name(&self, key: &str) -> Cow<'a, str> {
        let stated = Mixture::id_of(key).and_then(|id| self.project.mixtures.get(id));
        match stated {
            Some(stated) => Cow::Borrowed(stated.name.as_str()),
            None => lookup::find(key)
                .map_or_else(|| Cow::Owned(key.to_owned()), |known| known.name.clone()),
        }
    }
}
