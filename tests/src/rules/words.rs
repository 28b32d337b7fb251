//! The words of the rules: what there is, what happens, what comes of it.

/// What a floor does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Floor {
    /// Load-in.
    Build,
    /// Briefing.
    Brief,
    /// People are called.
    Standby,
    /// On air.
    Air,
    /// A break.
    Reset,
    /// Nothing.
    Dark,
    /// Neutral light.
    Worklight,
}

/// Who asks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hand {
    /// The keys of this box.
    Keys,
    /// A desk.
    Desk,
    /// A lighting desk.
    Slots,
    /// Timecode.
    Timecode,
    /// Another box.
    Crew,
}

/// What happens.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Event {
    /// GO to a cue.
    Go(usize, Hand),
    /// BACK to a cue.
    Back(usize, Hand),
    /// HOLD, or no longer.
    Hold(bool, Hand),
    /// OFF.
    Off,
    /// The first step out of OFF.
    Arm,
    /// A mode, or the cue's own again.
    Ask(Option<Floor>),
    /// A show is loaded, with the cue that power took away.
    Loaded(Option<usize>),
    /// The stop contact.
    Stop(bool),
    /// The on-air light.
    Light(bool),
    /// The key that says CLEAR.
    ClearKey(bool),
    /// A frame of timecode is read.
    Code(u64),
    /// The desk is heard.
    DeskHeard,
    /// People are seen; true when one of them is in the way.
    People(bool),
    /// Word of what no camera sees.
    Unseen,
    /// One of the faults in their order is there, or not.
    Broken(usize, bool),
    /// Time passes.
    Pass,
}

/// Why something is not done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum No {
    /// No show, or one without cues.
    NoShow,
    /// Another cue is shown.
    NotShown(Option<usize>),
    /// Too soon, by so much.
    Lockout(u64),
    /// OFF.
    NotArmed,
    /// HELD, or in HOLD.
    Held,
    /// The stop contact is down.
    Stopped,
    /// Not on air.
    OnAir,
}

/// Whether GO leads anywhere.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Door {
    /// Not OFF.
    Open,
    /// OFF.
    Shut,
    /// With the microseconds that are left.
    Armed(u64),
    /// HELD, or in HOLD.
    Held,
    /// The stop contact is down.
    Stopped,
}

/// The word to graphics.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Word {
    /// Nobody is there.
    Clear,
    /// Somebody is.
    NotClear,
    /// Nobody knows.
    Unknown,
}

/// One cue.
#[derive(Clone, Copy, Debug)]
pub struct Step {
    /// What the floor does.
    pub floor: Floor,
    /// Frame of timecode that starts it.
    pub frame: Option<u64>,
    /// Time limit; 0 for none.
    pub limit: u64,
}

/// The show.
#[derive(Clone, Debug)]
pub struct Plan {
    /// In running order.
    pub steps: Vec<Step>,
    /// The on-air light is wired.
    pub has_light: bool,
    /// Frames a second, as a fraction.
    pub rate: (u64, u64),
}
