//! What the floor shows at a moment.

use super::frames;
use super::state::State;
use crate::look::{MarkState, View};
use crate::props::{Life, life_at, motion};
use crate::show::{Cue, CueProp, Mode, MotionKind, Presence, Show};
use crate::units::{Duration, Instant};

/// Nothing pulses faster, whatever a show says, hertz.
pub const PULSE_MOST_HZ: f32 = 2.0;
/// A pulse begins this long after its cue, so that presses and pulse together are no faster than the pulse alone.
pub const PULSE_FROM: Duration = Duration::from_millis(1_000);

impl State {
    /// The picture that belongs on the floor at `now`. Equal views give equal pictures, and nothing changes within one
    /// frame of the show but what went off.
    ///
    /// It is that of the state as the last step left it: let time pass with [`super::Input::Tick`] first. Cheap enough
    /// for every poll: one look at each place and each prop of the cue; the ways of walkers were worked out when the cue
    /// began.
    pub fn view(&self, show: &Show, now: Instant) -> View {
        let plain = View::new(self.mode, self.shown());
        if self.mode == Mode::Off {
            return plain;
        }
        let at = self.since.after(frames::begun(show.frame_rate, now.since(self.since)));
        let (fresh, fade) = self.lights.coming(at);
        let lit = View { level: self.lights.level(at), fresh, fade, ..plain };
        let cue = self.shown().and_then(|id| show.cues.get(id.index()));
        match (self.mode, cue) {
            (Mode::Worklight, _) => View { floor_level: self.lights.floor_level(at), ..lit },
            (Mode::Standby, Some(cue)) => self.with_props(show, (cue, at), self.with_people(show, (cue, at), lit)),
            (Mode::Air, Some(cue)) => self.on_air(show, (cue, at), lit),
            _ => lit,
        }
    }

    /// AIR without anything to show is one picture, whatever goes on.
    fn on_air(&self, show: &Show, (cue, at): (&Cue, Instant), lit: View) -> View {
        let shown = self.lights.shown;
        let mut view = View { shown, ..lit };
        if shown.marks != 0 {
            view = self.with_people(show, (cue, at), view);
        }
        if shown.props != 0 {
            view = self.with_props(show, (cue, at), view);
        }
        view
    }

    /// Gives every called mark its state, and the flow and the pulse that go with them.
    fn with_people(&self, show: &Show, (cue, at): (&Cue, Instant), mut view: View) -> View {
        let since = at.since(self.since);
        let is_sensed = self.is_presence_fresh(at);
        let (mut flows, mut pulses) = (false, false);
        for place in show.places_in(cue) {
            let sensed = self.feet.state_of(place.person).filter(|_| is_sensed);
            let planned = if self.calls.walks(place.person, since) {
                MarkState::Go
            } else if self.calls.is_moved_next(place.person) {
                MarkState::StandBy
            } else {
                MarkState::Steady
            };
            let state = sensed.unwrap_or(planned);
            flows |= state == MarkState::Go && self.mode == Mode::Standby;
            pulses |= state.pulses();
            view.states.set(place.person, state);
        }
        if flows {
            view.flow_ms = u32::try_from(since.as_millis()).unwrap_or(u32::MAX);
        }
        if pulses {
            view.pulse = phase(show.look.pulse_hz, since);
        }
        view
    }

    fn with_props(&self, show: &Show, (cue, at): (&Cue, Instant), view: View) -> View {
        let ms = u32::try_from(at.since(self.since).as_millis()).unwrap_or(u32::MAX);
        View { cue_ms: Some(moment_ms(show, cue, ms)), ..view }
    }
}

/// Phase of the pulse, 256ths of its period, `since` its cue began.
fn phase(hz: f32, since: Duration) -> u8 {
    let hz = libm::fminf(hz, PULSE_MOST_HZ);
    let period_us = if hz > 0.0 { libm::roundf(1e6 / hz) as u64 } else { return 0 };
    let passed_us = since.as_micros().saturating_sub(PULSE_FROM.as_micros());
    // A pulse so slow that its period is no number of microseconds stands still.
    passed_us.checked_rem(period_us).and_then(|us| (us * 256).checked_div(period_us)).unwrap_or(0) as u8
}

/// The moment of `cue` that its props are drawn at, `ms` after it began: that moment while one of them travels,
/// otherwise the last one at which something changed, so that a still picture stays the same.
fn moment_ms(show: &Show, cue: &Cue, ms: u32) -> u32 {
    let mut last = 0;
    for state in show.props_in(cue) {
        let keyed = keys_ms(show, state);
        let there = matches!(life_at(show, state, ms as f32 / 1000.0), Life::Live | Life::Leaving);
        let travels = keyed.is_some_and(|(from, to)| from < ms && ms < to) || motion::period_s(show, state).is_some();
        if there && travels {
            return ms;
        }
        let appears = if state.presence == Presence::Coming { state.coming_ms } else { 0 };
        // What leaves is there until the end of its way, that moment included.
        let changes = keyed.into_iter().flat_map(|(from, to)| [from, to, to.saturating_add(1)]).chain([appears]);
        last = changes.filter(|&change| change <= ms).fold(last, u32::max);
    }
    last
}

/// When the keyed move of `state` begins and ends, milliseconds after its cue, rounded outwards.
fn keys_ms(show: &Show, state: &CueProp) -> Option<(u32, u32)> {
    let MotionKind::Keys { keys, .. } = show.motions.get(state.motion?.index())?.kind else { return None };
    let keys = keys.of(&show.motion_keys);
    // A cast to an integer holds what is too large within its range.
    Some((libm::floorf(keys.first()?.at_s * 1000.0) as u32, libm::ceilf(keys.last()?.at_s * 1000.0) as u32))
}
