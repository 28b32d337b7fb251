//! Everything that may happen to the engine.

use crate::show::CueId;

/// One event.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Input {
    /// GO to the cue that the sender sees as the next. Absolute, so that a double press cannot skip.
    Go {
        /// The cue to go to.
        to: CueId,
    },
    /// BACK to the cue that the sender sees as the one before.
    Back {
        /// The cue to go to.
        to: CueId,
    },
    /// Everything off. Always obeyed.
    Off,
    /// The first of the two deliberate steps out of OFF.
    Arm,
    /// A show was loaded: another one, or the stored one at power-up.
    Loaded,
    /// Time passes.
    Tick,
}
