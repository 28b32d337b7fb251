//! All that the engine remembers.

use super::calls::Calls;
use super::chase::Chase;
use super::faults::Faults;
use super::feet::Feet;
use super::heard::Heard;
use super::input::Source;
use super::lights::Lights;
use super::unseen::Unseen;
use crate::show::{CueId, Mode, Show};
use crate::units::{Duration, Instant};

/// No advance is taken for this long after any advance.
pub const LOCKOUT: Duration = Duration::from_millis(400);
/// How long GO may leave OFF after it was armed.
pub const ARM: Duration = Duration::from_millis(10_000);

/// The engine's whole state: small, copied, compared.
///
/// Not in OFF is not the same as lit: a cue may keep the floor dark and is a cue all the same.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct State {
    /// What the floor is doing: what follows from all of the rest, worked out anew with every step.
    pub mode: Mode,
    /// A mode that was asked for beside the cue's own; ends with the next advance.
    pub over: Option<Mode>,
    /// When [`State::over`] was asked for.
    pub over_since: Instant,
    /// False in OFF: the running order stands still and GO leads nowhere without the deliberate steps.
    pub running: bool,
    /// OFF since power went away while the show was running: one GO restores the cue.
    pub held: bool,
    /// The cue on the floor; in OFF the cue that was on it, which GO restores.
    pub cue: Option<CueId>,
    /// When the cue started.
    pub since: Instant,
    /// When the last advance was taken, from whatever source.
    pub advanced: Option<Instant>,
    /// Until when GO may leave OFF.
    pub armed_until: Option<Instant>,
    /// Only the keys of this box advance.
    pub hold: bool,
    /// The keys of this box asked for HOLD: nobody else ends it.
    pub hold_by_keys: bool,
    /// Who made the last advance.
    pub by: Option<Source>,
    /// Drive of light inks that was asked for, 1 to 255.
    pub level: u8,
    /// What is wrong now.
    pub faults: Faults,
    /// What was sensed last, and when.
    pub heard: Heard,
    /// Where timecode is.
    pub chase: Chase,
    /// Who is called.
    pub calls: Calls,
    /// Who stands on their mark.
    pub feet: Feet,
    /// What no hot camera sees.
    pub unseen: Unseen,
    /// What is lit.
    pub lights: Lights,
}

impl State {
    /// The state at power-up: OFF, nothing remembered.
    pub const fn power_up() -> Self {
        Self {
            mode: Mode::Off,
            over: None,
            over_since: Instant::ZERO,
            running: false,
            held: false,
            cue: None,
            since: Instant::ZERO,
            advanced: None,
            armed_until: None,
            hold: false,
            hold_by_keys: false,
            by: None,
            level: u8::MAX,
            faults: Faults::NONE,
            heard: Heard::NOTHING,
            chase: Chase::NONE,
            calls: Calls::NONE,
            feet: Feet::NONE,
            unseen: Unseen::NOTHING,
            lights: Lights::OUT,
        }
    }

    /// True while GO may leave OFF.
    pub fn is_armed(&self, now: Instant) -> bool {
        !self.running && self.armed_until.is_some_and(|end| now < end)
    }

    /// The cue that GO leads to: in OFF the one that was on the floor, or the first.
    pub fn next(&self, show: &Show) -> Option<CueId> {
        let index = match self.cue {
            Some(cue) if self.running => cue.index() + 1,
            Some(cue) => cue.index(),
            None => 0,
        };
        cue_at(show, index)
    }

    /// The cue that BACK leads to.
    pub fn back(&self, show: &Show) -> Option<CueId> {
        cue_at(show, self.shown()?.index().checked_sub(1)?)
    }

    /// The cue on the floor; `None` in OFF.
    pub fn shown(&self) -> Option<CueId> {
        self.cue.filter(|_| self.running)
    }

    /// The cue that one GO restores when power goes away now; `None` in OFF.
    pub fn kept(&self) -> Option<CueId> {
        self.cue.filter(|_| self.running || self.held)
    }

    /// Time until an advance is taken again.
    pub fn lockout_left(&self, now: Instant) -> Option<Duration> {
        let passed = now.since(self.advanced?).as_micros();
        let left = LOCKOUT.as_micros().saturating_sub(passed);
        (left > 0).then_some(Duration::from_micros(left))
    }
}

fn cue_at(show: &Show, index: usize) -> Option<CueId> {
    (index < show.cues.len()).then_some(CueId(index as u8))
}
