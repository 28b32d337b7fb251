//! What the box tells about itself: lamps and the small display.

use crate::show::{CueId, Mode};

/// The state that people see on the box.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Status {
    /// What the floor is doing.
    pub mode: Mode,
    /// The cue that is on the floor.
    pub now: Option<CueId>,
    /// The cue that GO leads to.
    pub next: Option<CueId>,
    /// Four characters of the show code, or `None` without a show.
    pub code: Option<[u8; 4]>,
    /// True while GO may leave OFF.
    pub armed: bool,
}

/// What happened, for the log.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Event {
    /// A show is ready; its pack's checksum.
    ShowReady {
        /// Checksum at the end of the pack.
        pack_crc: u32,
    },
    /// There is no show: fresh memory, or nothing whole in it.
    NoShow,
    /// The stored show could not be read.
    StoreFailed,
    /// A pack was refused.
    PackRefused,
    /// The versions of desk and box do not meet.
    VersionMismatch,
    /// A damaged frame came over the link.
    BadFrame,
    /// A picture could not be painted; the floor is blank.
    PaintFault,
    /// A port failed.
    PortFault,
}

/// Tells people and the log how the box is.
pub trait StatusPort {
    /// Shows `status`; called when it changes.
    fn show(&mut self, status: &Status);

    /// Notes `event`.
    fn note(&mut self, event: Event);
}
