//! What may be pulled out of the stage, and put back.

use serde::{Deserialize, Serialize};
use underfoot_core::ports::Key;
use underfoot_core::show::Mode;

/// Keys of the box.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PageKey {
    /// GO.
    Go,
    /// BACK.
    Back,
    /// HOLD.
    Hold,
    /// OFF.
    Off,
    /// CLEAR, which says that the floor is clear to reveal.
    Clear,
}

impl From<PageKey> for Key {
    fn from(key: PageKey) -> Self {
        match key {
            PageKey::Go => Self::Go,
            PageKey::Back => Self::Back,
            PageKey::Hold => Self::Hold,
            PageKey::Off => Self::Off,
            PageKey::Clear => Self::Clear,
        }
    }
}

/// Modes that a desk may ask for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PageMode {
    /// The load-in picture.
    Build,
    /// Bright and labelled.
    Brief,
    /// What people stand by for.
    Standby,
    /// What no hot camera sees.
    Air,
    /// The next cue, bright.
    Reset,
    /// A neutral floor.
    Worklight,
}

impl From<PageMode> for Mode {
    fn from(mode: PageMode) -> Self {
        match mode {
            PageMode::Build => Self::Build,
            PageMode::Brief => Self::Brief,
            PageMode::Standby => Self::Standby,
            PageMode::Air => Self::Air,
            PageMode::Reset => Self::Reset,
            PageMode::Worklight => Self::Worklight,
        }
    }
}

/// One thing that is pulled out, or put back.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
#[serde(tag = "of", rename_all = "kebab-case", deny_unknown_fields)]
pub enum Pull {
    /// The on-air light: lit, dark, or its wire cut (`null`).
    OnAir {
        /// Lit or dark.
        lit: Option<bool>,
    },
    /// The house's stop contact.
    Stop {
        /// True while it asks for darkness.
        pressed: bool,
    },
    /// Camera tracking.
    Tracking {
        /// True when it says nothing any more.
        lost: bool,
    },
    /// Word of what graphics draws.
    Graphics {
        /// True when it says nothing any more.
        lost: bool,
    },
    /// The desk, and all that comes by it: tracking, graphics, timecode, presence.
    Desk {
        /// True when it says nothing any more.
        lost: bool,
    },
    /// Timecode.
    Timecode {
        /// True while it runs.
        runs: bool,
    },
    /// Sensing where people are.
    Presence {
        /// True while it works.
        works: bool,
    },
    /// The power of a box.
    Power {
        /// Which, in the order that they are told in.
        seat: u8,
        /// True without power.
        lost: bool,
    },
    /// The network cable of a box.
    Cable {
        /// Which, in the order that they are told in.
        seat: u8,
        /// True while it is out.
        lost: bool,
    },
}

/// All that is pulled out now.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Pulled {
    /// The on-air light: lit, dark, or its wire cut.
    pub on_air: Option<bool>,
    /// The stop contact asks for darkness.
    pub stop: bool,
    /// Tracking says nothing.
    pub tracking: bool,
    /// Graphics says nothing.
    pub graphics: bool,
    /// The desk says nothing.
    pub desk: bool,
    /// Timecode runs.
    pub timecode: bool,
    /// Presence is sensed.
    pub presence: bool,
}

impl Default for Pulled {
    /// A stage off air in good order, without timecode and without anything that senses people.
    fn default() -> Self {
        Self {
            on_air: Some(false),
            stop: false,
            tracking: false,
            graphics: false,
            desk: false,
            timecode: false,
            presence: false,
        }
    }
}

impl Pulled {
    /// Pulls, or puts back; power and cables are the boxes' own.
    pub const fn take(&mut self, pull: Pull) {
        match pull {
            Pull::OnAir { lit } => self.on_air = lit,
            Pull::Stop { pressed } => self.stop = pressed,
            Pull::Tracking { lost } => self.tracking = lost,
            Pull::Graphics { lost } => self.graphics = lost,
            Pull::Desk { lost } => self.desk = lost,
            Pull::Timecode { runs } => self.timecode = runs,
            Pull::Presence { works } => self.presence = works,
            Pull::Power { .. } | Pull::Cable { .. } => {}
        }
    }
}
