//! Repeatable numbers for searches that try one thing or another.

/// Lehmer's generator with the factor 16807 of Park and Miller, CACM 31(10), 1988.
pub(super) struct Numbers(u64);

impl Numbers {
    /// The numbers from `start`, which is from 1 to 2147483646.
    pub fn from(start: u64) -> Self {
        Numbers(start)
    }

    pub fn below(&mut self, limit: usize) -> usize {
        self.0 = self.0 * 16_807 % 2_147_483_647;
        (self.0 % limit.max(1) as u64) as usize
    }
}
