//! The planes through a camera's pupil that bound what its picture may hold.

use heapless::Vec;

use super::frame::Rect;
use super::pose::Pose;
use super::shots::View;
use crate::geom::{StagePoint, StagePoint3};

/// What rounding may do to a distance from a plane, metres.
const ROUNDING_M: f32 = 5.0e-4;
/// Poses that bound a picture: the corners of the tolerance, or the one pose.
const POSES: usize = 4;

/// A plane through a camera's pupil; the picture lies on its inner side.
#[derive(Clone, Copy, Debug)]
struct Plane {
    centre: StagePoint3,
    /// Of unit length, out of the picture.
    out: [f32; 3],
    /// The length of `out` on the floor plan.
    flat: f32,
}

/// The four edges of everything that a view may show while its operator keeps the tolerance, and the plane of
/// the pupil behind them; each once for every pose that bounds it.
#[derive(Clone, Debug)]
pub(super) struct Edges {
    planes: [Vec<Plane, POSES>; 5],
    /// By how much an edge may come nearer between the bounding poses, as a share of the distance.
    sag: f32,
}

impl Edges {
    /// The edges of a view's whole picture at any pose and zoom within the operator's tolerance.
    pub(super) fn of(view: &View) -> Self {
        let poses = if view.corners.is_empty() { core::slice::from_ref(&view.pose) } else { view.corners.as_slice() };
        Self::at((&view.pose, &view.widest), poses)
    }

    /// The edges of all that a picture may hold, `widest`, at a pose alone.
    pub(super) fn now(pose: &Pose, widest: &Rect) -> Self {
        Self::at((pose, widest), core::slice::from_ref(pose))
    }

    fn at((planned, widest): (&Pose, &Rect), poses: &[Pose]) -> Self {
        let [left, right, bottom, top, behind] = outward(widest);
        let planes = [left, right, bottom, top, behind]
            .map(|out| poses.iter().take(POSES).map(|pose| Plane::of(pose, out)).collect());
        Self { planes, sag: poses.iter().map(|pose| sag(planned, pose)).fold(0.0, f32::max) }
    }

    /// True when all discs of `guard_m` about the points, at `height_m`, are out of the picture: all of them beyond
    /// one edge, whatever the operator does within the tolerance.
    ///
    /// It may be false for a shape that is just beyond a corner of the picture and crosses the lines of both edges.
    pub(super) fn miss(&self, points: &[StagePoint], height_m: f32, guard_m: f32) -> bool {
        let beyond = |plane: &Plane| {
            let room_m = guard_m * plane.flat + ROUNDING_M;
            points.iter().all(|p| plane.beyond(p.at_height(height_m), room_m, self.sag))
        };
        self.planes.iter().any(|edge| !edge.is_empty() && edge.iter().all(beyond))
    }

    /// True when the place is certainly in the picture at one of the bounding poses: nothing round it can miss.
    pub(super) fn show(&self, place: StagePoint3) -> bool {
        (0..POSES).any(|pose| {
            let mut planes = self.planes.iter().map(|edge| edge.get(pose));
            planes.all(|plane| plane.is_some_and(|plane| plane.over_m(place) < 0.0))
        })
    }
}

/// The vectors out of the picture's edges, as factors of right, up and ahead, and the one backwards.
fn outward(rect: &Rect) -> [[f32; 3]; 5] {
    let unit = |[a, b, c]: [f32; 3]| {
        let k = 1.0 / libm::sqrtf(a * a + b * b + c * c);
        [a * k, b * k, c * k]
    };
    [
        unit([-1.0, 0.0, rect.left]),
        unit([1.0, 0.0, -rect.right]),
        unit([0.0, -1.0, rect.bottom]),
        unit([0.0, 1.0, -rect.top]),
        [0.0, 0.0, -1.0],
    ]
}

impl Plane {
    fn of(pose: &Pose, [a, b, c]: [f32; 3]) -> Self {
        let ([rx, ry, rz], [ux, uy, uz], [ax, ay, az]) = (pose.right, pose.up, pose.ahead);
        let [x, y, z] = [a * rx + b * ux + c * ax, a * ry + b * uy + c * ay, a * rz + b * uz + c * az];
        Self { centre: pose.centre, out: [x, y, z], flat: libm::sqrtf(x * x + y * y) }
    }

    /// How far the place lies outside, metres.
    fn over_m(&self, place: StagePoint3) -> f32 {
        let (c, [x, y, z]) = (self.centre, self.out);
        x * (place.x - c.x) + y * (place.y - c.y) + z * (place.z - c.z)
    }

    /// True when the place is more than `room_m` outside, and `sag` of its distance more.
    fn beyond(&self, place: StagePoint3, room_m: f32, sag: f32) -> bool {
        let over_m = self.over_m(place) - room_m;
        // Most views have no tolerance, and most places are clear of its sag by far.
        over_m > 0.0 && (sag == 0.0 || over_m >= sag * distance(self.centre, place))
    }
}

fn distance(a: StagePoint3, b: StagePoint3) -> f32 {
    let (x, y, z) = (b.x - a.x, b.y - a.y, b.z - a.z);
    libm::sqrtf(x * x + y * y + z * z)
}

/// By how much a plane's distance from a place may fall below what it is at the corners of the tolerance, as a share
/// of the distance to that place.
///
/// The sine of the angle between plane and place changes with pan, and with tilt, like a sine: its curvature is 1 at
/// most, so between −a and a it is at most a²/2 below the lower of its ends. Both together are half the square of
/// the whole turn θ to a corner, and the trace of that turn is 1 + 2 cos θ ≈ 3 − θ².
fn sag(planned: &Pose, corner: &Pose) -> f32 {
    let dot = |[ax, ay, az]: [f32; 3], [bx, by, bz]: [f32; 3]| ax * bx + ay * by + az * bz;
    let trace = dot(planned.right, corner.right) + dot(planned.up, corner.up) + dot(planned.ahead, corner.ahead);
    ((3.0 - trace) * 0.5).max(0.0)
}
