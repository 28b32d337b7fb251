//! Cues: the steps of the running order.

use serde::{Deserialize, Serialize};

use super::{LineId, MarkId, MotionId, PersonId, PropId, Run, Title};

/// What the whole floor is doing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Mode {
    /// Load-in: ids, survey points, ruler.
    Build,
    /// Briefing: everything of this cue and the next, labelled.
    Brief,
    /// Off air, people called to their marks.
    Standby,
    /// On air, or unknown.
    Air,
    /// A break: next cue, bright.
    Reset,
    /// Nothing. The power-up mode.
    #[default]
    Off,
    /// Neutral light, edges and steps only.
    Worklight,
}

/// Where a prop is in its life.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Presence {
    /// Announced on the floor, not yet in the picture.
    Coming,
    /// In the picture.
    Live,
    /// On its way out.
    Leaving,
}

/// Hours, minutes, seconds and frames at the show's frame rate.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Timecode {
    /// Hours.
    pub hours: u8,
    /// Minutes.
    pub minutes: u8,
    /// Seconds.
    pub seconds: u8,
    /// Frames.
    pub frames: u8,
}

/// One step of the running order.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Cue {
    /// Its number in hundredths: cue 4.5 is 450.
    pub number: u32,
    /// What crew call it.
    pub name: Title,
    /// What the floor does.
    pub mode: Mode,
    /// Timecode that starts it.
    pub at: Option<Timecode>,
    /// Time people have to be in place, milliseconds; 0 for none.
    pub time_limit_ms: u32,
    /// Prop states: a run of the show's cue props.
    pub props: Run,
    /// Placements: a run of the show's cue places.
    pub places: Run,
    /// Intended shots: a run of the show's cue shots.
    pub shots: Run,
}

/// One prop in one cue. Props that a cue does not name are gone.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct CueProp {
    /// The prop.
    pub prop: PropId,
    /// Where it is in its life.
    pub presence: Presence,
    /// Announced for this long before it is live, milliseconds.
    pub coming_ms: u32,
    /// The motion that starts with the cue; `None` leaves it at its resting place.
    pub motion: Option<MotionId>,
}

/// One person in one cue. People whom a cue does not name are not on the floor.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct CuePlace {
    /// The person.
    pub person: PersonId,
    /// The mark they end on; `None` when they leave the floor.
    pub mark: Option<MarkId>,
    /// The line they walk, when it is drawn.
    pub line: Option<LineId>,
}
