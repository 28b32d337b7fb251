//! A slot's header.

use crate::checksum::CRC;

/// Bytes of a header in flash.
pub const HEADER_BYTES: usize = 32;

const MAGIC: [u8; 4] = *b"UFSL";

/// What a slot holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Header {
    /// Counts up with each save.
    pub sequence: u32,
    /// Length of the content, bytes.
    pub len: u32,
    /// Checksum of the content.
    pub crc: u32,
}

impl Header {
    /// The header as it stands in flash.
    pub fn to_bytes(self) -> [u8; HEADER_BYTES] {
        let mut bytes = [0xFF; HEADER_BYTES];
        let [m0, m1, m2, m3] = MAGIC;
        let [s0, s1, s2, s3] = self.sequence.to_le_bytes();
        let [l0, l1, l2, l3] = self.len.to_le_bytes();
        let [c0, c1, c2, c3] = self.crc.to_le_bytes();
        let guarded = [m0, m1, m2, m3, s0, s1, s2, s3, l0, l1, l2, l3, c0, c1, c2, c3];
        let crc = CRC.checksum(&guarded).to_le_bytes();
        if let Some((head, rest)) = bytes.split_first_chunk_mut::<16>() {
            *head = guarded;
            if let Some(slot) = rest.first_chunk_mut::<4>() {
                *slot = crc;
            }
        }
        bytes
    }

    /// The header in these bytes, or `None` when they are none: erased, cut or damaged.
    pub fn from_bytes(bytes: &[u8; HEADER_BYTES]) -> Option<Self> {
        let (guarded, rest) = bytes.split_first_chunk::<16>()?;
        let crc = u32::from_le_bytes(*rest.first_chunk::<4>()?);
        let [m0, m1, m2, m3, s0, s1, s2, s3, l0, l1, l2, l3, c0, c1, c2, c3] = *guarded;
        let header = Self {
            sequence: u32::from_le_bytes([s0, s1, s2, s3]),
            len: u32::from_le_bytes([l0, l1, l2, l3]),
            crc: u32::from_le_bytes([c0, c1, c2, c3]),
        };
        ([m0, m1, m2, m3] == MAGIC && CRC.checksum(guarded) == crc).then_some(header)
    }
}
