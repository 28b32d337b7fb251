//! How a box is.

use serde::{Deserialize, Serialize};

use crate::engine::{Gate, Reveal, Source};
use crate::show::{CueId, Mode};

/// The box's state.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Report {
    /// What the floor is doing.
    pub mode: Mode,
    /// The cue on the floor.
    pub now: Option<CueId>,
    /// The cue that GO leads to.
    pub next: Option<CueId>,
    /// The cue that BACK leads to.
    pub back: Option<CueId>,
    /// True while GO may leave OFF.
    pub armed: bool,
    /// Checksum of the show's pack, as at its end; `None` without a show.
    pub pack_crc: Option<u32>,
    /// Frames painted since power-up.
    pub frames: u32,
    /// CRC-32/ISO-HDLC of the last whole picture's rows, see `core/docs/link.md`; 0 while the floor is dark, and from
    /// an advance until its picture is whole.
    pub picture_crc: u32,
    /// Damaged frames received since power-up.
    pub bad_frames: u32,
    /// Pictures that could not be painted since power-up; the floor was blanked instead.
    pub paint_faults: u32,
}

/// All that the box's display says, and which box it is. Since version 3.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
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
    /// HOLD: only the keys of the box advance.
    pub hold: bool,
    /// The word to graphics.
    pub reveal: Reveal,
    /// Who made the last advance.
    pub by: Option<Source>,
    /// Bit i for fault i of [`crate::engine::Fault::ALL`].
    pub faults: u16,
    /// Milliseconds since the cue on the floor began; 0 in OFF.
    pub after_ms: u32,
    /// Checksum of the show's pack, as at its end; `None` without a show.
    pub pack_crc: Option<u32>,
    /// Number of the controller that this box is; 0 paints everything.
    pub controller: u8,
    /// This is the backup of its pair.
    pub backup: bool,
    /// This box drives the floor: its rows go out.
    pub leads: bool,
}
