//! What is asked of the box in charge: presses at the keys of another one, and what came to it by its wires.

use heapless::Vec;
use serde::{Deserialize, Serialize};

use crate::engine::{Input, Source};
use crate::show::{CueId, Mode};
use crate::units::{Duration, Instant};

/// Presses that wait for the box in charge at a time.
pub const ASKS: usize = 4;
/// A press that nobody took within this time is lost: nothing may happen long after a press.
pub const PATIENCE: Duration = Duration::from_millis(600);

/// Something that the box in charge decides. OFF is not among them: every box obeys it by itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Ask {
    /// GO to this cue. Absolute, so that it cannot be obeyed twice.
    Go(CueId, Source),
    /// BACK to this cue.
    Back(CueId, Source),
    /// HOLD, or no longer.
    Hold(bool, Source),
    /// The first step out of OFF.
    Arm(Source),
    /// A mode beside the cue's own.
    Mode(Option<Mode>, Source),
}

impl Ask {
    /// What has to be asked for an input; `None` for inputs that every box takes by itself.
    pub const fn of(input: &Input<'_>) -> Option<Self> {
        match *input {
            Input::Go { to, from } => Some(Self::Go(to, from)),
            Input::Back { to, from } => Some(Self::Back(to, from)),
            Input::Hold { on, from } => Some(Self::Hold(on, from)),
            Input::Arm { from } => Some(Self::Arm(from)),
            Input::Mode { mode, from } => Some(Self::Mode(mode, from)),
            // A fader moves too often to be asked for; the box in charge hears the same desk.
            Input::Level { .. } => None,
            Input::Off { .. } | Input::Loaded { .. } | Input::Sense(_) | Input::Tick => None,
        }
    }

    /// The input that it stands for. Keys of another box count as keys.
    pub const fn input(self) -> Input<'static> {
        match self {
            Self::Go(to, from) => Input::Go { to, from },
            Self::Back(to, from) => Input::Back { to, from },
            Self::Hold(on, from) => Input::Hold { on, from },
            Self::Arm(from) => Input::Arm { from },
            Self::Mode(mode, from) => Input::Mode { mode, from },
        }
    }
}

/// Asks on their way, oldest first. They are numbered one up.
#[derive(Clone, Debug)]
pub(super) struct Asks {
    /// Number of the newest ask ever.
    newest: u16,
    waiting: Vec<(Ask, Instant), ASKS>,
}

impl Asks {
    pub(super) const fn none() -> Self {
        Self { newest: 0, waiting: Vec::new() }
    }

    pub(super) const fn newest(&self) -> u16 {
        self.newest
    }

    pub(super) fn waiting(&self) -> impl Iterator<Item = Ask> {
        self.waiting.iter().map(|(ask, _)| *ask)
    }

    pub(super) fn is_empty(&self) -> bool {
        self.waiting.is_empty()
    }

    /// Takes another one; false when too many wait.
    pub(super) fn push(&mut self, ask: Ask, now: Instant) -> bool {
        let room = self.waiting.push((ask, now)).is_ok();
        self.newest = self.newest.wrapping_add(u16::from(room));
        room
    }

    /// The box in charge has decided on all asks up to number `settled`.
    pub(super) fn settle(&mut self, settled: u16) {
        let left = self.newest.wrapping_sub(settled);
        if is_after(settled, self.newest) {
            // It remembers what this box forgot in a power cut.
            self.newest = settled;
            return self.waiting.clear();
        }
        while self.waiting.len() > usize::from(left) {
            self.waiting.remove(0);
        }
    }

    /// Lets go of what waited too long.
    pub(super) fn pass(&mut self, now: Instant) {
        while self.waiting.first().is_some_and(|(_, since)| now.since(*since) >= PATIENCE) {
            self.waiting.remove(0);
        }
    }

    /// The oldest one, when this box itself has to decide.
    pub(super) fn take(&mut self) -> Option<Ask> {
        if self.waiting.is_empty() { None } else { Some(self.waiting.remove(0).0) }
    }
}

/// True when number `a` was given after number `b`; numbers wrap round.
pub(super) const fn is_after(a: u16, b: u16) -> bool {
    let ahead = a.wrapping_sub(b);
    ahead != 0 && ahead < 0x8000
}
