//! All that the display says, as one value.

use crate::engine::{Faults, Gate, Reveal, Source};
use crate::show::{CueId, Mode, Show, Title};

/// What the display says. Equal faces give equal pictures.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Face {
    /// What the floor is doing.
    pub mode: Mode,
    /// The cue on the floor.
    pub now: Option<CueTag>,
    /// The cue that GO leads to.
    pub next: Option<CueTag>,
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
}

/// A cue as crew call it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CueTag {
    /// Its number in hundredths: cue 4.5 is 450.
    pub number: u32,
    /// Its name.
    pub name: Title,
}

impl CueTag {
    /// The tag of a cue of `show`; `None` when it has no such cue.
    pub fn of(show: &Show, id: CueId) -> Option<Self> {
        show.cues.get(id.index()).map(|cue| Self { number: cue.number, name: cue.name.clone() })
    }
}
