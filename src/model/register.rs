//! Things of one kind, kept in the order of their ids.

use std::collections::BTreeMap;

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error as _};

/// Something with an id of its own type.
pub trait Entry {
    /// The typed id.
    type Id: Copy + Ord + std::fmt::Display + From<u32> + Into<u32>;
    /// What one of them is called in a message.
    const NOUN: &'static str;
    /// The entry's id.
    fn id(&self) -> Self::Id;
}

/// Entries by id. On the wire an array; two entries with one id are refused.
#[derive(Debug, Clone, PartialEq)]
pub struct Register<T: Entry>(BTreeMap<T::Id, T>);

impl<T: Entry> Default for Register<T> {
    fn default() -> Self {
        Register(BTreeMap::new())
    }
}

impl<T: Entry> Register<T> {
    /// The entry with this id.
    pub fn get(&self, id: T::Id) -> Option<&T> {
        self.0.get(&id)
    }

    /// Whether there is an entry with this id.
    pub fn has(&self, id: T::Id) -> bool {
        self.0.contains_key(&id)
    }

    /// All entries in the order of their ids.
    pub fn iter(&self) -> impl DoubleEndedIterator<Item = &T> + Clone {
        self.0.values()
    }

    /// How many entries there are.
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// An id above every id in use.
    pub fn next_id(&self) -> T::Id {
        let last: u32 = self.0.keys().next_back().map_or(0, |&id| id.into());
        T::Id::from(last.saturating_add(1))
    }

    /// Puts the entry in the place of the one with its id, or beside the others.
    pub(crate) fn put(&mut self, entry: T) {
        self.0.insert(entry.id(), entry);
    }

    /// Takes the entry out.
    pub(crate) fn take(&mut self, id: T::Id) -> Option<T> {
        self.0.remove(&id)
    }

    /// Keeps only the entries for which `keep` holds.
    pub(crate) fn retain(&mut self, mut keep: impl FnMut(&T) -> bool) {
        self.0.retain(|_, entry| keep(entry));
    }

    /// The entries, to be changed in place by `apply`.
    pub(crate) fn iter_mut(&mut self) -> impl Iterator<Item = &mut T> {
        self.0.values_mut()
    }
}

impl<'a, T: Entry> IntoIterator for &'a Register<T> {
    type Item = &'a T;
    type IntoIter = std::collections::btree_map::Values<'a, T::Id, T>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.values()
    }
}

impl<T: Entry> FromIterator<T> for Register<T> {
    fn from_iter<I: IntoIterator<Item = T>>(entries: I) -> Self {
        Register(
            entries
                .into_iter()
                .map(|entry| (entry.id(), entry))
                .collect(),
        )
    }
}

impl<T: Entry + Serialize> Serialize for Register<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_seq(self.0.values())
    }
}

impl<'de, T: Entry + Deserialize<'de>> Deserialize<'de> for Register<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let mut register = Register::default();
        for entry in Vec::<T>::deserialize(deserializer)? {
            let id = entry.id();
            if register.has(id) {
                return Err(D::Error::custom(format!(
                    "two entries are {} {id}; give one of them another id",
                    T::NOUN
                )));
            }
            register.put(entry);
        }
        Ok(register)
    }
}

impl<T: Entry + JsonSchema> JsonSchema for Register<T> {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        format!("RegisterOf{}", T::schema_name()).into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        Vec::<T>::json_schema(generator)
    }
}
