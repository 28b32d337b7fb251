//! A pack on its way into the staging buffer.

use crate::limits;
use crate::link::{PackCheck, Refusal};
use crate::pack::PackError;

/// How far the upload is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Upload {
    /// `None` when no pack has been begun.
    progress: Option<Progress>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Progress {
    /// Bytes announced.
    len: u32,
    /// Bytes received.
    got: u32,
    /// The checksum at the pack's end, when it was announced: what was received may be gone on with.
    crc: Option<u32>,
}

impl Upload {
    /// Starts a pack of `len` bytes; what was received before is forgotten.
    pub(super) fn begin(&mut self, len: u32) -> Result<(), Refusal> {
        let limit = limits::PACK_BYTES as u32;
        if len > limit {
            return Err(Refusal::TooLong { limit });
        }
        self.progress = Some(Progress { len, got: 0, crc: None });
        Ok(())
    }

    /// Goes on with the pack of `len` bytes that ends in `crc`, or starts it; the offset to send from.
    pub(super) fn resume(&mut self, len: u32, crc: u32) -> Result<u32, Refusal> {
        match self.progress {
            Some(known) if known.len == len && known.crc == Some(crc) => Ok(known.got),
            _ => {
                self.begin(len)?;
                self.progress = Some(Progress { len, got: 0, crc: Some(crc) });
                Ok(0)
            }
        }
    }

    /// Forgets what was received: its memory is needed.
    pub(super) fn forget(&mut self) {
        self.progress = None;
    }

    /// Puts the next bytes into `staging`.
    pub(super) fn chunk(&mut self, offset: u32, bytes: &[u8], staging: &mut [u8]) -> Result<(), Refusal> {
        let Progress { len, got, .. } = self.progress.as_mut().ok_or(Refusal::NoPack)?;
        if offset != *got {
            return Err(Refusal::Offset { expected: *got });
        }
        let too_long = Refusal::TooLong { limit: *len };
        let end = u32::try_from(bytes.len()).ok().and_then(|n| got.checked_add(n)).filter(|end| end <= len);
        let end = end.ok_or(too_long)?;
        staging.get_mut(*got as usize..end as usize).ok_or(too_long)?.copy_from_slice(bytes);
        *got = end;
        Ok(())
    }

    /// Ends the upload; the length of the whole pack.
    pub(super) fn finish(&mut self) -> Result<usize, Refusal> {
        let Progress { len: expected, got, .. } = self.progress.take().ok_or(Refusal::NoPack)?;
        if got == expected { Ok(expected as usize) } else { Err(Refusal::Incomplete { expected, got }) }
    }
}

/// A pack's fault as the link tells it.
pub(super) fn refusal(error: PackError) -> Refusal {
    let number = |value: usize| u32::try_from(value).unwrap_or(u32::MAX);
    let (check, expected, got) = match error {
        PackError::TooShort { expected, got } => (PackCheck::TooShort, number(expected), number(got)),
        PackError::TooLong { expected, got } => (PackCheck::TooLong, number(expected), number(got)),
        PackError::Magic { got } => (PackCheck::Magic, 0, u32::from_le_bytes(got)),
        PackError::Version { current, got, .. } => (PackCheck::Version, current.into(), got.into()),
        PackError::Length { expected, got } => (PackCheck::Length, number(expected), number(got)),
        PackError::Crc { expected, got } => (PackCheck::Crc, expected, got),
        PackError::Value { index, .. } => (PackCheck::Value, 0, index.into()),
        PackError::Full { expected, got, .. } => (PackCheck::Full, number(expected), got),
        PackError::Trailing { got } => (PackCheck::Trailing, 0, number(got)),
        PackError::Show(error) => (PackCheck::Show, 0, error.index.into()),
    };
    Refusal::Pack { check, expected, got }
}
