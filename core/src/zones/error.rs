//! Why a zone could not be traced.

/// Why a zone could not be traced.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ZoneError {
    /// The floor has no extent, or a number that is not finite.
    BadFloor,
    /// The place asked about, or the shrink, is not a usable number.
    BadPlace,
    /// The border of what is allowed has more corners than the store holds.
    FenceFull {
        /// Corners it holds.
        capacity: usize,
        /// Corners there are.
        needed: usize,
    },
    /// The zone has more corners than the outline holds.
    OutlineFull {
        /// Corners it holds.
        capacity: usize,
        /// Corners there are, at least.
        needed: usize,
    },
    /// The zone has more holes than the outline holds.
    RingsFull {
        /// Rings it holds.
        capacity: usize,
        /// Rings there are, at least.
        needed: usize,
    },
    /// A ring did not close. It has never been seen to happen.
    Astray,
}
