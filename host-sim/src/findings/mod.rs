//! What a check found, in words that the floor can act on.
//!
//! A check adds a [`Measure`] for everything that it measures, good or bad, and a [`Finding`] for what
//! is out of its limit. The [`Report`] sorts, groups and waives; [`text`] and [`json`] write it down.
//! No report ever gives a verdict: it ends with what was checked and what was not.

pub mod finding;
pub mod id;
pub mod json;
pub mod report;
pub mod text;
pub mod waive;

pub use finding::{Figure, Finding, Measure, Severity, Unit, cue_number};
pub use id::FindingId;
pub use report::Report;
pub use waive::{day_of, parse_day, today};

pub use crate::project::Day;
