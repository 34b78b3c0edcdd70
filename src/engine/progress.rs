//! How a long calculation tells where it is, and learns that it is no longer wanted.

/// Told now and then by the engine, from any of its threads; asked whether to stop.
pub trait Progress: Sync {
    /// `step` in words, `done` of `of` parts of it, and the bound so far where there is one.
    fn report(&self, step: &str, done: usize, of: usize, bound: Option<usize>);
    /// Whether the calculation should stop; what is found so far is then said to be unproven.
    fn cancelled(&self) -> bool;
}

/// Nobody listens and nobody cancels.
pub struct Silent;

impl Progress for Silent {
    fn report(&self, _: &str, _: usize, _: usize, _: Option<usize>) {}
    fn cancelled(&self) -> bool {
        false
    }
}
