//! What may be wrong, as bits.

use serde::{Deserialize, Serialize};

/// Something that is wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[repr(u8)]
pub enum Fault {
    /// The on-air light is wired, and nothing is heard of it.
    Tally,
    /// Poses of a hot camera are missing or old.
    Tracking,
    /// The desk that was there is silent.
    Desk,
    /// Timecode stopped or jumps about.
    Timecode,
    /// Another controller of this floor is silent.
    Controller,
    /// The other box of the pair is silent.
    Partner,
    /// The stored show could not be read.
    Show,
    /// Power went away while the floor was lit.
    Power,
    /// A picture could not be painted.
    Paint,
    /// A port of the box failed.
    Port,
    /// A box in the network does not fit: it has another show or another version, or says to be this very box.
    Misfit,
}

impl Fault {
    /// All of them, in the order of their bits.
    pub const ALL: [Self; 11] = [
        Self::Tally,
        Self::Tracking,
        Self::Desk,
        Self::Timecode,
        Self::Controller,
        Self::Partner,
        Self::Show,
        Self::Power,
        Self::Paint,
        Self::Port,
        Self::Misfit,
    ];
}

/// A set of faults.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Faults(u16);

impl Faults {
    /// No fault.
    pub const NONE: Self = Self(0);

    /// The set with `fault` in it, or out of it.
    pub const fn with(self, fault: Fault, is_there: bool) -> Self {
        let bit = 1 << fault as u8;
        Self(if is_there { self.0 | bit } else { self.0 & !bit })
    }

    /// The set with `fault` in it too, when it is there.
    pub const fn with_also(self, fault: Fault, is_there: bool) -> Self {
        if is_there { self.with(fault, true) } else { self }
    }

    /// What is in this set and not in `before`.
    pub const fn new_since(self, before: Self) -> Self {
        Self(self.0 & !before.0)
    }

    /// All that are in the set, in the order of their bits.
    pub fn iter(self) -> impl Iterator<Item = Fault> {
        Fault::ALL.into_iter().filter(move |&fault| self.has(fault))
    }

    /// True when `fault` is in the set.
    pub const fn has(self, fault: Fault) -> bool {
        self.0 & (1 << fault as u8) != 0
    }

    /// True when nothing is wrong.
    pub const fn is_none(self) -> bool {
        self.0 == 0
    }

    /// Bit i for fault i of [`Fault::ALL`].
    pub const fn bits(self) -> u16 {
        self.0
    }

    /// The set of these bits; bits without a fault are left out.
    pub const fn from_bits(bits: u16) -> Self {
        Self(bits & ((1 << Fault::ALL.len()) - 1))
    }
}
