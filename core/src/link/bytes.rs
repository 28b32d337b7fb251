//! A few bytes in an answer.

use core::fmt;

use serde::de::{Error, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// Most bytes in an answer.
pub const CAPACITY: usize = 256;

/// Up to [`CAPACITY`] bytes; on the wire their number, then they.
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct Bytes {
    len: u16,
    bytes: [u8; CAPACITY],
}

impl Bytes {
    /// None.
    pub const EMPTY: Self = Self { len: 0, bytes: [0; CAPACITY] };

    /// These; `None` for too many.
    pub fn of(bytes: &[u8]) -> Option<Self> {
        let mut all = Self::EMPTY;
        all.push(bytes).then_some(all)
    }

    /// Adds some at the end; false, and nothing is added, when there is no room.
    pub fn push(&mut self, more: &[u8]) -> bool {
        let from = usize::from(self.len);
        let Some(room) = self.bytes.get_mut(from..from + more.len()) else { return false };
        room.copy_from_slice(more);
        self.len += more.len() as u16;
        true
    }

    /// The bytes.
    pub fn as_slice(&self) -> &[u8] {
        self.bytes.get(..usize::from(self.len)).unwrap_or(&[])
    }
}

impl fmt::Debug for Bytes {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} bytes", self.len)
    }
}

#[cfg(feature = "defmt")]
impl defmt::Format for Bytes {
    fn format(&self, f: defmt::Formatter<'_>) {
        defmt::write!(f, "{} bytes", self.len);
    }
}

impl Serialize for Bytes {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_bytes(self.as_slice())
    }
}

impl<'de> Deserialize<'de> for Bytes {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Some256;

        impl Visitor<'_> for Some256 {
            type Value = Bytes;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, "at most {CAPACITY} bytes")
            }

            fn visit_bytes<E: Error>(self, bytes: &[u8]) -> Result<Bytes, E> {
                Bytes::of(bytes).ok_or_else(|| E::invalid_length(bytes.len(), &self))
            }
        }

        deserializer.deserialize_bytes(Some256)
    }
}
