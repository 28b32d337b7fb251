//! The occupancy map: what the plan says of every place on the floor at one moment of a cue.
//!
//! [`class_of`] answers for one closed rectangle, however small; [`map`] answers for every cell of a [`Grid`]
//! with the same words, two cells a byte, in memory that the caller lends. A cell is touched when the closed
//! shape touches the closed cell, so a cell is free only when all of it is. `core/docs/occupancy.md` has the
//! classes and their order. It compares a plan with a plan: it does not know who or what is on the floor.

mod area;
mod border;
mod cell;
mod class;
mod grid;
mod held;
mod map;

#[cfg(test)]
mod tests;

pub use cell::Cell;
pub use class::{Cause, CellClass, Found, MapError};
pub use grid::{Grid, GridError};
pub use held::{SOON_S, class_of, each_at};
pub use map::{class_in, map};
