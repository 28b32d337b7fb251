//! A box at the desk: the device's own code over ports in memory.

mod flash;
mod server;
mod status;

pub use flash::MemoryFlash;
pub use server::{LoopbackBox, PACK_FLASH};
pub use status::Watched;
