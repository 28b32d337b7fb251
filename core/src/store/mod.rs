//! What outlives a power cut: the show in two slots of flash, so that the old show stays whole until the new one is, and
//! a journal of what was on the floor and which box this is.
//!
//! Each slot starts with a 32-byte header, written last:
//!
//! | offset | size | field |
//! |---|---|---|
//! | 0 | 4 | magic `UFSL` |
//! | 4 | 4 | sequence, little-endian; the higher of two whole slots counts |
//! | 8 | 4 | content length n, little-endian |
//! | 12 | 4 | CRC-32/ISO-HDLC of the content |
//! | 16 | 4 | CRC-32/ISO-HDLC of the 16 bytes before |
//! | 20 | 12 | `FF` |
//! | 32 | n | content, padded with `FF` to the write size |
//!
//! The last two erase pages are the journal. A record has 16 bytes (or the write size, if that is more):
//!
//! | offset | size | field |
//! |---|---|---|
//! | 0 | 1 | kind: `P` first of a page, `F` floor, `B` which box, `W` wipe begun |
//! | 1 | 11 | `P`: page number (u32); `F`: lit (0 or 1), cue, checksum of the pack (u32); `B`: controller, backup (0 or 1), IPv4 address (4 bytes), bits of its network; rest `FF`; numbers little-endian |
//! | 12 | 4 | CRC-32/ISO-HDLC of the 12 bytes before |
//!
//! A page of 4096 bytes holds 253 advances beside its first record and what it starts with. Two pages that stand 10,000
//! erases each take five million advances: 1,000 a day for 13 years.

pub mod error;
pub mod header;
pub mod journal;
pub mod record;
pub mod slots;

pub use error::StoreError;
pub use header::HEADER_BYTES;
pub use record::{Floor, Identity};
pub use slots::Store;

#[cfg(test)]
mod tests;
