//! The guard around a body: magic, version, length, checksum.

use super::PackError;
use crate::checksum::CRC;
use crate::limits;

/// The first four bytes of every pack.
pub const MAGIC: [u8; 4] = *b"UFPK";
/// Oldest version that this build reads.
pub const MIN: u16 = 1;
/// The version that this build writes.
pub const CURRENT: u16 = 1;
/// Bytes before the body.
pub const HEADER_BYTES: usize = 10;
/// Bytes of the checksum after the body.
pub const CRC_BYTES: usize = 4;
/// Bytes around the body.
pub const OVERHEAD_BYTES: usize = HEADER_BYTES + CRC_BYTES;

/// The header for a body of `body_len` bytes.
pub(super) fn header(body_len: u32) -> [u8; HEADER_BYTES] {
    let [m0, m1, m2, m3] = MAGIC;
    let [v0, v1] = CURRENT.to_le_bytes();
    let [l0, l1, l2, l3] = body_len.to_le_bytes();
    [m0, m1, m2, m3, v0, v1, l0, l1, l2, l3]
}

/// Checks everything around the body and returns the body and the checksum.
///
/// # Errors
/// The first failed check, in the order of [`PackError`]'s variants.
pub fn open(bytes: &[u8]) -> Result<(&[u8], u32), PackError> {
    let got = bytes.len();
    let short = PackError::TooShort { expected: OVERHEAD_BYTES, got };
    let (magic, rest) = bytes.split_first_chunk::<4>().ok_or(short)?;
    let (version, rest) = rest.split_first_chunk::<2>().ok_or(short)?;
    let (length, rest) = rest.split_first_chunk::<4>().ok_or(short)?;
    let (body, stored) = rest.split_last_chunk::<CRC_BYTES>().ok_or(short)?;
    if got > limits::PACK_BYTES {
        return Err(PackError::TooLong { expected: limits::PACK_BYTES, got });
    }
    if *magic != MAGIC {
        return Err(PackError::Magic { got: *magic });
    }
    let version = u16::from_le_bytes(*version);
    if !(MIN..=CURRENT).contains(&version) {
        return Err(PackError::Version { min: MIN, current: CURRENT, got: version });
    }
    let expected = (u32::from_le_bytes(*length) as usize).saturating_add(OVERHEAD_BYTES);
    if expected != got {
        return Err(PackError::Length { expected, got });
    }
    let expected = u32::from_le_bytes(*stored);
    let computed = CRC.checksum(bytes.get(..got - CRC_BYTES).ok_or(short)?);
    if expected != computed {
        return Err(PackError::Crc { expected, got: computed });
    }
    Ok((body, expected))
}
