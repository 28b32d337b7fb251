//! Where a camera is and which way it looks.

use super::vector::{Triple, between, cross, dot, length, moved, plus, times, turned, unit};
use crate::geom::StagePoint3;
use crate::units::Angle;

/// Nearest that a camera sees, metres along the view.
const NEAR_M: f32 = 1.0e-3;
/// A view with less than this share of its length on the floor plan goes straight up or down.
const STRAIGHT: f32 = 1.0e-6;
/// The stage's up.
const UP: Triple = [0.0, 0.0, 1.0];

/// A pinhole in stage space: its centre is the entrance pupil, its axes are of unit length and at right angles.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pose {
    /// The entrance pupil.
    pub centre: StagePoint3,
    /// To the right in the picture.
    pub right: [f32; 3],
    /// Up in the picture.
    pub up: [f32; 3],
    /// Along the view.
    pub ahead: [f32; 3],
}

/// A place as a camera has it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seen {
    /// Tangent to the right, undistorted.
    pub x: f32,
    /// Tangent upward, undistorted.
    pub y: f32,
    /// Distance along the view, metres.
    pub depth_m: f32,
}

impl Pose {
    /// A camera at `from` with `look` in the middle of its picture, rolled clockwise seen from behind, its
    /// entrance pupil `pupil_m` metres in front of `from`.
    ///
    /// Straight up or down, right is stage left (+X). `None` when `look` is at `from` or a number is not finite.
    pub fn looking(from: StagePoint3, look: StagePoint3, roll: Angle, pupil_m: f32) -> Option<Self> {
        let ahead = unit(between(from, look))?;
        let [x, y, _] = ahead;
        let flat = libm::sqrtf(x * x + y * y);
        let level = if flat > STRAIGHT { [y / flat, -x / flat, 0.0] } else { [1.0, 0.0, 0.0] };
        let pose = Self { centre: from, right: level, up: cross(level, ahead), ahead };
        let finite = roll.to_radians().is_finite() && pupil_m.is_finite();
        finite.then(|| pose.rolled(roll).advanced(pupil_m))
    }

    /// A camera at `centre` after pan (positive to the left), tilt (up) and roll (clockwise seen from behind) from
    /// a level view upstage: Rz(pan)·Rx(tilt)·Ry(roll).
    pub fn of_angles(centre: StagePoint3, pan: Angle, tilt: Angle, roll: Angle) -> Self {
        let ((ps, pc), (ts, tc)) = (pan.sin_cos(), tilt.sin_cos());
        let pose = Self { centre, right: [pc, ps, 0.0], up: [ps * ts, -pc * ts, tc], ahead: [-ps * tc, pc * tc, ts] };
        pose.rolled(roll)
    }

    /// Pan, tilt and roll that make this pose; straight up or down the roll is 0.
    pub fn angles(&self) -> (Angle, Angle, Angle) {
        let ([ax, ay, az], [rx, ry, rz], [.., uz]) = (self.ahead, self.right, self.up);
        let flat = libm::sqrtf(ax * ax + ay * ay);
        let tilt = Angle::from_radians(libm::atan2f(az, flat));
        if flat <= STRAIGHT {
            return (Angle::from_radians(libm::atan2f(ry, rx)), tilt, Angle::default());
        }
        let pan = Angle::from_radians(libm::atan2f(-ax, ay));
        (pan, tilt, Angle::from_radians(libm::atan2f(-rz, uz)))
    }

    /// Rolled clockwise seen from behind.
    fn rolled(self, roll: Angle) -> Self {
        let (sin, cos) = roll.sin_cos();
        let right = plus(times(self.right, cos), times(self.up, -sin));
        let up = plus(times(self.up, cos), times(self.right, sin));
        Self { right, up, ..self }
    }

    /// Moved `metres` along the view.
    pub fn advanced(&self, metres: f32) -> Self {
        Self { centre: moved(self.centre, times(self.ahead, metres)), ..*self }
    }

    /// As an operator turns it on the spot: tilted up about its own right, then panned to the left about the
    /// vertical.
    pub fn turned(&self, pan: Angle, tilt: Angle) -> Self {
        let (pan, tilt) = (pan.sin_cos(), tilt.sin_cos());
        let about = |v: Triple| turned(turned(v, self.right, tilt), UP, pan);
        Self { centre: self.centre, right: about(self.right), up: about(self.up), ahead: about(self.ahead) }
    }

    /// Where the camera sees a place; `None` for places less than 1 mm in front of the pupil, and behind it.
    pub fn see(&self, q: StagePoint3) -> Option<Seen> {
        let [x, y, depth_m] = self.components(q);
        (depth_m > NEAR_M).then(|| Seen { x: x / depth_m, y: y / depth_m, depth_m })
    }

    /// Metres to the right, up and ahead of the centre.
    pub fn components(&self, q: StagePoint3) -> [f32; 3] {
        let d = between(self.centre, q);
        [dot(d, self.right), dot(d, self.up), dot(d, self.ahead)]
    }

    /// Stage direction of the tangents `x` and `y`, with 1 along the view.
    pub fn direction(&self, x: f32, y: f32) -> [f32; 3] {
        plus(self.ahead, plus(times(self.right, x), times(self.up, y)))
    }

    /// The angle between two views.
    pub(super) fn angle_to(&self, other: &Self) -> Angle {
        let sin = length(cross(self.ahead, other.ahead));
        Angle::from_radians(libm::atan2f(sin, dot(self.ahead, other.ahead)))
    }
}
