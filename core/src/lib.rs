//! Underfoot's core: everything that must come out the same at the desk and in the box.
//!
//! From the ground up: [`units`] and [`limits`]; [`geom`] for plane geometry; [`floor`] for canvases,
//! blocks and their maps; [`show`] for the show as plain data; [`props`] for what props cover and where
//! people may stand; [`cameras`] for what the cameras see of people; [`walk`] for how people get there; [`paint`]
//! for turning a scene into rows of pixels; [`look`] for what people see, as shapes of a scene. There is no heap, no clock, no printing and no unsafe code here, every capacity is
//! in [`limits`], and all arithmetic is integer or plain `f32` with one math library, so that the same
//! show gives the same pixels, bit for bit, on every platform.

#![no_std]
#![forbid(unsafe_code)]
#![deny(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]
#![cfg_attr(
    test,
    allow(
        clippy::unwrap_used,
        clippy::expect_used,
        clippy::panic,
        clippy::indexing_slicing,
        reason = "a test that stops at the first surprise is the point"
    )
)]

#[cfg(test)]
extern crate std;

pub mod cameras;
pub mod checksum;
pub mod crew;
pub mod device;
pub mod engine;
pub mod floor;
pub mod geom;
pub mod limits;
pub mod link;
pub mod look;
pub mod occupancy;
pub mod pack;
pub mod paint;
pub mod panel;
pub mod ports;
pub mod props;
pub mod sacn;
pub mod show;
pub mod store;
#[cfg(test)]
mod test_support;
pub mod units;
pub mod walk;
pub mod zones;
