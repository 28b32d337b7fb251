//! A simulated box behind the page, and a real one beside it.

use serde::Deserialize;

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

/// What may be pulled out of the stage, and put back.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(tag = "of", rename_all = "kebab-case", deny_unknown_fields)]
pub enum Pull {
    /// The on-air light: lit, dark, or its wire cut (`null`).
    OnAir {
        /// Lit or dark.
        lit: Option<bool>,
    },
    /// The house's stop contact asks for darkness.
    Stop {
        /// True while it does.
        pressed: bool,
    },
    /// Camera tracking says nothing any more.
    Tracking {
        /// True when it is gone.
        lost: bool,
    },
    /// The desk says nothing any more.
    Desk {
        /// True when it is gone.
        lost: bool,
    },
    /// Timecode runs, or is cut.
    Timecode {
        /// True while it runs.
        runs: bool,
    },
    /// Another controller of the show is gone.
    Controller {
        /// True when it is gone.
        lost: bool,
    },
    /// The box itself loses power, or has it again.
    Power {
        /// True without power.
        lost: bool,
    },
    /// Whoever senses where people are says nothing any more.
    Presence {
        /// True when it is gone.
        lost: bool,
    },
}
