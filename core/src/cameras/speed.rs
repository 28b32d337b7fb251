//! How fast cameras go, for what has to be guarded against their delay.

use super::moves::mixed;
use super::pose::Pose;
use super::shots::parts;
use super::vector::{between, length};
use crate::show::{CameraKind, ShotId, ShotKey, ShotKind, Show};
use crate::units::Angle;

/// How fast a live camera may pan, degrees per second (common practice).
const LIVE_DPS: f32 = 30.0;
/// Steps between two keys in which a move's speed is measured.
const STEPS: u8 = 16;

/// How fast a camera goes.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Speed {
    /// Metres per second.
    pub mps: f32,
    /// Degrees per second.
    pub dps: f32,
}

/// How fast the camera of a shot may go while it is used.
///
/// The fastest stretch of a move; 30 degrees a second for a live shot (common practice); nothing for a preset, and
/// for a range, which counts as being everywhere between its keys at once.
pub fn speed(show: &Show, shot: ShotId) -> Speed {
    let Ok((planned, camera, keys)) = parts(show, shot) else { return Speed::default() };
    match planned.kind {
        ShotKind::Preset | ShotKind::Range => Speed::default(),
        ShotKind::Live => Speed { mps: 0.0, dps: LIVE_DPS },
        ShotKind::Move => keys.windows(2).fold(Speed::default(), |fastest, pair| match pair {
            [a, b] => fastest.or(fastest_between(&camera.kind, a, b)),
            _ => fastest,
        }),
    }
}

impl Speed {
    fn or(self, other: Self) -> Self {
        Self { mps: self.mps.max(other.mps), dps: self.dps.max(other.dps) }
    }
}

fn fastest_between(kind: &CameraKind, a: &ShotKey, b: &ShotKey) -> Speed {
    let step_s = (b.at_s - a.at_s) / f32::from(STEPS);
    if step_s <= 0.0 {
        return Speed::default();
    }
    let at = |step: u8| mixed(kind, a, b, f32::from(step) / f32::from(STEPS));
    (1..=STEPS).map(|step| (at(step - 1), at(step))).fold(Speed::default(), |fastest, (from, to)| {
        let mps = length(between(from.from, to.from)) / step_s;
        fastest.or(Speed { mps, dps: turn_between(&from, &to) / step_s })
    })
}

/// Degrees between the views of two keys.
fn turn_between(a: &ShotKey, b: &ShotKey) -> f32 {
    let pose = |key: &ShotKey| Pose::looking(key.from, key.look, Angle::default(), 0.0);
    pose(a).zip(pose(b)).map_or(0.0, |(a, b)| a.angle_to(&b).to_degrees())
}
