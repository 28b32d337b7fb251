//! How people get there: the ways they walk, how long they take, and what they meet.
//!
//! From the ground up: [`Path`] is a walk line as exact lines and arcs.
//! A staging aid: it compares a plan with a plan and does not know who is on the floor.

pub mod path;

#[cfg(test)]
mod tests;

pub use path::{Bend, Path, Spot};
