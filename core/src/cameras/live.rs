//! The live answer: which marks are hidden, from what tracking says now.

use super::edges::Edges;
use super::frame::Rect;
use super::guard;
use super::hidden::{Patch, hidden};
use super::pose::Pose;
use super::shots::{ShotError, Speed};
use super::solids::Covers;
use super::vector::{between, dot, length};
use super::view::widest_at;
use crate::show::{CameraId, ShotKey, Show};
use crate::units::Angle;

/// A hot camera as tracking has it. Small: what a picture is framed for does not matter to what it may show.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tracked {
    camera: CameraId,
    pose: Pose,
    focal_mm: f32,
    /// Round all that the picture may hold at that focal length.
    widest: Rect,
    /// How fast it goes.
    pub speed: Speed,
}

impl Tracked {
    /// The camera at a pose: of `key` all but its time counts.
    ///
    /// # Errors
    /// [`ShotError::Unknown`] for a camera that the show does not have, [`ShotError::BadPose`], [`ShotError::Lens`].
    pub fn of(show: &Show, camera: CameraId, key: &ShotKey, speed: Speed) -> Result<Self, ShotError> {
        let known = show.cameras.get(camera.index()).ok_or(ShotError::Unknown)?;
        let widest = widest_at(known, key.focal_mm)?;
        let roll = Angle::from_degrees(key.roll_deg);
        let pose = Pose::looking(key.from, key.look, roll, known.lens.pupil_m).ok_or(ShotError::BadPose)?;
        Ok(Self { camera, pose, focal_mm: key.focal_mm, widest, speed })
    }

    /// Brings it to another pose and speed. Without a change of focal length that costs little enough for every report.
    ///
    /// # Errors
    /// As [`Tracked::of`]; it is left as it was.
    pub fn follow(&mut self, show: &Show, key: &ShotKey, speed: Speed) -> Result<(), ShotError> {
        if key.focal_mm != self.focal_mm {
            *self = Self::of(show, self.camera, key, speed)?;
            return Ok(());
        }
        let known = show.cameras.get(self.camera.index()).ok_or(ShotError::Unknown)?;
        let roll = Angle::from_degrees(key.roll_deg);
        self.pose = Pose::looking(key.from, key.look, roll, known.lens.pupil_m).ok_or(ShotError::BadPose)?;
        self.speed = speed;
        Ok(())
    }

    /// How fast it went from `before`, `over_s` seconds ago: its place, and whichever edge of its picture went fastest,
    /// by turning and by zooming together. A roll about the middle of the picture counts as the turn of its corners.
    pub fn went(&self, before: &Self, over_s: f32) -> Speed {
        let reach_rad = libm::fabsf(half_diagonal(&self.widest) - half_diagonal(&before.widest));
        let turn_rad = self.pose.angle_to(&before.pose).to_radians();
        let roll_rad = roll_between(&self.pose, &before.pose) * libm::sinf(half_diagonal(&self.widest));
        let mps = length(between(before.pose.centre, self.pose.centre)) / over_s;
        Speed { mps, dps: Angle::from_radians(turn_rad + roll_rad + reach_rad).to_degrees() / over_s }
    }
}

/// From the middle of a picture to its farthest corner, radians.
fn half_diagonal(rect: &Rect) -> f32 {
    let (x, y) = (rect.right.max(-rect.left), rect.top.max(-rect.bottom));
    libm::atanf(libm::sqrtf(x * x + y * y))
}

/// The turn about the view between two poses that look nearly the same way, radians.
fn roll_between(a: &Pose, b: &Pose) -> f32 {
    libm::fabsf(libm::atan2f(dot(a.right, b.up), dot(a.right, b.right)))
}

/// The patches that are hidden from every hot camera now: bit i for patch i, up to [`crate::limits::MARKS`].
///
/// `solids` are the parts that graphics is known to draw on every hot camera at this moment; `latency_s` is the time
/// from a pose to the light that answers it. Where the camera points is known, so its operator's pan and tilt
/// tolerance does not count; the zoom tolerance does. A camera whose pose is stale or gives no view sees
/// everything, and so does an untracked one: with such a camera hot, do not ask.
///
/// Cost: at most cameras × patches × parts; a patch that one camera sees is not asked of the next.
pub fn hidden_now<'t, C: Covers + ?Sized>(
    cameras: impl IntoIterator<Item = &'t Tracked>,
    patches: &[Patch<'_>],
    solids: &C,
    latency_s: f32,
) -> u64 {
    let all = 1_u64.checked_shl(patches.len() as u32).map_or(u64::MAX, |bit| bit - 1);
    cameras.into_iter().fold(all, |open, Tracked { pose, widest, speed, .. }| {
        let guard = |distance_m| guard::of(*speed, latency_s, distance_m);
        hidden((pose.centre, &Edges::now(pose, widest)), guard, patches, solids, open)
    })
}
