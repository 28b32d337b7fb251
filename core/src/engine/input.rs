//! Everything that may happen to the engine.

use serde::{Deserialize, Serialize};

use super::faults::Fault;
use crate::geom::StagePoint;
use crate::limits;
use crate::show::{CueId, Mode, Timecode};

/// Who asks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Source {
    /// The keys of this box.
    Keys,
    /// A desk over the link.
    Desk,
    /// The lighting desk's trigger slots.
    Slots,
    /// Timecode.
    Timecode,
    /// Another box of the show.
    Crew,
}

/// One event.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Input<'a> {
    /// GO to the cue that the sender sees as the next. Absolute, so that a double press cannot skip.
    Go {
        /// The cue to go to.
        to: CueId,
        /// Who asks.
        from: Source,
    },
    /// BACK to the cue that the sender sees as the one before.
    Back {
        /// The cue to go to.
        to: CueId,
        /// Who asks.
        from: Source,
    },
    /// HOLD or no longer: while it is on, only the keys of this box advance.
    Hold {
        /// True for HOLD.
        on: bool,
        /// Who asks.
        from: Source,
    },
    /// Everything off. Always obeyed.
    Off {
        /// Who asks.
        from: Source,
    },
    /// The first of the two deliberate steps out of OFF.
    Arm {
        /// Who asks.
        from: Source,
    },
    /// A mode beside the cue's own: RESET, WORKLIGHT, BUILD, BRIEF, STANDBY, AIR; `None` for the cue's own again.
    Mode {
        /// The mode.
        mode: Option<Mode>,
        /// Who asks.
        from: Source,
    },
    /// How bright the floor is, whatever it shows: drive of light inks, 255 for as they are. Advances nothing.
    Level {
        /// 1 to 255; 0 is taken as 1, because only OFF wipes the floor.
        level: u8,
        /// Who asks.
        from: Source,
    },
    /// A show was loaded: another one, or the stored one at power-up.
    Loaded {
        /// The cue that was on the floor when power went away while this show was lit.
        held: Option<CueId>,
    },
    /// Something was sensed.
    Sense(Sense<'a>),
    /// Time passes.
    Tick,
}

/// What the box senses. A sense that has to come again and again says so.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Sense<'a> {
    /// The house's stop contact: true while it asks for darkness.
    Stop(bool),
    /// The on-air light is lit, or dark. Has to come at least every second.
    OnAir(bool),
    /// The key that says CLEAR is down, or up.
    ClearKey(bool),
    /// Timecode as it is read, frame by frame.
    Timecode(Timecode),
    /// The desk was heard.
    Desk,
    /// Where people are, all of them. Has to come at least twice a second.
    Presence(&'a [StagePoint]),
    /// What no hot camera sees, by live poses. Has to come at least every 250 ms.
    Unseen {
        /// Bit i for mark i of the show.
        marks: u64,
        /// Bit i for prop i.
        props: u32,
    },
    /// Something of the box or around it is broken, or whole again.
    Fault(Fault, bool),
}

/// Most people that presence input may tell of.
pub const PRESENT: usize = limits::PEOPLE;
