//! The box's panel: what its display says, and what its keys mean.

pub mod face;

pub use face::{CueTag, Face};
