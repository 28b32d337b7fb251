//! Random pictures of a show's floor.

use underfoot_core::look::view_bytes::MODES;
use underfoot_core::look::{MarkState, Shown, Things, View};
use underfoot_core::show::{CueId, PersonId, Show};

use crate::dice::Dice;

/// Latest moment of a cue that is drawn, milliseconds: most moves of the demos have ended by then.
const LATEST_MS: usize = 40_000;

/// A random view of a random cue, in every mode and with everything that a running box may ask for: half of them by the
/// plan, half at a moment of the cue, half with things that are still coming into the picture.
pub fn any(dice: &mut Dice, show: &Show) -> View {
    let mode = MODES[dice.below(MODES.len())];
    let cue = CueId(dice.below(show.cues.len()) as u8);
    let mut view = View {
        labels: dice.one_in(2),
        level: dice.byte(),
        pulse: dice.byte(),
        flow_ms: dice.bits() as u32,
        floor_level: dice.byte(),
        cue_ms: dice.one_in(2).then(|| dice.below(LATEST_MS) as u32),
        shown: Shown { marks: dice.bits(), props: dice.bits() as u32 },
        ..View::new(mode, Some(cue)).with_all(state(dice))
    };
    if dice.one_in(2) {
        view.fade = dice.byte();
        let (lines, props) = (dice.bits() as u32, dice.bits() as u32);
        view.fresh = Things { marks: dice.bits(), lines, props, rest: dice.byte() };
    }
    if dice.one_in(2) {
        (0..show.people.len() as u8).for_each(|person| view.states.set(PersonId(person), state(dice)));
    }
    view
}

/// A random state of a mark.
fn state(dice: &mut Dice) -> MarkState {
    let states = [MarkState::Steady, MarkState::Later, MarkState::StandBy, MarkState::Go, MarkState::Arrived];
    match dice.below(6) {
        5 => MarkState::Off { toward_deg: dice.between(0.0, 360.0) as f32 },
        i => states[i],
    }
}
