//! The box: engine, link, store and painting over the ports. The same code runs at the desk.
//!
//! [`Device::poll`] is all there is to call. It never waits; a main loop calls it again and again with the time.

mod changes;
mod crew;
mod hands;
pub mod handwork;
pub mod hardware;
mod keeping;
pub mod live;
mod log;
pub mod machine;
pub mod memory;
mod network;
pub mod nudges;
mod painting;
pub mod picture;
pub mod place;
pub mod post;
pub mod recheck;
pub mod ring;
mod serve;
mod session;
mod shelf;
mod showing;
mod tapes;
mod telling;
pub mod tiles;
mod upload;
pub mod witness;
mod works;

pub use hardware::{Hardware, Ports, Setup};
pub use machine::Device;
pub use memory::Memory;
pub use painting::{PATIENCE, STRETCH};
pub use post::Post;
pub use witness::Witness;

#[cfg(test)]
mod tests;
