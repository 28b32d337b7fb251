//! The box's panel: what its display says, and what its keys mean.

pub mod display;
pub mod face;
pub mod keys;
pub mod levels;
mod line;

pub use face::{CueTag, Face, Line, Role};
pub use keys::{Contacts, KeyEvent, Keys};
pub use levels::{Key, Levels};
