//! A box at the desk: the device's own code over ports in memory.

mod boxes;
mod chance;
pub mod faults;
mod flash;
mod front;
mod kept;
mod leds;
pub mod link;
mod network;
mod output;
mod relay;
mod server;
mod socket_net;
mod status;
mod tape;
pub mod wording;

pub use boxes::{Boxes, Look, NoLink, POLL, Rooms};
pub use chance::Chance;
pub use faults::{Mood, Rates};
pub use flash::MemoryFlash;
pub use front::Front;
pub use kept::KeptFlash;
pub use leds::Leds;
pub use link::{DeskLink, Wire};
pub use network::{Cable, Network, Weather};
pub use output::{Output, Shown};
pub use relay::Relay;
pub use server::{LoopbackBox, PACK_FLASH};
pub use socket_net::SocketNet;
pub use status::{Panel, Watched};
pub use tape::TapeNet;
