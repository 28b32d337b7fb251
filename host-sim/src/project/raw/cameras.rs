//! Tables about cameras and shots.

use schemars::JsonSchema;
use serde::Deserialize;
use underfoot_core::limits;
use underfoot_core::show::ShotKind;
use underfoot_core::show::cameras::{Crop, LowerLine};

use super::numbers::{Coefficient, Deg, Focal, Height, Length, NameText, NoteText, Place, Place3, RefText, Seconds};
use super::numbers::{SensorMm, words};
use crate::project::model::Mount;

/// How a camera is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Known {
    Tracked,
    HandHeld,
    Untracked,
    Jib,
}

words!(
    /// How a camera is known.
    KnownWord: Known {
        "tracked" => Known::Tracked,
        "hand-held" => Known::HandHeld,
        "untracked" => Known::Untracked,
        "jib" => Known::Jib,
    }
);
words!(
    /// What a camera stands on.
    MountWord: Mount {
        "tripod" => Mount::Tripod,
        "ped" => Mount::Ped,
        "hand-held" => Mount::HandHeld,
        "jib" => Mount::Jib,
        "rail" => Mount::Rail,
        "cable" => Mount::Cable,
    }
);

/// A camera.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawCamera {
    /// The crew's name for it.
    pub(crate) name: NameText,
    /// How it is known: tracked; hand-held, which is tracked too; untracked, which may see everything; or on a jib arm.
    pub(crate) kind: KnownWord,
    /// What it stands on.
    #[serde(default = "MountWord::tripod")]
    pub(crate) mount: MountWord,
    /// Its usual place, metres: where its shots are taken from unless they say otherwise.
    #[serde(default)]
    pub(crate) at: Option<Place3>,
    /// Active sensor width and height, millimetres.
    pub(crate) sensor_mm: [SensorMm; 2],
    /// Entrance pupil in front of the tracked point, millimetres.
    #[serde(default)]
    #[schemars(range(min = -1000, max = 1000))]
    pub(crate) pupil_mm: f64,
    /// Brown–Conrady coefficients on undistorted tangents: k1, k2, p1, p2, k3.
    #[serde(default)]
    pub(crate) distortion: Option<[Coefficient; 5]>,
    /// Its picture is recorded even while it is off program.
    #[serde(default)]
    pub(crate) recorded: bool,
    /// A person matte is keyed on it: nobody is painted over in its picture.
    #[serde(default)]
    pub(crate) person_matte: bool,
    /// Pan and tilt tolerance of its operator, degrees each way.
    #[serde(default = "pan_tilt")]
    #[schemars(range(min = 0, max = 45))]
    pub(crate) pan_tilt_tolerance_deg: f64,
    /// Zoom tolerance of its operator, percent of the focal length each way.
    #[serde(default = "zoom")]
    #[schemars(range(min = 0, max = 50))]
    pub(crate) zoom_tolerance_percent: f64,
    /// A jib's base on the floor plan, metres.
    #[serde(default)]
    pub(crate) base: Option<Place>,
    /// Height of a jib's pivot above the floor, metres.
    #[serde(default)]
    pub(crate) pivot_m: Option<Height>,
    /// From a jib's pivot to its head, metres.
    #[serde(default)]
    pub(crate) arm_m: Option<Length>,
    /// From a jib's pivot to the end of its tail, metres.
    #[serde(default)]
    pub(crate) tail_m: Option<Length>,
    /// A remark for people.
    #[serde(default)]
    pub(crate) notes: Option<NoteText>,
}

impl MountWord {
    fn tripod() -> Self {
        Self(Mount::Tripod)
    }
}

fn pan_tilt() -> f64 {
    2.0
}

fn zoom() -> f64 {
    5.0
}

words!(
    /// How a shot is known.
    ShotWord: ShotKind {
        "preset" => ShotKind::Preset,
        "range" => ShotKind::Range,
        "move" => ShotKind::Move,
        "live" => ShotKind::Live,
    }
);
words!(
    /// What a shot has to hold of a person.
    LowerWord: LowerLine {
        "feet" => LowerLine::Feet,
        "knee" => LowerLine::Knee,
        "waist" => LowerLine::Waist,
        "chest" => LowerLine::Chest,
    }
);
words!(
    /// What part of the frame counts.
    CropWord: Crop { "full" => Crop::Full, "column" => Crop::Column, "lower-third" => Crop::LowerThird }
);

/// A shot of a camera.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawShot {
    /// The crew's name for it.
    pub(crate) name: NameText,
    /// Its camera.
    pub(crate) camera: RefText,
    /// preset: one pose. range: anything between its keys. move: through its keys in time. live: what tracking reports, with the rehearsal pose here.
    #[serde(default = "ShotWord::preset")]
    pub(crate) kind: ShotWord,
    /// The camera's place, metres; the camera's own `at` when it is left out.
    #[serde(default)]
    pub(crate) from: Option<Place3>,
    /// A jib arm's direction, degrees clockwise from upstage seen from above; with `elevation_deg` it gives `from`.
    #[serde(default)]
    pub(crate) azimuth_deg: Option<Deg>,
    /// A jib arm's angle above level, degrees.
    #[serde(default)]
    pub(crate) elevation_deg: Option<Deg>,
    /// The point in the middle of the frame, metres.
    #[serde(default)]
    pub(crate) look: Option<Place3>,
    /// Focal length, millimetres.
    #[serde(default)]
    pub(crate) focal_mm: Option<Focal>,
    /// Roll clockwise seen from behind, degrees.
    #[serde(default)]
    pub(crate) roll_deg: Deg,
    /// Poses of a range or a move; what a key leaves out, the shot gives.
    #[serde(default)]
    #[schemars(length(min = 2, max = limits::SHOT_KEYS))]
    pub(crate) key: Option<Vec<RawShotKey>>,
    /// Safe margin at each edge, percent of the frame.
    #[serde(default = "margin")]
    #[schemars(range(min = 0, max = 40))]
    pub(crate) safe_margin_percent: f64,
    /// What it has to hold of a person.
    #[serde(default = "LowerWord::waist")]
    pub(crate) lower_line: LowerWord,
    /// What part of the frame counts.
    #[serde(default = "CropWord::full")]
    pub(crate) crop: CropWord,
}

impl ShotWord {
    fn preset() -> Self {
        Self(ShotKind::Preset)
    }
}

impl LowerWord {
    fn waist() -> Self {
        Self(LowerLine::Waist)
    }
}

impl CropWord {
    fn full() -> Self {
        Self(Crop::Full)
    }
}

fn margin() -> f64 {
    3.5
}

/// One pose of a range or a move.
#[derive(Clone, Copy, Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawShotKey {
    /// Seconds from the start of the move.
    #[serde(default)]
    pub(crate) at_s: Seconds,
    /// The camera's place, metres.
    #[serde(default)]
    pub(crate) from: Option<Place3>,
    /// A jib arm's direction, degrees clockwise from upstage seen from above.
    #[serde(default)]
    pub(crate) azimuth_deg: Option<Deg>,
    /// A jib arm's angle above level, degrees.
    #[serde(default)]
    pub(crate) elevation_deg: Option<Deg>,
    /// The point in the middle of the frame, metres.
    #[serde(default)]
    pub(crate) look: Option<Place3>,
    /// Focal length, millimetres.
    #[serde(default)]
    pub(crate) focal_mm: Option<Focal>,
    /// Roll clockwise seen from behind, degrees.
    #[serde(default)]
    pub(crate) roll_deg: Option<Deg>,
}
