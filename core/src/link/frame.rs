//! Frames: sequence number, message and checksum, stuffed so that a zero byte only ever ends a frame.
//!
//! Stuffing is COBS (Cheshire & Baker 1999). Writing goes straight from the serialiser through checksum and
//! stuffing into the output; nothing is copied twice.

use crc::Digest;
use postcard::ser_flavors::Flavor;
use serde::Serialize;

use super::cobs::{StuffError, Stuffer, Unstuffer};
use super::message::MAX_MESSAGE_BYTES;
use crate::checksum::CRC;

/// Bytes of a frame around its message, before stuffing: sequence number and checksum.
pub const OVERHEAD_BYTES: usize = 5;
/// Longest frame before stuffing.
pub const MAX_FRAME_BYTES: usize = MAX_MESSAGE_BYTES + OVERHEAD_BYTES;
/// Longest frame on the wire: one more byte per started 254, and the delimiter.
pub const MAX_WIRE_BYTES: usize = MAX_FRAME_BYTES + MAX_FRAME_BYTES / 254 + 2;

/// Why bytes on the wire were no frame. The decoder has found the next delimiter and goes on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum FrameError {
    /// More bytes than [`MAX_FRAME_BYTES`] without a delimiter.
    TooLong,
    /// A delimiter came before the announced bytes.
    Cut,
    /// Fewer bytes than sequence number, message and checksum need.
    TooShort,
    /// The checksum does not match.
    Crc {
        /// The checksum that came.
        expected: u32,
        /// The checksum of what came.
        got: u32,
    },
}

/// A checked frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Frame<'b> {
    /// Sequence number of the request; its answer carries the same.
    pub sequence: u8,
    /// The message's bytes.
    pub message: &'b [u8],
}

/// Writes one whole frame, delimiter included, to the front of `out` and returns its length; `None` when `out` is
/// too short ([`MAX_WIRE_BYTES`] always suffices for messages within their limit).
pub fn write<M: Serialize + ?Sized>(sequence: u8, message: &M, out: &mut [u8]) -> Option<usize> {
    let mut framer = Framer { stuffer: Stuffer::new(out)?, digest: CRC.digest() };
    framer.try_push(sequence).ok()?;
    postcard::serialize_with_flavor(message, framer).ok()
}

struct Framer<'o> {
    stuffer: Stuffer<'o>,
    digest: Digest<'static, u32>,
}

impl Flavor for Framer<'_> {
    type Output = usize;

    fn try_push(&mut self, byte: u8) -> postcard::Result<()> {
        self.digest.update(&[byte]);
        self.stuffer.push(byte).ok_or(postcard::Error::SerializeBufferFull)
    }

    fn finalize(mut self) -> postcard::Result<usize> {
        for byte in self.digest.finalize().to_le_bytes() {
            self.stuffer.push(byte).ok_or(postcard::Error::SerializeBufferFull)?;
        }
        self.stuffer.finish().ok_or(postcard::Error::SerializeBufferFull)
    }
}

/// Finds frames in a stream of bytes.
///
/// It needs no start: whatever was half received before the first delimiter fails its checks and is dropped.
#[derive(Clone, Debug)]
pub struct Decoder(Unstuffer<MAX_FRAME_BYTES>);

impl Default for Decoder {
    fn default() -> Self {
        Self::new()
    }
}

impl Decoder {
    /// A decoder that has seen nothing.
    pub const fn new() -> Self {
        Self(Unstuffer::new())
    }

    /// Takes the next byte; a delimiter completes a frame or tells why there is none. Empty frames (two delimiters
    /// in a row) are silence, not errors.
    pub fn push(&mut self, byte: u8) -> Option<Result<Frame<'_>, FrameError>> {
        if self.feed(byte) { self.take() } else { None }
    }

    /// Takes the next byte; true for a delimiter, after which [`Decoder::take`] must be called before more bytes come.
    pub fn feed(&mut self, byte: u8) -> bool {
        self.0.feed(byte)
    }

    /// What the delimiter ended, as [`Decoder::push`] gives it.
    pub fn take(&mut self) -> Option<Result<Frame<'_>, FrameError>> {
        match self.0.take()? {
            Ok(bytes) => Some(check(bytes)),
            Err(StuffError::TooLong) => Some(Err(FrameError::TooLong)),
            Err(StuffError::Cut) => Some(Err(FrameError::Cut)),
        }
    }
}

fn check(bytes: &[u8]) -> Result<Frame<'_>, FrameError> {
    let (content, crc) = bytes.split_last_chunk::<4>().ok_or(FrameError::TooShort)?;
    let (sequence, message) = content.split_first().ok_or(FrameError::TooShort)?;
    let expected = u32::from_le_bytes(*crc);
    let got = CRC.checksum(content);
    if expected != got {
        return Err(FrameError::Crc { expected, got });
    }
    if message.is_empty() {
        return Err(FrameError::TooShort);
    }
    Ok(Frame { sequence: *sequence, message })
}
