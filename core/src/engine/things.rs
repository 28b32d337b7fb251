//! Which things a mode draws of a cue.

use crate::look::{Shown, Things};
use crate::show::{Cue, CueId, Mode, Show};

/// What is drawn in `mode` with `cue` as NOW: the same as [`crate::look::compose`] draws.
pub(super) fn drawn(show: &Show, mode: Mode, cue: Option<CueId>, shown: Shown) -> Things {
    let now = of_cue(show, cue.and_then(|id| show.cues.get(id.index())));
    let next = || of_cue(show, show.cues.get(cue.map_or(0, |id| id.index() + 1)));
    let rest = |rest: u8| Things { rest, ..Things::NONE };
    let edges = rest(Things::EDGES | Things::NUMBERS);
    match mode {
        Mode::Off => Things::NONE,
        Mode::Worklight => rest(Things::EDGES),
        Mode::Build => rest(Things::EDGES | Things::LOAD_IN),
        Mode::Brief => now.and(next()).and(edges),
        Mode::Standby => now.and(edges),
        Mode::Reset => next().and(edges),
        Mode::Air => Things { marks: now.marks & shown.marks, props: now.props & shown.props, ..Things::NONE },
    }
}

/// Marks, lines and props of one cue.
pub(super) fn of_cue(show: &Show, cue: Option<&Cue>) -> Things {
    let Some(cue) = cue else { return Things::NONE };
    let mut things = Things::NONE;
    for place in show.places_in(cue) {
        things.marks |= place.mark.map_or(0, |id| bit(id.0));
        things.lines |= place.line.map_or(0, |id| bit(id.0) as u32);
    }
    for state in show.props_in(cue) {
        things.props |= bit(state.prop.0) as u32;
    }
    things
}

fn bit(index: u8) -> u64 {
    1_u64.checked_shl(index.into()).unwrap_or(0)
}
