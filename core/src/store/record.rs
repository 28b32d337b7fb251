//! One record of the journal.

use crate::checksum::CRC;

/// Bytes of a record in flash.
pub const RECORD_BYTES: usize = 16;

/// What a record says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Record {
    /// The page that starts with it is whole, and follows the one with the number before.
    Page(u32),
    /// What was on the floor.
    Floor(Floor),
    /// Which box this is.
    Box(Identity),
    /// Everything but which box this is has to be erased.
    Wipe,
}

/// What was on the floor.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Floor {
    /// The cue that was lit; `None` when nothing was.
    pub lit: Option<u8>,
    /// Checksum of the pack that the cue belongs to.
    pub pack_crc: u32,
}

/// Which box this is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Identity {
    /// Number of its controller.
    pub controller: u8,
    /// It is the backup of its pair.
    pub backup: bool,
    /// Its IPv4 address and the bits of its network.
    pub address: ([u8; 4], u8),
}

const PAGE: u8 = b'P';
const FLOOR: u8 = b'F';
const BOX: u8 = b'B';
const WIPE: u8 = b'W';

impl Record {
    /// The record as it stands in flash: kind, 11 bytes of content, checksum.
    pub fn to_bytes(self) -> [u8; RECORD_BYTES] {
        let mut content = [0xFF; 12];
        let (kind, rest) = match self {
            Self::Page(number) => (PAGE, pad(number.to_le_bytes())),
            Self::Floor(Floor { lit, pack_crc }) => {
                let [c0, c1, c2, c3] = pack_crc.to_le_bytes();
                (FLOOR, pad([u8::from(lit.is_some()), lit.unwrap_or(0), c0, c1, c2, c3]))
            }
            Self::Box(Identity { controller, backup, address: ([a0, a1, a2, a3], prefix) }) => {
                (BOX, pad([controller, u8::from(backup), a0, a1, a2, a3, prefix]))
            }
            Self::Wipe => (WIPE, pad([])),
        };
        if let Some((first, others)) = content.split_first_mut() {
            *first = kind;
            others.copy_from_slice(&rest);
        }
        let mut bytes = [0; RECORD_BYTES];
        if let Some((head, tail)) = bytes.split_first_chunk_mut::<12>() {
            *head = content;
            tail.copy_from_slice(&CRC.checksum(&content).to_le_bytes());
        }
        bytes
    }

    /// The record in these bytes, or `None` when they are none: erased, cut or damaged.
    pub fn from_bytes(bytes: &[u8; RECORD_BYTES]) -> Option<Self> {
        let (content, crc) = bytes.split_first_chunk::<12>()?;
        if u32::from_le_bytes(*crc.first_chunk::<4>()?) != CRC.checksum(content) {
            return None;
        }
        let &[kind, a, b, c, d, e, f, g, ..] = content;
        match kind {
            PAGE => Some(Self::Page(u32::from_le_bytes([a, b, c, d]))),
            FLOOR => {
                let lit = (a == 1).then_some(b);
                Some(Self::Floor(Floor { lit, pack_crc: u32::from_le_bytes([c, d, e, f]) }))
            }
            BOX => Some(Self::Box(Identity { controller: a, backup: b == 1, address: ([c, d, e, f], g) })),
            WIPE => Some(Self::Wipe),
            _ => None,
        }
    }
}

fn pad<const N: usize>(content: [u8; N]) -> [u8; 11] {
    let mut all = [0xFF; 11];
    all.iter_mut().zip(content).for_each(|(to, from)| *to = from);
    all
}
