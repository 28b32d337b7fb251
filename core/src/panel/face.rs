//! All that the display says, as one value.

use heapless::String;

use crate::engine::{Faults, Gate, Reveal, Source};
use crate::limits;
use crate::show::{CueId, Mode, Show, Title};

/// A short line about what was just done at the box.
pub type Line = String<{ limits::FACE_LINE_BYTES }>;

/// What the display says. Equal faces give equal pictures.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Face {
    /// What the floor is doing.
    pub mode: Mode,
    /// Whole seconds until the mode ends by itself, rounded up: RESET goes back to AIR.
    pub mode_left_s: Option<u16>,
    /// The cue on the floor.
    pub now: Option<CueTag>,
    /// The cue that GO leads to.
    pub next: Option<CueTag>,
    /// The cue that BACK leads to.
    pub back: Option<CueTag>,
    /// Four characters of the show code, or `None` without a show.
    pub code: Option<[u8; 4]>,
    /// Whether GO leads anywhere, and what it needs.
    pub gate: Gate,
    /// HOLD: only this box advances.
    pub hold: bool,
    /// The word to graphics.
    pub reveal: Reveal,
    /// Who made the last advance.
    pub by: Option<Source>,
    /// What is wrong now.
    pub faults: Faults,
    /// Number of this controller.
    pub controller: u8,
    /// What this box is to its pair.
    pub role: Role,
    /// What came of what was just done here; `None` most of the time.
    pub line: Option<Line>,
}

/// What a box is to the other box of its pair.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Role {
    /// There is no other.
    #[default]
    Alone,
    /// This box drives the floor, the other follows.
    Drives,
    /// The other box drives the floor, this one follows and is ready.
    Follows,
}

/// A cue as crew call it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CueTag {
    /// The cue: a key that is pressed means this one.
    pub id: CueId,
    /// Its number in hundredths: cue 4.5 is 450.
    pub number: u32,
    /// Its name.
    pub name: Title,
}

impl CueTag {
    /// The tag of a cue of `show`; `None` when it has no such cue.
    pub fn of(show: &Show, id: CueId) -> Option<Self> {
        show.cues.get(id.index()).map(|cue| Self { id, number: cue.number, name: cue.name.clone() })
    }
}
