//! The show file's tables as they are written. The JSON Schema of these types is what the loader
//! checks a file against, so that the two cannot drift apart; the comments are its descriptions.

pub(crate) mod cameras;
pub(crate) mod cues;
pub(crate) mod desk;
pub(crate) mod marks;
pub(crate) mod numbers;
pub(crate) mod people;
pub(crate) mod physicals;
pub(crate) mod props;
pub(crate) mod stage;
pub(crate) mod survey;

use schemars::JsonSchema;
use serde::Deserialize;
use underfoot_core::limits;

/// An Underfoot show file: one table per thing. Lengths are metres unless the key says otherwise.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawFile {
    /// What the show is.
    pub(crate) show: desk::RawHead,
    /// How the sheets and screens name places.
    #[serde(default)]
    pub(crate) naming: desk::RawNaming,
    /// Light on the stage and of the floor.
    #[serde(default)]
    pub(crate) light: desk::RawLight,
    /// Brightness and sizes of what is drawn.
    #[serde(default)]
    pub(crate) look: desk::RawLook,
    /// Boxes, desk and timecode.
    #[serde(default)]
    pub(crate) control: desk::RawControl,
    /// Limits that the checks use.
    #[serde(default)]
    pub(crate) limits: desk::RawLimits,
    /// The walkable floor.
    #[serde(default)]
    pub(crate) floor: stage::RawFloor,
    /// An output picture: what one feed, controller or tape shows.
    #[schemars(length(min = 1, max = limits::CANVASES))]
    pub(crate) canvas: Vec<stage::RawCanvas>,
    /// A rectangle of panels on a canvas, and where it lies on the stage.
    #[schemars(length(min = 1, max = limits::BLOCKS))]
    pub(crate) block: Vec<stage::RawBlock>,
    /// A dead or missing panel.
    #[serde(default)]
    #[schemars(length(max = limits::TILE_FAULTS))]
    pub(crate) tile: Vec<stage::RawTile>,
    /// A stretch of the floor's edge that people may cross.
    #[serde(default)]
    #[schemars(length(max = limits::ENTRIES))]
    pub(crate) entry: Vec<stage::RawEntry>,
    /// An LED wall.
    #[serde(default)]
    #[schemars(length(max = limits::WALLS))]
    pub(crate) wall: Vec<stage::RawWall>,
    /// A physical thing on the floor.
    #[serde(default)]
    #[schemars(length(max = limits::PHYSICALS))]
    pub(crate) physical: Vec<physicals::RawPhysical>,
    /// The survey that ties the floor to camera tracking.
    #[serde(default)]
    pub(crate) survey: survey::RawSurvey,
    /// A person class beside the built-in child, small, mid, tall and seated.
    #[serde(default)]
    #[schemars(length(max = limits::CLASSES))]
    pub(crate) class: Vec<people::RawClass>,
    /// A person by role. Never a real name.
    #[serde(default)]
    #[schemars(length(max = limits::PEOPLE))]
    pub(crate) person: Vec<people::RawPerson>,
    /// A virtual thing on the stage.
    #[serde(default)]
    #[schemars(length(max = limits::PROPS))]
    pub(crate) prop: Vec<props::RawProp>,
    /// A way in which a prop moves.
    #[serde(default)]
    #[schemars(length(max = limits::MOTIONS))]
    pub(crate) motion: Vec<props::RawMotion>,
    /// A camera.
    #[serde(default)]
    #[schemars(length(max = limits::CAMERAS))]
    pub(crate) camera: Vec<cameras::RawCamera>,
    /// A shot of a camera.
    #[serde(default)]
    #[schemars(length(max = limits::SHOTS))]
    pub(crate) shot: Vec<cameras::RawShot>,
    /// A place for a person.
    #[serde(default)]
    #[schemars(length(max = limits::MARKS))]
    pub(crate) mark: Vec<marks::RawMark>,
    /// A walk line.
    #[serde(default)]
    #[schemars(length(max = limits::LINES))]
    pub(crate) line: Vec<marks::RawLine>,
    /// A step of the running order; cues stand in the order of their numbers.
    #[serde(default)]
    #[schemars(length(max = limits::CUES))]
    pub(crate) cue: Vec<cues::RawCue>,
    /// A finding that somebody accepts for a while.
    #[serde(default)]
    #[schemars(length(max = 64))]
    pub(crate) waiver: Vec<desk::RawWaiver>,
}
