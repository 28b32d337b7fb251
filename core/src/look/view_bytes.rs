//! A view as bytes. All numbers are little-endian, one after the other without gaps:
//!
//! mode, cue (255 for none), flags (1 labels, 2 scenic, 4 a moment of the cue), level, pulse, floor level, fade, rest of
//! what is fresh (1 each); flow and moment (4 each); shown marks (8) and props (4); fresh marks (8), lines (4) and props
//! (4); for each person, the state's number (1) and the direction to move (4). What pictures of cues do not use keeps
//! its default.

use super::{MarkState, Shown, States, Things, View};
use crate::limits::PEOPLE;
use crate::show::{CueId, Mode, PersonId};

/// Bytes of a view.
pub const VIEW_BYTES: usize = 8 + 2 * 4 + (8 + 4) + (8 + 4 + 4) + PEOPLE * 5;

/// Modes by their number in a view.
pub const MODES: [Mode; 7] =
    [Mode::Build, Mode::Brief, Mode::Standby, Mode::Air, Mode::Reset, Mode::Off, Mode::Worklight];

const LABELS: u8 = 1;
const SCENIC: u8 = 2;
const MOMENT: u8 = 4;

/// The view's bytes.
pub fn view_to_bytes(view: &View) -> [u8; VIEW_BYTES] {
    let mut bytes = [0; VIEW_BYTES];
    let mut at = 0;
    let mut put = |field: &[u8]| {
        if let Some(place) = bytes.get_mut(at..at + field.len()) {
            place.copy_from_slice(field);
        }
        at += field.len();
    };
    let flag = |bit: u8, is_set: bool| if is_set { bit } else { 0 };
    let mode = MODES.iter().position(|m| *m == view.mode).unwrap_or(0) as u8;
    let flags = flag(LABELS, view.labels) | flag(SCENIC, view.scenic) | flag(MOMENT, view.cue_ms.is_some());
    put(&[mode, view.cue.map_or(u8::MAX, |c| c.0), flags, view.level]);
    put(&[view.pulse, view.floor_level, view.fade, view.fresh.rest]);
    put(&view.flow_ms.to_le_bytes());
    put(&view.cue_ms.unwrap_or(0).to_le_bytes());
    put(&view.shown.marks.to_le_bytes());
    put(&view.shown.props.to_le_bytes());
    put(&view.fresh.marks.to_le_bytes());
    put(&view.fresh.lines.to_le_bytes());
    put(&view.fresh.props.to_le_bytes());
    for state in view.states.iter() {
        let (number, toward_deg) = number_of(state);
        put(&[number]);
        put(&toward_deg.to_le_bytes());
    }
    bytes
}

/// The view in these bytes; `None` for numbers that name nothing.
pub fn view_from_bytes(bytes: &[u8; VIEW_BYTES]) -> Option<View> {
    let mut reader = Reader(bytes);
    let [mode, cue, flags, level, pulse, floor_level, fade, rest] = reader.take()?;
    let (flow_ms, moment_ms) = (reader.u32()?, reader.u32()?);
    let shown = Shown { marks: reader.u64()?, props: reader.u32()? };
    let fresh = Things { marks: reader.u64()?, lines: reader.u32()?, props: reader.u32()?, rest };
    let mut states = States::all(MarkState::Steady);
    for i in 0..PEOPLE {
        let [number] = reader.take()?;
        states.set(PersonId(i as u8), state_of(number, f32::from_bits(reader.u32()?))?);
    }
    let cue = (cue != u8::MAX).then_some(CueId(cue));
    Some(View {
        labels: flags & LABELS != 0,
        level,
        pulse,
        flow_ms,
        states,
        cue_ms: (flags & MOMENT != 0).then_some(moment_ms),
        fresh,
        fade,
        shown,
        scenic: flags & SCENIC != 0,
        floor_level,
        ..View::new(*MODES.get(usize::from(mode))?, cue)
    })
}

fn number_of(state: MarkState) -> (u8, f32) {
    match state {
        MarkState::Steady => (0, 0.0),
        MarkState::Later => (1, 0.0),
        MarkState::StandBy => (2, 0.0),
        MarkState::Go => (3, 0.0),
        MarkState::Arrived => (4, 0.0),
        MarkState::Off { toward_deg } => (5, toward_deg),
    }
}

fn state_of(number: u8, toward_deg: f32) -> Option<MarkState> {
    Some(match number {
        0 => MarkState::Steady,
        1 => MarkState::Later,
        2 => MarkState::StandBy,
        3 => MarkState::Go,
        4 => MarkState::Arrived,
        5 => MarkState::Off { toward_deg },
        _ => return None,
    })
}

/// Bytes that are taken from the front.
struct Reader<'b>(&'b [u8]);

impl Reader<'_> {
    fn take<const N: usize>(&mut self) -> Option<[u8; N]> {
        let (front, rest) = self.0.split_first_chunk()?;
        self.0 = rest;
        Some(*front)
    }

    fn u32(&mut self) -> Option<u32> {
        self.take().map(u32::from_le_bytes)
    }

    fn u64(&mut self) -> Option<u64> {
        self.take().map(u64::from_le_bytes)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn views_come_back_equal() {
        for (i, mode) in MODES.into_iter().enumerate() {
            let mut view = View {
                labels: i % 2 == 0,
                level: 3,
                pulse: 4,
                flow_ms: 0x8000_0005,
                cue_ms: (i != 3).then_some(7_000_000 + i as u32),
                fresh: Things { marks: 1 << 62 | 5, lines: 0x8000_0002, props: 9, rest: i as u8 },
                fade: 8,
                floor_level: 6,
                scenic: i > 4,
                shown: Shown { marks: 1 << 63 | 7, props: 0x8000_0001 },
                ..View::new(mode, Some(CueId(9)))
            };
            let states = [MarkState::Steady, MarkState::Later, MarkState::StandBy, MarkState::Go, MarkState::Arrived];
            for (person, state) in (0..).zip(states) {
                view.states.set(PersonId(person), state);
            }
            view.states.set(PersonId(31), MarkState::Off { toward_deg: 12.5 });
            assert_eq!(view_from_bytes(&view_to_bytes(&view)), Some(view));
        }
    }

    #[test]
    fn numbers_that_name_nothing_are_refused() {
        let bytes = view_to_bytes(&View::new(Mode::Standby, None));
        for (at, number) in [(0, 7), (VIEW_BYTES - 5, 6)] {
            let mut wrong = bytes;
            wrong[at] = number;
            assert_eq!(view_from_bytes(&wrong), None, "byte {at}");
        }
    }
}
