//! A loaded show file: the core's show, and what only the desk needs.

use std::fmt;
use std::path::PathBuf;

use underfoot_core::floor::survey::{self, Reading, Scale, SurveyError};
use underfoot_core::geom::{StagePoint3, TrackingPoint};
pub use underfoot_core::show::Hot;
use underfoot_core::show::{CueId, LineId, PersonId, Show};
use underfoot_core::walk::WalkError;

use super::places::ItemPlaces;

/// A show file, loaded whole.
#[derive(Clone, Debug)]
pub struct Project {
    /// The show as the core and the box know it; it has passed [`Show::validate`].
    pub show: Box<Show>,
    /// The file, as it was named.
    pub path: PathBuf,
    /// The text of the file.
    pub source: String,
    /// Where each item of the show stands in the text.
    pub places: ItemPlaces,
    /// The survey readings.
    pub survey: Survey,
    /// Findings that somebody accepts for a while.
    pub waivers: Vec<Waiver>,
    /// Remarks for people, with what they are about: ("show", ""), ("prop", "WATCH").
    pub notes: Vec<Note>,
    /// Camera details, one for each camera of the show.
    pub cameras: Vec<CameraDetails>,
    /// How sheets and screens name places.
    pub naming: Naming,
    /// Light on the stage and of the floor.
    pub light: Light,
    /// Timecode at the top of the show.
    pub timecode_from: Option<underfoot_core::show::Timecode>,
    /// Limits that the checks use.
    pub limits: CheckLimits,
    /// Height of the lowest thing in the rig, metres.
    pub rig_height_m: Option<f32>,
    /// Side of an occupancy cell, millimetres.
    pub cell_mm: f32,
    /// Names of parts, one for each part of the show; empty when a part has none.
    pub part_names: Vec<String>,
    /// Names of motions, one for each motion of the show.
    pub motion_names: Vec<String>,
    /// Time that all turns on the way take as the file says it, seconds, one for each walk line of the show; `None`
    /// leaves it to [`CheckLimits::turn_s`].
    pub line_turns_s: Vec<Option<f32>>,
    /// What the file says of who walks, one for each walk line of the show.
    pub line_wishes: Vec<LineWish>,
    /// Planned lines that have no way, in the order of the show's lines; they keep straight legs between their stops.
    pub no_way: Vec<NoWayAt>,
    /// True for blocks that are walked on, one for each block of the show; false for pixel tape.
    pub floor_blocks: Vec<bool>,
}

/// What the file says of who walks a line.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct LineWish {
    /// The person whom the line names; cues may send others along it.
    pub person: Option<PersonId>,
    /// The corridor that the line names, metres; `None` leaves it to those who walk it.
    pub corridor_m: Option<f32>,
}

/// A line that could not be planned.
#[derive(Clone, Debug, PartialEq)]
pub struct NoWayAt {
    /// The line.
    pub line: LineId,
    /// The cues whose props bar it: one where one is enough, all that use the line where they do so only together,
    /// none where its stops or what always stands there are enough.
    pub cues: Vec<CueId>,
    /// What is in the way.
    pub error: WalkError,
}

/// The survey readings of a show.
#[derive(Clone, Debug, PartialEq)]
pub struct Survey {
    /// Points known in both frames.
    pub points: Vec<SurveyPoint>,
    /// The CSV file that they came from, when there is one.
    pub csv: Option<PathBuf>,
    /// Whether the fit may stretch the tracking frame.
    pub scale: Scale,
    /// The allowance as it was written, metres; `None` leaves it to the fit.
    pub allowance_m: Option<f32>,
}

impl Survey {
    /// The points as the core fits them, in their order.
    pub fn readings(&self) -> Vec<Reading> {
        self.points.iter().map(|p| Reading { stage: p.stage, tracking: p.tracking }).collect()
    }

