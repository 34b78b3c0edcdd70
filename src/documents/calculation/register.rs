//! Every input and step behind the chosen releases, each once, numbered in the order of print.
//!
//! What several releases stand on comes before what one alone does: first what holds for several
//! rooms and gases, then what a gas, a room, a gas in a room brings. Whoever uses an entry uses
//! what it was made from, so each step refers to smaller numbers only.

use std::collections::{BTreeMap, BTreeSet};

use crate::documents::calculation::tables::figures_of;
use crate::engine::Results;
use crate::engine::results::ReleaseResult;
use crate::engine::trace::{TraceEntry, TraceId};
use crate::model::{Citation, RoomId};

/// Who stands on an entry, in the order of print.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Shared {
    Several,
    Substance(String),
    Room(Option<RoomId>),
    SubstanceInRoom(Option<RoomId>, String),
    /// One release alone, by its place among those chosen.
    Own(usize),
}

/// An input or step.
#[derive(Debug, Clone)]
pub struct Node<'a> {
    pub why: TraceId,
    pub entry: &'a TraceEntry,
    /// The nodes of its inputs, in their order.
    pub inputs: Vec<usize>,
    pub shared: Shared,
    /// From 1; inputs and steps are numbered apart.
    pub number: usize,
}

/// All of them, inputs before what uses them.
#[derive(Debug)]
pub struct Register<'a> {
    pub nodes: Vec<Node<'a>>,
}

impl Node<'_> {
    /// Whether it was stated, assumed or measured.
    pub fn is_input(&self) -> bool {
        self.entry.inputs.is_empty()
    }

    /// "input 3" or "step 5".
    pub fn name(&self) -> String {
        let kind = if self.is_input() { "input" } else { "step" };
        format!("{kind} {}", self.number)
    }
}

impl<'a> Register<'a> {
    pub fn of(results: &'a Results, releases: &[&ReleaseResult]) -> Self {
        let mut users: BTreeMap<TraceId, BTreeSet<usize>> = BTreeMap::new();
        for (idx, release) in releases.iter().enumerate() {
            for id in behind(results, release) {
                users.entry(id).or_default().insert(idx);
            }
        }
        let mut nodes: Vec<Node> = Vec::new();
        let mut by_key: BTreeMap<Key, usize> = BTreeMap::new();
        let mut node_of: BTreeMap<TraceId, usize> = BTreeMap::new();
        let mut users_of: Vec<BTreeSet<usize>> = Vec::new();
        for (id, who) in users {
            let Some(entry) = results.trace.entry(id) else {
                continue;
            };
            let inputs = entry.inputs.iter();
            let inputs: Vec<usize> = inputs
                .filter_map(|input| node_of.get(&input.why).copied())
                .collect();
            let place = *by_key.entry(key(entry, &inputs)).or_insert(nodes.len());
            if place == nodes.len() {
                let (shared, number) = (Shared::Several, 0);
                nodes.push(Node {
                    why: id,
                    entry,
                    inputs,
                    shared,
                    number,
                });
                users_of.push(BTreeSet::new());
            }
            node_of.insert(id, place);
            users_of[place].extend(who);
        }
        for (node, who) in nodes.iter_mut().zip(&users_of) {
            node.shared = shared(releases, who);
        }
        let mut register = Register { nodes };
        register.count();
        register
    }

    /// The nodes of one part, in the order of their numbers.
    pub fn part<'s>(&'s self, shared: &'s Shared) -> impl Iterator<Item = &'s Node<'a>> {
        self.nodes.iter().filter(move |node| node.shared == *shared)
    }

    /// What several releases stand on, in the order of print.
    pub fn shared_parts(&self) -> BTreeSet<&Shared> {
        let parts = self.nodes.iter().map(|node| &node.shared);
        parts
            .filter(|shared| !matches!(shared, Shared::Own(_)))
            .collect()
    }

    fn count(&mut self) {
        let mut order: Vec<usize> = (0..self.nodes.len()).collect();
        order.sort_by_key(|idx| (self.nodes[*idx].shared.clone(), *idx));
        let (mut inputs, mut steps) = (0, 0);
        for idx in order {
            let node = &mut self.nodes[idx];
            let count = if node.is_input() {
                &mut inputs
            } else {
                &mut steps
            };
            *count += 1;
            node.number = *count;
        }
    }
}

fn shared(releases: &[&ReleaseResult], who: &BTreeSet<usize>) -> Shared {
    let mut users = who
        .iter()
        .filter_map(|idx| Some((*idx, *releases.get(*idx)?)));
    let Some((idx, first)) = users.next() else {
        return Shared::Several;
    };
    if who.len() == 1 {
        return Shared::Own(idx);
    }
    let (mut room, mut substance) = (true, true);
    for (_, other) in users {
        room &= other.room == first.room;
        substance &= other.substance == first.substance;
    }
    match (room, substance) {
        (true, true) => Shared::SubstanceInRoom(first.room, first.substance.clone()),
        (true, false) => Shared::Room(first.room),
        (false, true) => Shared::Substance(first.substance.clone()),
        (false, false) => Shared::Several,
    }
}

/// What makes two entries the same: what they say, and that they were made from the same.
type Key = (
    String,
    String,
    String,
    u64,
    Citation,
    Option<String>,
    Vec<(String, u64, usize)>,
);

fn key(entry: &TraceEntry, nodes: &[usize]) -> Key {
    let inputs = entry.inputs.iter().zip(nodes);
    (
        entry.id.clone(),
        entry.title.clone(),
        entry.unit.to_string(),
        entry.value.to_bits(),
        entry.citation.clone(),
        entry.outside.clone(),
        inputs
            .map(|(input, node)| (input.meaning.clone(), input.value.to_bits(), *node))
            .collect(),
    )
}

/// Every entry a release's figures stand on.
fn behind(results: &Results, release: &ReleaseResult) -> BTreeSet<TraceId> {
    let mut wanted: Vec<TraceId> = figures_of(release).iter().map(|one| one.why).collect();
    let mut found = BTreeSet::new();
    while let Some(id) = wanted.pop() {
        if let Some(entry) = results.trace.entry(id)
            && found.insert(id)
        {
            wanted.extend(entry.inputs.iter().map(|input| input.why));
        }
    }
    found
}
