//! Who is called in the cue on the floor: when they arrive by the plan, and whom the next cue moves.

use crate::limits;
use crate::show::{Cue, CueId, CuePlace, PersonId, Show};
use crate::units::Duration;
use crate::walk::{Path, Schedule, Timing};

/// The step that arrivals are kept in.
const STEP: Duration = Duration::from_millis(10);

/// What the plan says of everybody in one cue, worked out once when the cue begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Calls {
    /// The cue.
    pub(super) cue: Option<CueId>,
    /// For each person, when the walk of this cue ends, in steps of 10 ms after the cue began; 0 without a walk.
    arrives: [u16; limits::PEOPLE],
    /// Bit i for person i whom the next cue moves.
    moved_next: u32,
}

impl Calls {
    /// Nobody.
    pub const NONE: Self = Self { cue: None, arrives: [0; limits::PEOPLE], moved_next: 0 };

    /// The calls of `now` with what `next` brings after it.
    pub(super) fn of(show: &Show, (id, now): (Option<CueId>, Option<&Cue>), next: Option<&Cue>) -> Self {
        let mut calls = Self { cue: id, ..Self::NONE };
        for place in now.map_or(&[][..], |cue| show.places_in(cue)) {
            if let Some(slot) = calls.arrives.get_mut(place.person.index()) {
                *slot = arrives_s(show, place).map_or(0, steps);
            }
            if next.is_some_and(|next| is_moved(show.places_in(next), place)) {
                calls.moved_next |= 1_u32.checked_shl(place.person.0.into()).unwrap_or(0);
            }
        }
        calls
    }

    /// True while the plan has the person on the way, `since` the cue began.
    pub(super) fn walks(&self, person: PersonId, since: Duration) -> bool {
        let steps = self.arrives.get(person.index()).copied().unwrap_or(0);
        since.as_micros() < u64::from(steps) * STEP.as_micros()
    }

    /// True when the next cue moves the person.
    pub(super) fn is_moved_next(&self, person: PersonId) -> bool {
        self.moved_next.checked_shr(person.0.into()).is_some_and(|bits| bits & 1 == 1)
    }
}

/// When somebody who is placed is at the end of the line, seconds after the call; `None` without a line.
fn arrives_s(show: &Show, place: &CuePlace) -> Option<f32> {
    let line = show.lines.get(place.line?.index())?;
    let class = show.classes.get(show.people.get(place.person.index())?.class.index())?;
    Some(Schedule::of(Path::new(show.points_of(line)), show, Timing::of(class)).arrives_s())
}

/// Rounded up, at least one, so that a walk is never none. A cast holds what is too large within the range.
fn steps(seconds: f32) -> u16 {
    (libm::ceilf(seconds * 100.0) as u16).max(1)
}

/// True when a cue with `places` has the person of `now` somewhere else, on the way, or not at all.
fn is_moved(places: &[CuePlace], now: &CuePlace) -> bool {
    let stays = |p: &CuePlace| p.person == now.person && p.mark == now.mark && p.line.is_none();
    !places.iter().any(stays)
}
