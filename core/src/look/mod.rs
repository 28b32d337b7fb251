//! What people see on the floor: marks, walk lines, prop outlines, edges and labels.
//!
//! [`compose`] turns one [`View`] of a show into shapes in stage metres; nothing here knows a pixel
//! but through the pitch that [`Sizes`] takes its least widths from. Every thing is a light core on a
//! dark keyline, so that it reads on any content, and an outline rather than a fill, so that it lights
//! nobody's face. Colour and shape say who, form says state, and no ink is a pure red, green or blue.
//!
//! It is a staging aid: a dark floor says nothing about whether a place may be stood on.

mod alive;
mod arc;
pub mod compose;

pub mod dash;
mod digits;
mod drive;
pub mod edges;
pub mod frame;
pub mod glyphs;
mod hand;
pub mod ink;
mod item;
pub mod labels;
pub mod lines;
pub mod marks;
pub mod numbers;
pub mod orient;
mod panels;
mod path;
pub mod placed;
pub mod plan;
pub mod props;
pub mod pulse;
pub mod scenic;
mod sheet;
mod sides;
pub mod sizes;
pub mod states;
mod stroke;
pub mod sweeps;
pub mod things;
pub mod view;
pub mod view_bytes;
pub mod walk;
mod ways;
pub mod wedge;
pub mod who;
pub mod zone;

pub use compose::compose;
pub use frame::Frame;
pub use sizes::Sizes;
pub use states::{MarkState, States};
pub use things::{Shown, Things};
pub use view::View;

#[cfg(test)]
mod tests;
