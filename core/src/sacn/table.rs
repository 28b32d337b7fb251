//! What the ten trigger slots mean, as data.

use crate::show::Mode;

/// Slots that are looked at, from slot 1 of the universe.
pub const SLOTS: usize = 10;

/// Levels of the trigger slots; slot n is at n − 1.
pub type Levels = [u8; SLOTS];

/// What a slot is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Job {
    /// The mode beside the cue's own, in bands: [`MODES`].
    Mode,
    /// Number of the cue that GO means, before the point.
    CueWhole,
    /// Its hundredths, 0 to 99.
    CueHundredths,
    /// GO: rises from [`LOW`] or less to [`HIGH`] or more.
    Go,
    /// How bright the floor is: [`level_of`].
    Level,
    /// Not read.
    Spare,
    /// OFF when held at [`KILL`] or more.
    Kill,
}

/// The slots' jobs, in their order.
pub const JOBS: [Job; SLOTS] = [
    Job::Mode,
    Job::CueWhole,
    Job::CueHundredths,
    Job::Go,
    Job::Level,
    Job::Spare,
    Job::Spare,
    Job::Spare,
    Job::Spare,
    Job::Kill,
];

/// Levels up to this one say nothing: a desk at rest, or in a blackout.
pub const SILENT: u8 = 9;
/// The key slot is up at this level or less.
pub const LOW: u8 = 50;
/// The key slot is down from this level on.
pub const HIGH: u8 = 200;
/// OFF from this level on.
pub const KILL: u8 = 250;

/// Levels that stand for a mode.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Band {
    /// Lowest level.
    pub from: u8,
    /// Highest level.
    pub to: u8,
    /// The mode; `None` for the cue's own.
    pub mode: Option<Mode>,
}

/// The modes: each about a tenth of the desk's scale, with a gap to the next. OFF has a slot of its own.
pub const MODES: [Band; 7] = [
    band(26, None),
    band(51, Some(Mode::Standby)),
    band(77, Some(Mode::Brief)),
    band(102, Some(Mode::Reset)),
    band(128, Some(Mode::Air)),
    band(153, Some(Mode::Build)),
    band(179, Some(Mode::Worklight)),
];

const fn band(middle: u8, mode: Option<Mode>) -> Band {
    Band { from: middle - 8, to: middle + 8, mode }
}

/// Level of the slot that has this job; 0 when there is none.
pub fn level(levels: &Levels, job: Job) -> u8 {
    JOBS.iter().zip(levels).find(|(own, _)| **own == job).map_or(0, |(_, level)| *level)
}

/// What the mode slot says at a level; `None` in the gaps.
pub fn mode_of(level: u8) -> Option<Option<Mode>> {
    MODES.iter().find(|band| (band.from..=band.to).contains(&level)).map(|band| band.mode)
}

/// Cue that the number slots name, in hundredths; `None` for cue 0 and for hundredths past 99.
pub fn cue_of(levels: &Levels) -> Option<u32> {
    let (whole, rest) = (level(levels, Job::CueWhole), level(levels, Job::CueHundredths));
    let number = u32::from(whole) * 100 + u32::from(rest);
    (rest < 100 && number > 0).then_some(number)
}

/// Drive that the brightness slot asks for: 10 gives 128, 255 gives 255, evenly between, rounded down; `None` below 10.
/// Half drive is the least: people would not find a mark at a tenth of it, and what wipes the floor is OFF.
pub fn level_of(level: u8) -> Option<u8> {
    let above = u16::from(level).checked_sub(u16::from(SILENT) + 1)?;
    Some((128 + above * 127 / 245) as u8)
}
