//! The substances as one project knows them: the tables, and what the project states itself.
//!
//! Every step of the engine asks here, and not the tables, so that a stated mixture, a substance
//! of the project's own and a figure that the project states over a published one all count.

use std::borrow::Cow;

use crate::engine::gas::substance::Substance;
use crate::engine::gas::{assemble, lookup, mixture, stated};
use crate::model::{Mixture, Project, StatedSubstance};

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
    /// mixture with a component that is unknown.
    pub fn find(&self, key: &str) -> Option<Cow<'static, Substance>> {
        self.part(key).or_else(|| self.mixed(key))
    }

    /// The same under the name of the tables, for what looks at figures only: the sources are not
    /// searched for the number they chose it by.
    pub fn figures(&self, key: &str) -> Option<Cow<'static, Substance>> {
        self.unmixed(key).or_else(|| self.mixed(key))
    }

    /// As [`Substances::find`] but for stated mixtures: what a mixture may be made of.
    pub fn part(&self, key: &str) -> Option<Cow<'static, Substance>> {
        self.unmixed(key).map(|known| self.as_called(known))
    }

    fn unmixed(&self, key: &str) -> Option<Cow<'static, Substance>> {
        if Mixture::id_of(key).is_some() {
            return None;
        }
        if let Some(own) = self.own(key) {
            return Some(Cow::Owned(stated::own(own)));
        }
        lookup::find(key).map(|known| self.as_stated(known))
    }

    fn mixed(&self, key: &str) -> Option<Cow<'static, Substance>> {
        let stated = self.mixture(key)?;
        mixture::substance(self.project, stated).map(Cow::Owned)
    }

    /// Under the refrigerant number by which a source chose it.
    fn as_called(&self, known: Cow<'static, Substance>) -> Cow<'static, Substance> {
        match self.called(&known) {
            None => known,
            Some(name) => Cow::Owned(Substance {
                name: Cow::Owned(name),
                ..known.into_owned()
            }),
        }
    }

    /// "R-290 (propane)", where a source of the project chose it by that number.
    fn called(&self, known: &Substance) -> Option<String> {
        let sources = self.project.sources.iter();
        let of_it = sources.filter(|source| known.key == source.substance);
        let called = of_it.filter_map(|source| source.called.as_deref());
        called
            .into_iter()
            .find_map(|called| lookup::by_number(known, called))
    }

    /// Name of what `key` stands for; the key itself where it is unknown.
    pub fn name(&self, key: &str) -> Cow<'a, str> {
        if let Some(own) = self.own(key) {
            return Cow::Borrowed(own.name.trim());
        }
        match self.mixture(key) {
            Some(stated) => Cow::Borrowed(stated.name.as_str()),
            None => lookup::find(key).map_or_else(
                || Cow::Owned(key.to_owned()),
                |known| {
                    self.called(known)
                        .map_or_else(|| known.name.clone(), Cow::Owned)
                },
            ),
        }
    }

    /// Those that `text` may mean, the project's own mixtures and substances first; see
    /// [`lookup::search`].
    pub fn search(&self, text: &str) -> Vec<Cow<'static, Substance>> {
        let mixtures = self.project.mixtures.iter();
        let mixtures = mixtures.filter_map(|stated| mixture::substance(self.project, stated));
        let own = self.project.substances.iter().filter(|one| one.is_own());
        let own: Vec<Substance> = mixtures.chain(own.map(stated::own)).collect();
        let found = lookup::search_in(&own, text);
        let found = found.into_iter().cloned().map(Cow::Owned);
        let listed = lookup::search(text).into_iter();
        found
            .chain(listed.map(|known| self.as_stated(known)))
            .collect()
    }

    /// A substance of the tables with the figures that the project states over its own, and over
    /// those of its parts.
    fn as_stated(&self, known: &'static Substance) -> Cow<'static, Substance> {
        let on = |key: &str| {
            let mut all = self.project.substances.iter();
            all.find(|stated| stated.of.as_deref() == Some(key))
        };
        let touched =
            |known: &Substance| known.composition.iter().any(|part| on(&part.key).is_some());
        let base = match touched(known) {
            false => Cow::Borrowed(known),
            true => {
                let parts = known.composition.iter().filter_map(|part| {
                    lookup::find(&part.key).map(|part| self.as_stated(part).into_owned())
                });
                let parts: Vec<Substance> = parts.collect();
                Cow::Owned(assemble::remade(known.clone(), &parts))
            }
        };
        match on(&known.key) {
            None => base,
            Some(stated) => Cow::Owned(stated::over(self.project, &base, stated)),
        }
    }

    fn mixture(&self, key: &str) -> Option<&'a Mixture> {
        self.project.mixtures.get(Mixture::id_of(key)?)
    }

    /// The substance of the project's own of this key, name or CAS number.
    fn own(&self, key: &str) -> Option<&'a StatedSubstance> {
        let own = self.project.substances.iter().filter(|one| one.is_own());
        if let Some(id) = StatedSubstance::id_of(key) {
            return own.clone().find(|one| one.id == id);
        }
        let wanted = lookup::normal(key);
        if wanted.is_empty() || lookup::find(key).is_some() {
            return None;
        }
        let cas = |one: &StatedSubstance| one.cas.as_deref().map(lookup::normal);
        own.clone()
            .find(|one| lookup::normal(&one.name) == wanted || cas(one).as_ref() == Some(&wanted))
    }
}
