//! Show to bytes.

use super::PackError;
use super::envelope::{CRC_BYTES, HEADER_BYTES, OVERHEAD_BYTES, header};
use crate::checksum::CRC;
use crate::limits;
use crate::show::Show;

/// Bytes of the show's pack.
///
/// # Errors
/// [`PackError::Value`] when the show cannot be measured, which plain data always can.
pub fn encoded_len(show: &Show) -> Result<usize, PackError> {
    let flavor = postcard::ser_flavors::Size::default();
    let body = postcard::serialize_with_flavor(show, flavor).map_err(|_| UNREADABLE)?;
    Ok(body + OVERHEAD_BYTES)
}

const UNREADABLE: PackError = PackError::Value { field: "show", index: 0 };

/// Writes the show's pack to the front of `buffer` and returns its length in bytes.
///
/// # Errors
/// [`PackError::Show`] for a show that no box would take, [`PackError::TooLong`] with both sizes when the pack
/// passes [`limits::PACK_BYTES`] or the buffer. The buffer's content is then undefined.
pub fn encode(show: &Show, buffer: &mut [u8]) -> Result<usize, PackError> {
    show.validate().map_err(PackError::Show)?;
    let len = encoded_len(show)?;
    let room = buffer.len().min(limits::PACK_BYTES);
    let too_long = PackError::TooLong { expected: room, got: len };
    if len > room {
        return Err(too_long);
    }
    let guarded = buffer.get_mut(..len).ok_or(too_long)?;
    let (content, crc) = guarded.split_last_chunk_mut::<CRC_BYTES>().ok_or(too_long)?;
    let (head, body) = content.split_first_chunk_mut::<HEADER_BYTES>().ok_or(too_long)?;
    let body_len = body.len() as u32;
    *head = header(body_len);
    postcard::to_slice(show, body).map_err(|_| UNREADABLE)?;
    *crc = CRC.checksum(content).to_le_bytes();
    Ok(len)
}
