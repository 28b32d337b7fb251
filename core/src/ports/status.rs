//! What the box tells about itself: lamps and the small display.

use crate::show::{CueId, Mode};

/// The state that people see on the box.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
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

/// Shows the status to people; called when it changes.
pub trait StatusPort {
    /// Shows `status`.
    fn show(&mut self, status: &Status);
}
