//! The desk's library: show files, findings, pictures, the command line.
//!
//! The core computes; this crate adds what only a desk has: files, words, PNGs, a terminal.

#![forbid(unsafe_code)]

pub mod checks;
pub mod cli;
pub mod demos;
pub mod findings;
pub mod link;
pub mod occupancy;
pub mod on_air;
pub mod project;
pub mod rehearse;
pub mod render;
pub mod sim;
pub mod survey;
