//! The box's code: wiring between boards and the core. Whatever can be tested without a board is in the core.
//!
//! [`adapters`] turn the embedded ecosystem's traits into the core's ports and build on any host, as do [`rows`] and
//! the [`rig`]'s commands. The rest needs a device: `boards` and `drivers` are the only places with unsafe code.
#![no_std]

#[cfg(test)]
extern crate std;

pub mod adapters;
pub mod rig;
pub mod rows;

#[cfg(target_os = "none")]
pub mod app;
#[cfg(target_os = "none")]
pub mod boards;
#[cfg(target_os = "none")]
pub mod drivers;
#[cfg(target_os = "none")]
mod light;
#[cfg(target_os = "none")]
mod log;
#[cfg(target_os = "none")]
mod restart;
