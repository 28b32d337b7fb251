//! The box: engine, link, store and painting over the ports. The same code runs at the desk.
//!
//! [`Device::poll`] is all there is to call. It never waits; a main loop calls it again and again with the time.

pub mod machine;
pub mod memory;
pub mod picture;
pub mod place;
mod session;
mod upload;
pub mod witness;

pub use machine::{Device, Ports};
pub use memory::Memory;
pub use witness::Witness;

#[cfg(test)]
mod tests;
