//! All that the engine remembers.

use super::faults::Faults;
use super::input::Source;
use crate::show::{CueId, Mode, Show};
use crate::units::Instant;

/// The engine's whole state: small, copied, compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct State {
    /// What the floor is doing.
    pub mode: Mode,
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
    /// Who made the last advance.
    pub by: Option<Source>,
    /// Drive of light inks, 1 to 255.
    pub level: u8,
    /// What is wrong now.
    pub faults: Faults,
}

impl State {
    /// The state at power-up: OFF, nothing remembered.
    pub const fn power_up() -> Self {
        Self {
            mode: Mode::Off,
            cue: None,
            since: Instant::ZERO,
            advanced: None,
            armed_until: None,
            hold: false,
            by: None,
            level: u8::MAX,
            faults: Faults::NONE,
        }
    }

    /// True while GO may leave OFF.
    pub fn is_armed(&self, now: Instant) -> bool {
        self.mode == Mode::Off && self.armed_until.is_some_and(|end| now < end)
    }

    /// The cue that GO leads to: in OFF the one that was on the floor, or the first.
    pub fn next(&self, show: &Show) -> Option<CueId> {
        let index = match self.cue {
            Some(cue) if self.mode == Mode::Off => cue.index(),
            Some(cue) => cue.index() + 1,
            None => 0,
        };
        cue_at(show, index)
    }

    /// The cue that BACK leads to.
    pub fn back(&self, show: &Show) -> Option<CueId> {
        let cue = self.cue.filter(|_| self.mode != Mode::Off)?;
        cue_at(show, cue.index().checked_sub(1)?)
    }

    /// The cue on the floor; `None` in OFF.
    pub fn shown(&self) -> Option<CueId> {
        self.cue.filter(|_| self.mode != Mode::Off)
    }
}

fn cue_at(show: &Show, index: usize) -> Option<CueId> {
    (index < show.cues.len()).then_some(CueId(index as u8))
}
