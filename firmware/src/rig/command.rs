//! The rig's commands and answers as bytes. All numbers are little-endian.
//!
//! | command | bytes | answer |
//! |---|---|---|
//! | take a pack | `P`, length (4), pack | 1 for taken, 0 for refused |
//! | paint a view | `V`, view ([`VIEW_BYTES`]) | [`Painted`] |
//! | paint a view in stretches | `S`, effort (4), view | [`Stretches`] |
//! | dump a view's rows | `D`, view | records, see [`Record`] |
//! | trace a zone | `Z`, cue, mark, class (1 each) | ticks (8), stack (4), length (4), answer, see [`super::zone`] |
//! | hidden marks | `L`, cue, number of cameras (1 each), cameras ([`super::live::CAMERA_BYTES`]) | bits (8), ticks (4), stack (4) |
//! | plan a walk line | `W`, question ([`super::walk::ASK_BYTES`]) | ticks (4), stack (4), length (4), answer, see [`super::walk`] |
//! | end | `Q` | none |

use underfoot_core::look::{MarkState, Shown, View};
use underfoot_core::show::{CueId, Mode};

/// Bytes of a view.
pub const VIEW_BYTES: usize = 28;
/// Bytes of a [`Painted`].
pub const PAINTED_BYTES: usize = 17;

/// Modes by their number in a view.
pub const MODES: [Mode; 7] =
    [Mode::Build, Mode::Brief, Mode::Standby, Mode::Air, Mode::Reset, Mode::Off, Mode::Worklight];

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

/// The view's bytes. Fields that pictures of cues do not use keep their defaults.
pub fn view_to_bytes(view: &View) -> [u8; VIEW_BYTES] {
    let mut bytes = [0; VIEW_BYTES];
    bytes[0] = MODES.iter().position(|m| *m == view.mode).unwrap_or(0) as u8;
    bytes[1] = view.cue.map_or(u8::MAX, |c| c.0);
    bytes[2] = view.labels.into();
    bytes[3] = view.level;
    bytes[4] = view.pulse;
    bytes[5] = match view.state {
        MarkState::Steady => 0,
        MarkState::Later => 1,
        MarkState::StandBy => 2,
        MarkState::Go => 3,
        MarkState::Arrived => 4,
        MarkState::Off { .. } => 5,
    };
    bytes[6] = view.floor_level;
    bytes[8..16].copy_from_slice(&view.shown.marks.to_le_bytes());
    bytes[16..20].copy_from_slice(&view.shown.props.to_le_bytes());
    if let MarkState::Off { toward_deg } = view.state {
        bytes[20..24].copy_from_slice(&toward_deg.to_le_bytes());
    }
    bytes[24..28].copy_from_slice(&view.flow_ms.to_le_bytes());
    bytes
}

/// The view in these bytes; `None` for numbers that name nothing.
pub fn view_from_bytes(bytes: &[u8; VIEW_BYTES]) -> Option<View> {
    let mode = *MODES.get(usize::from(bytes[0]))?;
    let cue = (bytes[1] != u8::MAX).then_some(CueId(bytes[1]));
    let [m0, m1, m2, m3, m4, m5, m6, m7] = *bytes[8..].first_chunk()?;
    let state = match bytes[5] {
        0 => MarkState::Steady,
        1 => MarkState::Later,
        2 => MarkState::StandBy,
        3 => MarkState::Go,
        4 => MarkState::Arrived,
        5 => MarkState::Off { toward_deg: f32::from_le_bytes(*bytes[20..].first_chunk()?) },
        _ => return None,
    };
    let shown = Shown {
        marks: u64::from_le_bytes([m0, m1, m2, m3, m4, m5, m6, m7]),
        props: u32::from_le_bytes(*bytes[16..].first_chunk()?),
    };
    Some(View {
        labels: bytes[2] != 0,
        level: bytes[3],
        pulse: bytes[4],
        floor_level: bytes[6],
        flow_ms: u32::from_le_bytes(*bytes[24..].first_chunk()?),
        state,
        shown,
        ..View::new(mode, cue)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn views_and_answers_come_back_equal() {
        for mode in MODES {
            for state in [MarkState::Steady, MarkState::Go, MarkState::Off { toward_deg: 12.5 }] {
                let view = View {
                    labels: true,
                    level: 3,
                    pulse: 4,
                    flow_ms: 0x8000_0005,
                    floor_level: 6,
                    state,
                    shown: Shown { marks: 1 << 63 | 7, props: 0x8000_0001 },
                    ..View::new(mode, Some(CueId(9)))
                };
                assert_eq!(view_from_bytes(&view_to_bytes(&view)), Some(view));
            }
        }
        let painted = Painted { fits: true, crc: 1, compose_ticks: 2, paint_ticks: u32::MAX, stack: 5 };
        assert_eq!(Painted::from_bytes(&painted.to_bytes()), painted);
        let stretches =
            Stretches { crc: 1, stretches: 2, rows_ticks: 3, lit_ticks: u32::MAX, stack: 5, ..Stretches::default() };
        assert_eq!(Stretches::from_bytes(&stretches.to_bytes()), stretches);
    }
}
