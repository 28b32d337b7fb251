//! The show code: four characters that let everyone ask "are you on the same show?".

use core::fmt;

use super::PackError;
use super::envelope::open;

/// Letters and digits of show codes. Left out: what can be mistaken for another character on a sheet, on a lamp-lit
/// display or upside down (0 O Q, 1 I L, Z beside 2, 5 S, 6 G beside 9, 8 B, U V, W beside M), and vowels, so that no
/// code spells a word.
pub const ALPHABET: [u8; 18] = *b"2347CDFHJKMNPRTXY9";

/// Four characters derived from a pack's bytes.
///
/// Two shows that differ share a code once in 104,976 (18⁴): enough to catch a stale sheet, no proof of identity.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct ShowCode([u8; 4]);

impl ShowCode {
    /// The code of a whole pack.
    ///
    /// # Errors
    /// [`PackError`] when the bytes are not an undamaged pack.
    pub fn of_pack(bytes: &[u8]) -> Result<Self, PackError> {
        open(bytes).map(|(_, crc)| Self::of_crc(crc))
    }

    /// The code of a pack with this checksum: its remainder by 18⁴ in base 18, most significant digit first.
    pub const fn of_crc(crc: u32) -> Self {
        Self([digit(crc / (18 * 18 * 18)), digit(crc / (18 * 18)), digit(crc / 18), digit(crc)])
    }

    /// The code's characters, ASCII.
    pub const fn bytes(self) -> [u8; 4] {
        self.0
    }

    /// The code as text.
    pub fn as_str(&self) -> &str {
        core::str::from_utf8(&self.0).unwrap_or("????")
    }
}

#[allow(clippy::indexing_slicing, reason = "a remainder by the alphabet's length is inside the alphabet")]
const fn digit(value: u32) -> u8 {
    ALPHABET[(value % ALPHABET.len() as u32) as usize]
}

impl fmt::Display for ShowCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}
