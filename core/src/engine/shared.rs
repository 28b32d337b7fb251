//! The part of the engine's state that all boxes of a show have in common.

use serde::{Deserialize, Serialize};

use super::input::Source;
use super::state::{LOCKOUT, State};
use crate::show::{CueId, Mode};
use crate::units::{Duration, Instant};

/// What boxes tell each other of the show. Times are spans before or after the moment of telling, in microseconds:
/// the clocks of two boxes need not agree.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Shared {
    /// What the floor is doing.
    pub mode: Mode,
    /// A mode that was asked for beside the cue's own.
    pub over: Option<Mode>,
    /// Since it was asked for.
    pub over_us: u64,
    /// False in OFF.
    pub running: bool,
    /// OFF since power went away while the show was running.
    pub held: bool,
    /// The cue on the floor; in OFF the cue that GO restores.
    pub cue: Option<CueId>,
    /// Since the cue began.
    pub since_us: u64,
    /// Until an advance is taken again; 0 for now.
    pub lockout_us: u32,
    /// While GO may still leave OFF; 0 for not.
    pub armed_us: u32,
    /// HOLD.
    pub hold: bool,
    /// Keys asked for HOLD.
    pub hold_by_keys: bool,
    /// Who made the last advance.
    pub by: Option<Source>,
    /// Drive of light inks that was asked for.
    pub level: u8,
}

/// Words about the same start that differ by no more than this tell of the way they took, not of another start.
const SAME_START: Duration = Duration::from_millis(250);
/// How far a start follows words that came late, for every word: more than clocks drift apart between two of them.
const DRIFT: Duration = Duration::from_micros(20);

impl Shared {
    /// That of a box that has just got power.
    pub const POWER_UP: Self = Self {
        mode: Mode::Off,
        over: None,
        over_us: 0,
        running: false,
        held: false,
        cue: None,
        since_us: 0,
        lockout_us: 0,
        armed_us: 0,
        hold: false,
        hold_by_keys: false,
        by: None,
        level: u8::MAX,
    };

    /// The same but for the passing of time.
    pub fn is_same(&self, other: &Self) -> bool {
        let timeless =
            |s: &Self| Self { over_us: 0, since_us: 0, lockout_us: 0, armed_us: u32::from(s.armed_us > 0), ..*s };
        timeless(self) == timeless(other)
    }
}

impl State {
    /// What the other boxes have to know at `now`.
    pub fn shared(&self, now: Instant) -> Shared {
        let armed = self.armed_until.filter(|_| !self.running).map_or(Duration::ZERO, |end| end.since(now));
        Shared {
            mode: self.mode,
            over: self.over,
            over_us: now.since(self.over_since).as_micros(),
            running: self.running,
            held: self.held,
            cue: self.cue,
            since_us: now.since(self.since).as_micros(),
            lockout_us: narrow(self.lockout_left(now).unwrap_or(Duration::ZERO)),
            armed_us: narrow(armed),
            hold: self.hold,
            hold_by_keys: self.hold_by_keys,
            by: self.by,
            level: self.level,
        }
    }

    /// This box's state with what was shared at `now` in place of its own. What this box itself senses, and what is
    /// wrong with it, stays its own.
    pub fn adopt(self, shared: &Shared, now: Instant) -> Self {
        let since = before(now, shared.since_us);
        let advanced = before(now, LOCKOUT.as_micros().saturating_sub(shared.lockout_us.into()));
        let goes_on = self.running == shared.running && self.cue == shared.cue;
        Self {
            mode: shared.mode,
            over: shared.over,
            over_since: before(now, shared.over_us),
            running: shared.running,
            held: shared.held,
            cue: shared.cue,
            since: if goes_on { steady(self.since, since) } else { since },
            advanced: if shared.lockout_us > 0 {
                self.advanced.filter(|known| is_near(*known, advanced)).or(Some(advanced))
            } else {
                self.advanced.filter(|known| now.since(*known) >= LOCKOUT)
            },
            armed_until: (shared.armed_us > 0).then(|| now.after(Duration::from_micros(shared.armed_us.into()))),
            hold: shared.hold,
            hold_by_keys: shared.hold_by_keys,
            by: shared.by,
            level: shared.level,
            ..self
        }
    }

    /// This state with all that is shared taken from `other`.
    pub fn with_shared_of(self, other: &Self) -> Self {
        let Self { faults, heard, chase, calls, feet, unseen, lights, .. } = self;
        Self { faults, heard, chase, calls, feet, unseen, lights, ..*other }
    }
}

fn narrow(span: Duration) -> u32 {
    u32::try_from(span.as_micros()).unwrap_or(u32::MAX)
}

fn before(now: Instant, micros: u64) -> Instant {
    Instant::from_micros(now.as_micros().saturating_sub(micros))
}

/// The start of a cue by what was known and a new word. A word is never early, only late: the earliest is the best,
/// and what is later moves the start no more than drifting clocks ask for.
fn steady(known: Instant, new: Instant) -> Instant {
    if is_near(known, new) { new.min(known.after(DRIFT)) } else { new }
}

/// True when two words can be about the same moment.
fn is_near(a: Instant, b: Instant) -> bool {
    a.since(b) <= SAME_START && b.since(a) <= SAME_START
}
