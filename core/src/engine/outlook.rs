//! What people are told of the engine's state.

use serde::{Deserialize, Serialize};

use super::faults::Faults;
use super::input::Source;
use super::state::State;
use crate::show::{CueId, Mode, Show};
use crate::units::{Duration, Instant};

/// Whether GO leads anywhere.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Gate {
    /// Not OFF: GO goes to NEXT.
    Open,
    /// OFF: needs the deliberate two steps.
    Off,
    /// OFF, and the first step was made: GO leaves OFF within this time, whole seconds, rounded up.
    Armed {
        /// Seconds left.
        left_s: u8,
    },
    /// OFF since power went away while the floor was lit: one deliberate GO restores the cue shown as NEXT.
    Held,
    /// The house's stop contact asks for darkness: nothing leaves OFF.
    Stopped,
}

/// The word to graphics. It advises and never blocks.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Reveal {
    /// Nobody was seen where the next overlays will stand, or the floor manager says so.
    Clear,
    /// Somebody is there.
    NotClear,
    /// Nobody knows.
    #[default]
    Unknown,
}

/// All of the engine's state that people are told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Outlook {
    /// What the floor is doing.
    pub mode: Mode,
    /// The cue on the floor.
    pub now: Option<CueId>,
    /// The cue that GO leads to.
    pub next: Option<CueId>,
    /// The cue that BACK leads to.
    pub back: Option<CueId>,
    /// Whether GO leads anywhere.
    pub gate: Gate,
    /// HOLD: only the keys of this box advance.
    pub hold: bool,
    /// The word to graphics.
    pub reveal: Reveal,
    /// Who made the last advance.
    pub by: Option<Source>,
    /// What is wrong now.
    pub faults: Faults,
}

impl State {
    /// What people are told at `now`.
    pub fn outlook(&self, show: &Show, now: Instant) -> Outlook {
        Outlook {
            mode: self.mode,
            now: self.shown(),
            next: self.next(show),
            back: self.back(show),
            gate: self.gate(now),
            hold: self.hold,
            reveal: self.reveal(now),
            by: self.by,
            faults: self.faults,
        }
    }

    fn gate(&self, now: Instant) -> Gate {
        const SECOND: u64 = Duration::from_millis(1_000).as_micros();
        match self.armed_until {
            _ if self.running => Gate::Open,
            _ if self.heard.stop => Gate::Stopped,
            _ if self.held => Gate::Held,
            Some(end) if now < end => {
                Gate::Armed { left_s: end.since(now).as_micros().div_ceil(SECOND).try_into().unwrap_or(u8::MAX) }
            }
            _ => Gate::Off,
        }
    }
}
