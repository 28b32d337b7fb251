//! Which box of the show.

use core::cmp::Reverse;

use serde::{Deserialize, Serialize};

/// The place of one box in the show.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Seat {
    /// Number of the controller.
    pub controller: u8,
    /// The backup of its pair.
    pub backup: bool,
}

/// What a box says of one duty.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Stand {
    /// It has the duty.
    pub in_charge: bool,
    /// It was one of several boxes since it got power: what it knows is not its own invention.
    pub seasoned: bool,
    /// Goes up by 2 with every change of what is shared and by 1 with every takeover.
    pub epoch: u32,
}

/// A stand of a box of the crew; the greater claim keeps the duty.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Claim {
    seasoned: bool,
    epoch: u32,
    seat: Reverse<Seat>,
}

impl Claim {
    /// The claim of the box of `seat`.
    pub(super) const fn new(seat: Seat, stand: Stand) -> Self {
        Self { seasoned: stand.seasoned, epoch: stand.epoch, seat: Reverse(seat) }
    }

    /// True when whoever makes this claim knows of all that `other` knows of.
    pub(super) fn is_as_new_as(&self, other: &Self) -> bool {
        (self.seasoned, self.epoch) >= (other.seasoned, other.epoch)
    }
}
