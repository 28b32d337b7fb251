//! Everything the engine may ask for.

use crate::show::CueId;
use crate::units::Duration;

/// What came of an input.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Output {
    /// `Ok` when the input was obeyed, also when it changed nothing.
    pub verdict: Result<(), Refused>,
    /// What must outlive a power cut changed: [`super::State::kept`] has to be written down.
    pub keep: bool,
}

/// Why an input was not obeyed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Refused {
    /// There is no show, or it has no cues.
    NoShow,
    /// Another cue is shown than the one asked for.
    NotShown {
        /// The cue that is shown as the next or as the one before.
        shown: Option<CueId>,
    },
    /// Too soon after the last advance.
    Lockout {
        /// Time until an advance is taken.
        left: Duration,
    },
    /// OFF is left only after [`super::Input::Arm`].
    NotArmed,
    /// HOLD: only the keys of this box advance, and they alone end what they held.
    Held,
    /// The house's stop contact asks for darkness.
    Stopped,
    /// Not on air, or while nobody knows whether the floor is.
    OnAir,
}
