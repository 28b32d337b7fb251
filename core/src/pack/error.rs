//! Why a pack was refused: which check, what it expected, what it got.

use crate::show::ShowError;

/// The check that failed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum PackError {
    /// Fewer bytes than header and checksum need.
    TooShort {
        /// Bytes needed.
        expected: usize,
        /// Bytes given.
        got: usize,
    },
    /// More bytes than [`crate::limits::PACK_BYTES`], or than the buffer lent for encoding.
    TooLong {
        /// Most bytes that fit.
        expected: usize,
        /// Bytes given or needed.
        got: usize,
    },
    /// The first four bytes are not a pack's.
    Magic {
        /// The bytes found.
        got: [u8; 4],
    },
    /// Written by a version that this build does not read.
    Version {
        /// Oldest version read.
        min: u16,
        /// Newest version read.
        current: u16,
        /// The pack's version.
        got: u16,
    },
    /// The header's body length does not match the bytes given.
    Length {
        /// Total bytes by the header.
        expected: usize,
        /// Bytes given.
        got: usize,
    },
    /// The checksum does not match: the bytes were damaged.
    Crc {
        /// The checksum at the end of the pack.
        expected: u32,
        /// The checksum of its bytes.
        got: u32,
    },
    /// A value of the body cannot be read.
    Value {
        /// Field of [`crate::show::Show`].
        field: &'static str,
        /// Index of the item, 0 for a field that is no list.
        index: u16,
    },
    /// A list has more items than the core holds.
    Full {
        /// Field of [`crate::show::Show`].
        field: &'static str,
        /// Its capacity.
        expected: usize,
        /// Items in the pack.
        got: u32,
    },
    /// Bytes are left over after the last field.
    Trailing {
        /// How many.
        got: usize,
    },
    /// The show was read, but [`crate::show::Show::validate`] refuses it.
    Show(ShowError),
}
