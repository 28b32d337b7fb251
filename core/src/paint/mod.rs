//! Painting: a bounded scene becomes rows of half-open spans. No frame is ever stored.
//!
//! [`scene`] holds shapes in stage metres in paint order; [`walk`] turns them into the spans of one
//! block, row by row, with exact-area anti-aliasing; a [`RowTarget`] takes the spans.

pub mod color;
pub mod row;
pub mod scene;

pub use color::Rgba;
pub use row::{RowTarget, Span};
pub use scene::{Scene, SceneFull, SceneStore};
