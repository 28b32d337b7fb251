//! Packs: one show as guarded bytes, for the link, the store and the desk.
//!
//! | offset | size | field |
//! |---|---|---|
//! | 0 | 4 | magic `UFPK` |
//! | 4 | 2 | version, little-endian |
//! | 6 | 4 | body length n, little-endian |
//! | 10 | n | body: [`Show`](crate::show::Show) in postcard |
//! | 10 + n | 4 | CRC-32/ISO-HDLC of all bytes before it, little-endian |
//!
//! A pack is taken whole or not at all: [`decode_into`] leaves an empty show behind when any check
//! fails. `core/docs/pack.md` is the format's document.

pub mod code;
pub mod decode;
pub mod encode;
pub mod envelope;
pub mod error;
mod fields;
pub mod usage;

pub use code::ShowCode;
pub use decode::{decode, decode_into};
pub use encode::{encode, encoded_len};
pub use envelope::{CURRENT, HEADER_BYTES, MAGIC, MIN, OVERHEAD_BYTES, open};
pub use error::PackError;
pub use usage::{Usage, usage};

#[cfg(test)]
mod tests;
