//! In-shot zones: where on the floor a person may stand so that the pictures work.
//!
//! A place is good when it is clear of every limit and every shot has the person right; a zone is what is left
//! of the good places after shrinking them all round. `core/docs/zones.md` tells the method with numbers.
//!
//! From the ground up: [`Bound`] names what forbids a place; [`trace_set()`] traces the zone of any set of places
//! that a test tells; [`Outline`] is what comes out, with the bound of every side; [`Judge`] is the test of a show,
//! and [`trace`] its zone. An in-shot zone is about the picture: it does not know who or what else is on the floor.

mod ask;
mod border;
pub mod bound;
mod changes;
pub mod error;
mod fence;
mod grid;
pub mod judge;
mod march;
pub mod outline;
mod piece;
mod simplify;
mod tally;
pub mod trace_set;
mod walk;

#[cfg(test)]
mod tests;

use heapless::Vec;

pub use bound::Bound;
pub use error::ZoneError;
pub use judge::{Judge, SHRINK_M, about, trace};
pub use outline::{Outline, OutlineRing};
pub use trace_set::{Task, ZoneStore, trace_set};

use crate::limits;

/// A piece smaller than this is no place to send anybody to, square metres.
pub const LEAST_PIECE_M2: f32 = 0.5;

/// A zone.
#[derive(Clone, Debug, PartialEq)]
pub enum Zone {
    /// There is one; its outline says where.
    Piece(Piece),
    /// There is none.
    Empty {
        /// What takes the floor, most of it first: of each family (framing, depth, backing) at least the one that
        /// takes most of what the families before it left. The floor itself only when it takes all.
        fighting: Vec<Bound, { limits::ZONE_FIGHTING }>,
        /// True when the mark itself works: there is only no room to spare, neither round it nor elsewhere.
        mark_works: bool,
    },
}

/// One connected piece of a zone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Piece {
    /// Its area, square metres. The piece that holds the mark, or touches the disc that the mark has not all of,
    /// may be smaller than [`LEAST_PIECE_M2`].
    pub area_m2: f32,
    /// True when it holds the mark. Otherwise it is the nearest one: of any size where the mark itself works and the
    /// piece is no farther from it than the shrink, else of those that are large enough.
    pub holds_mark: bool,
    /// True when the mark itself works. When the zone does not hold it, it has less room to spare than the shrink.
    pub mark_works: bool,
}

impl Piece {
    /// True when the piece is smaller than a piece should be.
    pub fn is_small(&self) -> bool {
        self.area_m2 < LEAST_PIECE_M2
    }
}
