//! What is wired to the boxes, and which cameras count.

use serde::{Deserialize, Serialize};

/// What a box must know of the show's wiring.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Control {
    /// A second box stands by.
    pub backup: bool,
    /// The on-air light is wired to the box, or sent to it. Without word of it the floor counts as on air.
    pub on_air_contact: bool,
    /// sACN universe that the lighting desk sends triggers on, 1 to 63999; 0 for none.
    pub slots_universe: u16,
    /// Cameras whose picture may be used at any moment.
    pub hot: Hot,
}

/// Cameras whose picture may be used at any moment.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Hot {
    /// Every tracked camera; an untracked one only when it is recorded or a shot of the cue.
    #[default]
    All,
    /// Those on program or preview, and those recorded on their own.
    ProgramPreviewRecorded,
    /// Those on program or preview.
    ProgramPreview,
}
