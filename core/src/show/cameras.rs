//! Cameras, lenses and shots as data.

use serde::{Deserialize, Serialize};

use super::{CameraId, Name, Run};
use crate::geom::StagePoint3;

/// How a camera is carried and known.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum CameraKind {
    /// Tracked, on a fixed or rolling mount.
    Tracked,
    /// Tracked, in somebody's hands.
    TrackedHandHeld,
    /// Not tracked: it may see everything.
    Untracked,
    /// On a jib arm.
    Jib {
        /// The base on the floor.
        base: StagePoint3,
        /// Height of the pivot, metres.
        pivot_m: f32,
        /// From pivot to head, metres.
        arm_m: f32,
        /// From pivot to the end of the tail, metres.
        tail_m: f32,
    },
}

/// Brown–Conrady coefficients on undistorted tangents, in the order k1 k2 p1 p2 k3.
pub type Distortion = [f32; 5];

/// What is between the scene and the sensor.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Lens {
    /// Active sensor width, millimetres.
    pub sensor_width_mm: f32,
    /// Active sensor height, millimetres.
    pub sensor_height_mm: f32,
    /// Entrance pupil in front of the tracked point along the view, metres.
    pub pupil_m: f32,
    /// Distortion, when it is known.
    pub distortion: Option<Distortion>,
}

/// One camera.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Camera {
    /// The crew's name for it.
    pub name: Name,
    /// How it is carried and known.
    pub kind: CameraKind,
    /// Its lens and sensor.
    pub lens: Lens,
    /// True when its picture is recorded even while it is off program.
    pub recorded: bool,
    /// A person matte is keyed on this camera: nobody is painted over in its picture.
    pub person_matte: bool,
    /// Pan and tilt tolerance of its operator, degrees each way.
    pub pan_tilt_tolerance_deg: f32,
    /// Zoom tolerance of its operator, a fraction of the focal length each way.
    pub zoom_tolerance: f32,
}

/// What a shot's framing has to hold of a person.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum LowerLine {
    /// Down to the feet.
    Feet,
    /// Down to 0.28 of the height.
    Knee,
    /// Down to 0.60 of the height.
    #[default]
    Waist,
    /// Down to 0.72 of the height.
    Chest,
}

/// What part of the frame counts.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Crop {
    /// The whole 16:9 frame.
    #[default]
    Full,
    /// The centre 9:16 column.
    Column,
    /// All but a lower-third strip.
    LowerThird,
}

/// How a shot is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum ShotKind {
    /// One pose and one focal length.
    Preset,
    /// Anything between its keys.
    Range,
    /// A move through its keys in order.
    Move,
    /// Whatever tracking reports; its keys are the rehearsal value.
    Live,
}

/// One key of a shot.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct ShotKey {
    /// Seconds from the start of the move; 0 for presets.
    pub at_s: f32,
    /// The camera's place.
    pub from: StagePoint3,
    /// The point in the middle of the frame.
    pub look: StagePoint3,
    /// Roll clockwise seen from behind, degrees.
    pub roll_deg: f32,
    /// Focal length, millimetres.
    pub focal_mm: f32,
}

/// One shot of one camera.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Shot {
    /// The crew's name for it.
    pub name: Name,
    /// The camera.
    pub camera: CameraId,
    /// How it is known.
    pub kind: ShotKind,
    /// Its keys: a run of the show's shot keys.
    pub keys: Run,
    /// Safe margin at each edge, a fraction of the frame.
    pub safe_margin: f32,
    /// What it has to hold of a person.
    pub lower_line: LowerLine,
    /// What part of the frame counts.
    pub crop: Crop,
}
