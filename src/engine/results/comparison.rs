//! What a cover is held against: one detector fewer, and other votes.

use std::collections::BTreeSet;

use serde::Serialize;

use crate::engine::trace::{Quantity, Trace, TraceEntry, TraceId};

/// The layout that is proposed for one airspace, gas and band beside others.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Comparison {
    /// Such as "G.02 Gas laboratory, hydrogen, high".
    pub title: String,
    pub proposed: Layout,
    /// With one detector fewer; `None` where not even one helps.
    pub fewer: Option<Layout>,
    /// With other numbers of detectors in reach of each demand, least first.
    pub votes: Vec<Layout>,
    /// The share of each floor that is asked for, %; `None` where that is all of it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub floor_asked: Option<Quantity>,
    /// What the prices hold and what not, in sentences.
    pub price_holds: String,
    /// Whether it was stopped before its end.
    pub stopped: bool,
    /// The steps behind its figures.
    #[serde(skip)]
    pub trace: Trace,
}

/// Detectors in places, with what they leave unwatched and what they cost.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Layout {
    /// Such as "as proposed" or "2 in reach (2oo2)".
    pub name: String,
    pub detectors: Quantity,
    /// No layout that watches as much has fewer; `None` where nothing is said of that.
    pub bound: Option<Quantity>,
    pub proven: bool,
    /// What is watched by fewer than it needs; sources and places first, then floors.
    pub lost: Vec<Lost>,
    /// `None` where the catalogue has no part.
    pub price: Option<Quantity>,
    /// Against the proposed layout.
    pub price_change: Option<Quantity>,
    /// What it means, in sentences.
    pub says: String,
    /// The candidate points and cells it was looked for on, in words.
    pub holds_for: String,
}

/// A demand that a layout leaves to fewer detectors than it needs.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Lost {
    /// Id of the demand.
    pub demand: String,
    pub title: String,
    /// How many have it in reach; of a floor its least watched cell.
    pub watching: usize,
    pub wanted: usize,
    /// For a floor: the m2 that are lost.
    pub area: Option<Quantity>,
    /// For a floor: their share of it, %.
    pub share: Option<Quantity>,
}

impl Comparison {
    /// The steps of the calculation that its figures come from, each once, in their order.
    pub fn grounds(&self) -> Vec<&TraceEntry> {
        let layouts = [&self.proposed].into_iter();
        let layouts = layouts.chain(&self.fewer).chain(&self.votes);
        let mut open: Vec<TraceId> = layouts.flat_map(Layout::figures).collect();
        let mut known: BTreeSet<TraceId> = BTreeSet::new();
        while let Some(next) = open.pop() {
            if let Some(entry) = self.trace.entry(next).filter(|_| known.insert(next)) {
                open.extend(entry.inputs.iter().map(|input| input.why));
            }
        }
        let mut grounds: Vec<&TraceEntry> = Vec::new();
        for entry in known.into_iter().filter_map(|id| self.trace.entry(id)) {
            let same = |one: &&TraceEntry| {
                (&one.title, one.value) == (&entry.title, entry.value)
                    && one.inputs.len() == entry.inputs.len()
            };
            if !grounds.iter().any(same) {
                grounds.push(entry);
            }
        }
        grounds
    }
}

impl Layout {
    fn figures(&self) -> Vec<TraceId> {
        let own = [
            Some(self.detectors),
            self.bound,
            self.price,
            self.price_change,
        ];
        let lost = self.lost.iter().flat_map(|lost| [lost.area, lost.share]);
        let all = own.into_iter().chain(lost);
        all.flatten().map(|quantity| quantity.why).collect()
    }
}