    /// Fits all points.
    ///
    /// # Errors
    /// What the core finds wrong with the readings.
    pub fn fit(&self) -> Result<survey::Survey, SurveyError> {
        survey::Survey::of(&self.readings(), self.scale)
    }
}

/// One surveyed point.
#[derive(Clone, Debug, PartialEq)]
pub struct SurveyPoint {
    /// What the crew call it.
    pub name: String,
    /// Its place on the stage, metres.
    pub stage: StagePoint3,
    /// Its place as tracking reads it.
    pub tracking: TrackingPoint,
    /// A permanent reference point for the quick check after a knock.
    pub quick: bool,
    /// The line of the file that it stands on, counted from 1.
    pub line: usize,
}

/// A finding that somebody accepts for a while.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Waiver {
    /// The finding's id.
    pub finding: String,
    /// The thing, cue or shot that it is waived for; every one when absent.
    pub about: Option<String>,
    /// Why it is accepted.
    pub reason: String,
    /// The role that accepts it.
    pub by: Option<String>,
    /// Last day on which it holds.
    pub until: Day,
}

/// A calendar day; days compare in time order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Day {
    /// Year.
    pub year: u16,
    /// Month, 1 to 12.
    pub month: u8,
    /// Day of the month, 1 to 31.
    pub day: u8,
}

impl fmt::Display for Day {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

/// A remark for people.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Note {
    /// What kind of thing it is about: "show", "prop", "camera" or "cue".
    pub kind: &'static str,
    /// The thing's name; empty for the show.
    pub about: String,
    /// The remark.
    pub text: String,
}

/// What a camera stands on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mount {
    /// A fixed tripod.
    Tripod,
    /// A rolling pedestal.
    Ped,
    /// Somebody's hands.
    HandHeld,
    /// A jib arm.
    Jib,
    /// A rail on the floor.
    Rail,
    /// A cable overhead.
    Cable,
}

/// What the desk knows of a camera beside the core's data.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CameraDetails {
    /// What it stands on.
    pub mount: Mount,
    /// Its usual place; `None` when only its shots have places.
    pub at: Option<StagePoint3>,
}

/// How places are named.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Places {
    /// SL, SR, US, DS.
    Stage,
    /// Letters from SR to SL, numbers from DS to US.
    Grid,
}

/// How lengths are printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lengths {
    /// Metres with two decimals.
    Metric,
    /// Feet and inches.
    Feet,
}

/// How sheets and screens name places.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Naming {
    /// How places are named.
    pub places: Places,
    /// How lengths are printed.
    pub lengths: Lengths,
    /// Side of a grid cell, metres.
    pub grid_m: f32,
}

/// Light on the stage and of the floor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Light {
    /// Key light at the talent, lux.
    pub key_lux: f32,
    /// Full white of the floor, candela per square metre.
    pub floor_white_nits: f32,
    /// Gamma of the floor's drive.
    pub gamma: f32,
    /// Share of the light that the dark floor throws back, 0 to 1.
    pub reflectance: f32,
}

/// Limits that the checks use.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CheckLimits {
    /// Fastest pace that may be asked of anybody, metres per second.
    pub pace_mps: f32,
    /// From the call to the first step, seconds.
    pub start_delay_s: f32,
    /// From the last step to standing still, seconds.
    pub settle_s: f32,
    /// Time that a turn of 30 degrees or more takes in a wheelchair, seconds.
    pub turn_s: f32,
    /// Pace on a ramp, a share of the pace on the level.
    pub ramp_share: f32,
    /// Shortest announcement of a prop that appears while people are on the floor, seconds.
    pub reveal_s: f32,
    /// Least distance of two people who pass each other, metres from centre to centre.
    pub apart_m: f32,
    /// Fastest pulse of anything, hertz.
    pub flash_hz: f32,
    /// Thinnest line, metres.
    pub line_m: f32,
    /// Light from the floor at the face, a share of the key light.
    pub spill: f32,
}
