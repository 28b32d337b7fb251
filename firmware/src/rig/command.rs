//! The rig's commands and answers as bytes. All numbers are little-endian.
//!
//! | command | bytes | answer |
//! |---|---|---|
//! | take a pack | `P`, length (4), pack | 1 for taken, 0 for refused |
//! | paint a view | `V`, view ([`underfoot_core::look::view_bytes::VIEW_BYTES`]) | [`Painted`] |
//! | paint a view in stretches | `S`, effort (4), view | [`Stretches`] |
//! | dump a view's rows | `D`, view | records, see [`Record`] |
//! | trace a zone | `Z`, cue, mark, class (1 each) | ticks (8), stack (4), length (4), answer, see [`super::zone`] |
//! | hidden marks | `L`, cue, number of cameras (1 each), cameras ([`super::live::CAMERA_BYTES`]) | bits (8), ticks (4), stack (4) |
//! | plan a walk line | `W`, question ([`super::walk::ASK_BYTES`]) | ticks (4), stack (4), length (4), answer, see [`super::walk`] |
//! | end | `Q` | none |

/// Bytes of a [`Painted`].
pub const PAINTED_BYTES: usize = 17;

/// What a paint command gave.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Painted {
    /// False when the scene or the painter was full.
    pub fits: bool,
    /// Checksum of the rows.
    pub crc: u32,
    /// Clock ticks of composing the scenes of all canvases, without those of reading the clock.
    pub compose_ticks: u32,
    /// Clock ticks of painting them into the line buffer, row by row, without those of reading the clock.
    pub paint_ticks: u32,
    /// Most bytes of stack used so far.
    pub stack: u32,
}

impl Painted {
    /// The answer's bytes.
    pub fn to_bytes(self) -> [u8; PAINTED_BYTES] {
        let mut bytes = [0; PAINTED_BYTES];
        bytes[0] = self.fits.into();
        let numbers = [self.crc, self.compose_ticks, self.paint_ticks, self.stack];
        for (slot, number) in bytes[1..].chunks_exact_mut(4).zip(numbers) {
            slot.copy_from_slice(&number.to_le_bytes());
        }
        bytes
    }

    /// The answer in these bytes.
    pub fn from_bytes(bytes: &[u8; PAINTED_BYTES]) -> Self {
        let number = |i: usize| u32::from_le_bytes([bytes[i], bytes[i + 1], bytes[i + 2], bytes[i + 3]]);
        Self {
            fits: bytes[0] != 0,
            crc: number(1),
            compose_ticks: number(5),
            paint_ticks: number(9),
            stack: number(13),
        }
    }
}

/// Numbers of a [`Stretches`].
const STRETCHES: usize = 8;
/// Bytes of a [`Stretches`].
pub const STRETCHES_BYTES: usize = 4 * STRETCHES;

/// What painting a view in stretches gave; times are in clock ticks.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Stretches {
    /// Checksum of the rows; 0 when the scene or the painter was full.
    pub crc: u32,
    /// Number of stretches.
    pub stretches: u32,
    /// All of them together.
    pub total_ticks: u32,
    /// The longest that composed a scene, that listed edges, and that gave rows.
    pub compose_ticks: u32,
    /// See above.
    pub edges_ticks: u32,
    /// See above.
    pub rows_ticks: u32,
    /// From the start to the first row with light in it; 0 when there was none.
    pub lit_ticks: u32,
    /// Most bytes of stack used so far.
    pub stack: u32,
}

impl Stretches {
    /// The answer's bytes.
    pub fn to_bytes(self) -> [u8; STRETCHES_BYTES] {
        let Self { crc, stretches, total_ticks, compose_ticks, edges_ticks, rows_ticks, lit_ticks, stack } = self;
        let numbers = [crc, stretches, total_ticks, compose_ticks, edges_ticks, rows_ticks, lit_ticks, stack];
        let mut bytes = [0; STRETCHES_BYTES];
        for (slot, number) in bytes.chunks_exact_mut(4).zip(numbers) {
            slot.copy_from_slice(&number.to_le_bytes());
        }
        bytes
    }

    /// The answer in these bytes.
    pub fn from_bytes(bytes: &[u8; STRETCHES_BYTES]) -> Self {
        let number = |i: usize| u32::from_le_bytes(core::array::from_fn(|k| bytes[4 * i + k]));
        let [crc, stretches, total_ticks, compose_ticks, edges_ticks, rows_ticks, lit_ticks, stack] =
            core::array::from_fn(number);
        Self { crc, stretches, total_ticks, compose_ticks, edges_ticks, rows_ticks, lit_ticks, stack }
    }
}

/// First byte of each record of a dump; numbers that follow are 16 bits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(u8)]
pub enum Record {
    /// The dump ends.
    End = 0,
    /// A row: its number, start and end.
    Row = 1,
    /// A span of the row: start, end, then r g b a.
    Span = 2,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_answer_comes_back_equal() {
        let painted = Painted { fits: true, crc: 1, compose_ticks: 2, paint_ticks: u32::MAX, stack: 5 };
        assert_eq!(Painted::from_bytes(&painted.to_bytes()), painted);
        let stretches =
            Stretches { crc: 1, stretches: 2, rows_ticks: 3, lit_ticks: u32::MAX, stack: 5, ..Stretches::default() };
        assert_eq!(Stretches::from_bytes(&stretches.to_bytes()), stretches);
    }
}
