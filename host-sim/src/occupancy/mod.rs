//! The occupancy map at the desk: a chart of one moment of a cue, its free room, its words, JSON and picture.
//!
//! The core says what a cell is ([`underfoot_core::occupancy`]); nothing here decides it again.

pub mod chart;
pub mod json;
mod pattern;
pub mod picture;
pub mod room;
pub mod words;

pub use chart::{Chart, ChartError};
pub use room::Room;
