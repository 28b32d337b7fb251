//! The survey: fits the tracking system's frame to the stage, and says how far to trust it.
//!
//! Each [`Reading`] is a point of the stage and what the tracking system read there; [`Survey::of`] gives
//! the map from tracking to stage with its residuals, band and suspect; [`Recheck::of`] compares a few
//! points after a knock. `core/docs/frames.md` has the worked numbers.

mod eigen;
pub mod fit;
pub mod map;
pub mod recheck;
pub mod report;
pub mod sample;
pub mod suspect;
mod vector;

#[cfg(test)]
mod tests;

pub use fit::{SCALE_LIMIT, Scale};
pub use map::TrackingToStage;
pub use recheck::Recheck;
pub use report::{AMBER_RMS_M, AMBER_WORST_M, GREEN_RMS_M, GREEN_WORST_M, Grade, Residual, Survey, SurveyError};
pub use sample::{DISTINCT_M, Reading, SPREAD_M};
pub use suspect::Suspect;
