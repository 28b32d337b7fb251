//! The one message between the boxes of a show, as bytes.

use heapless::Vec;
use serde::{Deserialize, Serialize};

use super::ask::{ASKS, Ask};
use super::changes::{CHANGES_TOLD, Stamped};
use super::off::OffTag;
use super::seat::{Seat, Stand};
use crate::checksum::CRC;
use crate::engine::Shared;
use crate::limits;

/// Version of the message: its first byte.
pub const VERSION: u8 = 1;
/// Longest message, bytes.
pub const BEAT_BYTES: usize = 256;

/// What a box says of itself, ten times a second and more.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Beat {
    /// Who says it.
    pub seat: Seat,
    /// Checksum of its pack.
    pub pack: u32,
    /// One up for every message since power-up.
    pub sequence: u32,
    /// Its stand in deciding for the crew.
    pub decides: Stand,
    /// Its stand in putting the rows of its controller out.
    pub drives: Stand,
    /// The newest OFF that it knows of.
    pub off: OffTag,
    /// The stop contact at this box asks for darkness.
    pub stop: bool,
    /// A desk talks to this box.
    pub desk: bool,
    /// What it takes for the state of the show.
    pub state: Shared,
    /// Number of its newest ask; those in `asks` are the last ones up to it.
    pub asked: u16,
    /// What it asks of the box in charge, oldest first.
    pub asks: Vec<Ask, ASKS>,
    /// Of the box in charge: the newest ask of each box that it has decided on.
    pub settled: Vec<(Seat, u16), { limits::CREW }>,
    /// Some of what people changed on the set.
    pub changes: Vec<Stamped, CHANGES_TOLD>,
}

/// Why bytes are no beat.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BeatError {
    /// Fewer bytes than version and checksum need.
    TooShort,
    /// Another version.
    Version(u8),
    /// Damaged on the way.
    Crc,
    /// A value that does not exist, or bytes left over.
    Value,
}

impl Beat {
    /// Writes the message to the front of `out` and returns its length; `None` when `out` is too short.
    pub fn write(&self, out: &mut [u8]) -> Option<usize> {
        let (version, rest) = out.split_first_mut()?;
        *version = VERSION;
        let len = 1 + postcard::to_slice(self, rest).ok()?.len();
        let crc = CRC.checksum(out.get(..len)?).to_le_bytes();
        out.get_mut(len..len + crc.len())?.copy_from_slice(&crc);
        Some(len + crc.len())
    }

    /// Reads a message.
    ///
    /// # Errors
    /// [`BeatError`].
    pub fn read(bytes: &[u8]) -> Result<Self, BeatError> {
        let (content, crc) = bytes.split_last_chunk::<4>().ok_or(BeatError::TooShort)?;
        let (&version, body) = content.split_first().ok_or(BeatError::TooShort)?;
        if CRC.checksum(content) != u32::from_le_bytes(*crc) {
            return Err(BeatError::Crc);
        }
        if version != VERSION {
            return Err(BeatError::Version(version));
        }
        match postcard::take_from_bytes(body) {
            Ok((beat, [])) => Ok(beat),
            _ => Err(BeatError::Value),
        }
    }
}
