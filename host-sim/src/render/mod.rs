//! Pictures: canvases painted by the core, put together for people, written as PNG.
//!
//! [`canvas`] holds one output picture and is a [`underfoot_core::paint::RowTarget`]; [`stage`] lays
//! canvases where their blocks lie on the stage; [`frame`] adds directions, ruler and captions
//! outside the floor; [`png`] writes files, [`stored_zip`] puts many into one.

pub mod canvas;
pub mod contact;
pub mod easel;
pub mod frame;
pub mod over;
pub mod picture;
pub mod png;
pub mod shot;
pub mod stage;
pub mod stored_zip;
mod walk;
pub(crate) mod words;

pub use canvas::CanvasPixels;
pub use easel::{Easel, Need, TooMuch};
pub use over::Over;
pub use picture::Picture;
