//! OFF among several boxes: every box obeys it at once and tells it on; nobody needs to be in charge for it.

use serde::{Deserialize, Serialize};

use super::seat::Seat;

/// Which OFF. A new one is greater than every one that its maker knew of; two that were made at the same moment differ
/// by their makers.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct OffTag {
    /// One more than the greatest count that its maker knew of; 0, and seat 0, when there was none since power-up.
    pub count: u16,
    /// Where it was asked for.
    pub seat: Seat,
}

impl OffTag {
    /// The next OFF, asked for at the box of `seat`.
    pub const fn next(self, seat: Seat) -> Self {
        Self { count: self.count.saturating_add(1), seat }
    }
}
