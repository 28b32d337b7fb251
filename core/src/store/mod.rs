//! The show at rest: two slots in flash, so that the old show stays whole until the new one is.
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

pub mod header;
pub mod slots;

pub use header::HEADER_BYTES;
pub use slots::{Store, StoreError};

#[cfg(test)]
mod tests;
