//! A row target that remembers a checksum of what went through it.

use crc::Digest;

use crate::checksum::CRC;
use crate::paint::{RowTarget, Span};

/// Passes rows on and keeps CRC-32/ISO-HDLC over them: for each row its number, start and end, for each span its
/// start, end and colour (r g b a), 16-bit numbers little-endian. Two pictures with equal rows have equal checksums
/// on every platform.
pub struct Witness<'t, T> {
    target: &'t mut T,
    digest: Digest<'static, u32>,
}

impl<'t, T> Witness<'t, T> {
    /// A witness over `target` that starts from `seed`; chain canvases by seeding each with the last checksum.
    pub fn new(target: &'t mut T, seed: u32) -> Self {
        let mut digest = CRC.digest();
        digest.update(&seed.to_le_bytes());
        Self { target, digest }
    }

    /// A witness over `target` that goes on from where another [rested](Self::rest).
    pub const fn again(target: &'t mut T, digest: Digest<'static, u32>) -> Self {
        Self { target, digest }
    }

    /// What has been seen so far.
    pub fn rest(self) -> Digest<'static, u32> {
        self.digest
    }

    /// The checksum of everything since the start.
    pub fn finish(self) -> u32 {
        self.digest.finalize()
    }
}

impl<T: RowTarget> RowTarget for Witness<'_, T> {
    type Error = T::Error;

    fn begin_row(&mut self, row: u16, start: u16, end: u16) -> Result<(), T::Error> {
        let ([r0, r1], [s0, s1], [e0, e1]) = (row.to_le_bytes(), start.to_le_bytes(), end.to_le_bytes());
        self.digest.update(&[r0, r1, s0, s1, e0, e1]);
        self.target.begin_row(row, start, end)
    }

    fn span(&mut self, span: Span) -> Result<(), T::Error> {
        let ([s0, s1], [e0, e1]) = (span.start.to_le_bytes(), span.end.to_le_bytes());
        let color = span.color;
        self.digest.update(&[s0, s1, e0, e1, color.r, color.g, color.b, color.a]);
        self.target.span(span)
    }

    fn end_row(&mut self) -> Result<(), T::Error> {
        self.target.end_row()
    }
}
