//! Painting: a bounded scene becomes rows of half-open spans. No frame is ever stored.
//!
//! [`scene`] holds shapes in stage metres in paint order; [`walk`] turns them into the spans of one
//! block, row by row, with exact-area anti-aliasing; a [`RowTarget`] takes the spans.
//!
//! Inside: an `outline` gives a contour's vertices on the canvas, a `chain` is a stretch of it that
//! goes down, an `edge` walks a chain row by row, `events` are the changes of cover along one row, and a
//! `sweep` turns them into spans with the colours that `cover` resolves. Nothing is sorted but the tops
//! of the chains, once.

pub mod adapters;
mod chain;
pub mod changed;
pub mod color;
mod cover;
pub mod display;
mod edge;
mod events;
mod fine_map;
pub mod frame;
mod outline;
pub mod row;
pub mod scene;
mod sweep;
pub mod walk;
mod wave;
pub mod work;

#[cfg(test)]
mod tests;

pub use adapters::{Clip, Shift, dim, matte};
pub use changed::{RowSet, changed_rows};
pub use color::Rgba;
pub use display::Display;
pub use frame::Frame;
pub use row::{RowTarget, Span};
pub use scene::{Scene, SceneFull, SceneStore, Used};
pub use walk::{PaintError, Walk, paint_block};
pub use work::{DeskWork, WorkStore, Workspace};
