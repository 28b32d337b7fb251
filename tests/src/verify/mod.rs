//! The steps of the one test command, `cargo run -p underfoot-tests --bin verify`.
//!
//! [`plan`] lists what is run, [`step`] runs one of it and keeps its output, [`tally`] counts.

pub mod plan;
pub mod step;
pub mod tally;

pub use plan::steps;
pub use step::{Outcome, Step};
pub use tally::Tally;
