//! The work of all parts so far: told to who waits for it, who may stop it.

use std::cell::Cell;
use std::sync::atomic::{AtomicBool, AtomicU64, AtomicUsize, Ordering::Relaxed};

use crate::engine::solve::cover::{CoverProgress, Watcher};

pub(super) struct Tally<'a> {
    watcher: Watcher<'a>,
    /// Parts to solve, when it is known how many.
    pub parts: usize,
    parts_done: AtomicUsize,
    nodes: AtomicU64,
    stopped: AtomicBool,
}

impl<'a> Tally<'a> {
    pub fn new(watcher: Watcher<'a>) -> Self {
        Tally {
            watcher,
            parts: 1,
            parts_done: AtomicUsize::new(0),
            nodes: AtomicU64::new(0),
            stopped: AtomicBool::new(false),
        }
    }

    /// Tells of the work, unless it was stopped; whether to go on.
    pub fn go_on(&self) -> bool {
        let report = CoverProgress {
            nodes: self.nodes.load(Relaxed),
            parts_done: self.parts_done.load(Relaxed),
            parts: self.parts,
        };
        if !self.is_stopped() && (self.watcher)(report).is_break() {
            self.stopped.store(true, Relaxed);
        }
        !self.is_stopped()
    }

    pub fn is_stopped(&self) -> bool {
        self.stopped.load(Relaxed)
    }

    /// Asks whether to go on with a part, given the nodes of this part so far.
    pub fn of_part(&self) -> impl Fn(u64) -> bool {
        let counted = Cell::new(0);
        move |nodes: u64| {
            let before = counted.replace(nodes.max(counted.get()));
            self.nodes.fetch_add(counted.get() - before, Relaxed);
            self.go_on()
        }
    }

    /// A part is done.
    pub fn done(&self) {
        self.parts_done.fetch_add(1, Relaxed);
        self.go_on();
    }
}
