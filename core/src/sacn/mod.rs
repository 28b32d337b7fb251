//! Streaming ACN (ANSI E1.31), both ways: the lighting desk's trigger slots in, rows for pixel tape out.
//!
//! [`packet`] reads and [`write()`] writes packets. Inwards, a [`Receiver`] keeps the standard's rules for one universe,
//! [`Slots`] gives ten levels their meaning, and [`Desk`] makes engine inputs of both. `core/docs/sacn.md` has the rules
//! with a worked example.

pub mod desk;
mod layout;
pub mod packet;
pub mod receiver;
pub mod sequence;
pub mod slots;
mod source;
pub mod table;
pub mod write;

#[cfg(test)]
mod tests;

pub use desk::Desk;
pub use packet::{Check, Cid, Data, Header, Packet, Sync, WireError, read};
pub use receiver::{Frame, LOSS, Receiver};
pub use slots::{Slots, Wish};
pub use table::{Levels, SLOTS};
pub use write::{write, write_header, write_sync};

/// UDP port of E1.31 (ACN_SDT_MULTICAST_PORT, ANSI E1.31-2018, appendix A).
pub const PORT: u16 = 5568;
/// Priority of a source that nobody gave one (6.2.3).
pub const PRIORITY: u8 = 100;

/// Multicast group of a universe: 239.255, then its number, high byte first (9.3.1).
pub const fn group(universe: u16) -> [u8; 4] {
    let [high, low] = universe.to_be_bytes();
    [239, 255, high, low]
}
