//! The LED floor: canvases, blocks and their maps, and the survey that ties the stage to tracking.

pub mod block;
pub mod survey;

pub use block::{Block, BlockError, Canvas};
pub use survey::{Reading, Survey, SurveyError};
