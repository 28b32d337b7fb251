//! The only thing that changes the engine's state.

use super::input::{Input, Source};
use super::output::{Output, Refused};
use super::state::State;
use crate::show::{CueId, Mode, Show};
use crate::units::{Duration, Instant};

/// No advance is taken for this long after any advance.
pub const LOCKOUT: Duration = Duration::from_millis(400);
/// How long GO may leave OFF after it was armed.
pub const ARM: Duration = Duration::from_millis(10_000);

const NOTHING: Output = Output { verdict: Ok(()), keep: false };
const KEEP: Output = Output { verdict: Ok(()), keep: true };

/// The state and what has to be done after `input` at `now`. Pure: equal arguments give equal results.
pub fn step(state: State, show: &Show, now: Instant, input: Input<'_>) -> (State, Output) {
    match input {
        Input::Off { .. } => (off(state), KEEP),
        Input::Loaded { .. } => (State::power_up(), KEEP),
        Input::Arm { .. } => arm(state, show, now),
        Input::Go { to, from } => advance(state, show, now, (to, from), state.next(show)),
        Input::Back { to, from } => advance(state, show, now, (to, from), state.back(show)),
        Input::Level { level, .. } => (State { level: level.max(1), ..state }, NOTHING),
        Input::Hold { .. } | Input::Mode { .. } | Input::Sense(_) | Input::Tick => (state, NOTHING),
    }
}

const fn off(state: State) -> State {
    State { mode: Mode::Off, armed_until: None, ..state }
}

fn refuse(state: State, why: Refused) -> (State, Output) {
    (state, Output { verdict: Err(why), keep: false })
}

fn arm(state: State, show: &Show, now: Instant) -> (State, Output) {
    if show.cues.is_empty() {
        return refuse(state, Refused::NoShow);
    }
    let armed_until = (state.mode == Mode::Off).then_some(now.after(ARM));
    (State { armed_until, ..state }, NOTHING)
}

fn advance(
    state: State,
    show: &Show,
    now: Instant,
    (to, from): (CueId, Source),
    shown: Option<CueId>,
) -> (State, Output) {
    if show.cues.is_empty() {
        return refuse(state, Refused::NoShow);
    }
    // A second press for the cue that is already there is obeyed and changes nothing.
    if state.shown() == Some(to) {
        return (state, NOTHING);
    }
    if let Some(left) = state.advanced.and_then(|last| lockout_left(last, now)) {
        return refuse(state, Refused::Lockout { left });
    }
    if state.mode == Mode::Off && !state.is_armed(now) {
        return refuse(state, Refused::NotArmed);
    }
    match show.cues.get(to.index()) {
        Some(cue) if shown == Some(to) => {
            let (cue, mode) = (Some(to), cue.mode);
            (State { mode, cue, since: now, advanced: Some(now), armed_until: None, by: Some(from), ..state }, KEEP)
        }
        _ => refuse(state, Refused::NotShown { shown }),
    }
}

fn lockout_left(last: Instant, now: Instant) -> Option<Duration> {
    let passed = now.since(last).as_micros();
    let left = LOCKOUT.as_micros().saturating_sub(passed);
    (left > 0).then_some(Duration::from_micros(left))
}
