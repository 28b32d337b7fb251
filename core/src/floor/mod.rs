//! The LED floor: canvases, blocks and their maps.

pub mod block;

pub use block::{Block, BlockError, Canvas};
