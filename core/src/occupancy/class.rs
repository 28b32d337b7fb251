//! What a cell can be, and which of it wins where several hold.

use crate::geom::GeomError;
use crate::props::Limit;

/// What the plan says of a cell. The number is the cell's four bits in a map.
#[repr(u8)]
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum CellClass {
    /// The plan has nothing there.
    #[default]
    Free = 0,
    /// A prop is there at foot height, 0 to 0.2 m.
    Contact,
    /// A prop is there at body height, 0.2 to 2.3 m, and not below.
    Body,
    /// A prop is there above 2.3 m only. Nobody is kept off.
    Overhead,
    /// A prop gets there within [`super::SOON_S`], or is announced for there.
    SweptSoon,
    /// A real thing stands there: riser, ramp, step, furniture, rug or column.
    Physical,
    /// The band inside the floor's edge that people keep off, or beyond the floor.
    Edge,
    /// A dead or missing panel: no mark can be lit there.
    Dead,
}

impl CellClass {
    /// All classes, the one that wins first.
    ///
    /// What a person would walk into comes before what dims a mark, what nobody can see before what everybody
    /// can, what is there before what is to come, and last what keeps nobody off.
    pub const ORDER: [Self; 8] = [
        Self::Contact,
        Self::Body,
        Self::SweptSoon,
        Self::Edge,
        Self::Physical,
        Self::Dead,
        Self::Overhead,
        Self::Free,
    ];

    /// The class with these four bits; `None` for bits that no class has.
    pub fn from_bits(bits: u8) -> Option<Self> {
        Self::ORDER.into_iter().find(|&class| class as u8 == bits)
    }

    /// True when this class wins over `other`.
    pub fn beats(self, other: Self) -> bool {
        self.rank() < other.rank()
    }

    /// True for classes that keep people off: the room of a free place is measured to them.
    pub fn keeps_off(self) -> bool {
        !matches!(self, Self::Free | Self::Overhead | Self::Dead)
    }

    const fn rank(self) -> u8 {
        match self {
            Self::Contact => 0,
            Self::Body => 1,
            Self::SweptSoon => 2,
            Self::Edge => 3,
            Self::Physical => 4,
            Self::Dead => 5,
            Self::Overhead => 6,
            Self::Free => 7,
        }
    }
}

/// What gives a cell its class.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cause {
    /// A part of a prop, a physical thing, a side of the floor, or beyond the floor.
    Limit(Limit),
    /// A dead or missing panel: its index among the show's tile faults.
    Tile(u8),
}

/// The answer for one cell.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Found {
    /// The class that wins.
    pub class: CellClass,
    /// The first thing that gives it this class; `None` when it is free.
    pub cause: Option<Cause>,
}

/// Why there is no map.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MapError {
    /// A shape cannot be used, so nothing is said about any cell.
    Shape {
        /// Whose; `None` for the floor's own outline.
        cause: Option<Cause>,
        /// What is wrong with it.
        fault: GeomError,
    },
    /// The lent memory does not hold the map.
    Short {
        /// Bytes that the map takes.
        need: usize,
        /// Bytes that were lent.
        got: usize,
    },
}
