//! Streaming ACN (ANSI E1.31), both ways: the lighting desk's trigger slots in, rows for pixel tape out.
//!
//! [`packet`] reads and [`write()`] writes packets. Inwards, a [`Receiver`] keeps the standard's rules for one universe,
//! [`Slots`] gives ten levels their meaning, and [`Desk`] makes engine inputs of both. Outwards, a [`Strip`] says which
//! pixels of a canvas go by which universe, a [`Sender`] makes packets of them, and [`Pace`] says when.
//! `core/docs/sacn.md` has the rules with a worked example.

pub mod desk;
mod layout;
pub mod pace;
pub mod packet;
pub mod receiver;
pub mod sender;
pub mod sequence;
pub mod slots;
mod source;
pub mod strip;
pub mod table;
pub mod write;

#[cfg(test)]
mod tests;

pub use desk::Desk;
pub use pace::Pace;
pub use packet::{Check, Cid, Data, Header, Packet, Sync, WireError, read};
pub use receiver::{Frame, LOSS, Receiver};
pub use sender::{Identity, Letter, Sender, Shot};
pub use slots::{Slots, Wish};
pub use strip::{Part, Pixels, Strip};
pub use table::{Levels, SLOTS};
pub use write::{write, write_header, write_sync};

/// Priority of a source that nobody gave one (6.2.3).
pub const PRIORITY: u8 = 100;

/// Multicast group of a universe: 239.255, then its number, high byte first (9.3.1).
pub const fn group(universe: u16) -> [u8; 4] {
    let [high, low] = universe.to_be_bytes();
    [239, 255, high, low]
}
