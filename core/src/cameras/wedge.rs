//! The camera wedge: floor under a view that crew keep out of.

use heapless::Vec;

use super::frame::Rect;
use super::pose::Pose;
use super::shots::View;
use super::vector::{Triple, plus, times};
use crate::geom::{GeomError, StagePoint, StageVector, clip, hull};

/// Height of a crew member, metres.
pub const CREW_M: f32 = 2.0;
/// How far along the view its edges are followed, metres: beyond any stage.
const FAR_M: f32 = 1000.0;
/// Most corners of a wedge.
pub const CORNERS: usize = 32;
/// Corners of what one pose sees below [`CREW_M`]: each of eight edges has at most two, on one limit or the other.
const OF_ONE_POSE: usize = 16;

/// Where on the floor an upright crew member of [`CREW_M`] would come into the whole picture of a view, at any pose
/// and zoom within the operator's tolerance, up to `to_m` metres from the camera along the view on the floor plan,
/// where the talent is: a convex polygon, counter-clockwise seen from above. Empty when the view passes over their
/// heads, and for a view straight up or down.
///
/// The floor counts as level and endless. With a tolerance, the hull of the wedges at its corners.
///
/// # Errors
/// [`GeomError::NotFinite`] for a distance that is not, [`GeomError::BadSize`] unless it is positive.
pub fn wedge(view: &View, to_m: f32) -> Result<Vec<StagePoint, CORNERS>, GeomError> {
    if !to_m.is_finite() {
        return Err(GeomError::NotFinite);
    }
    if to_m <= 0.0 {
        return Err(GeomError::BadSize);
    }
    let [x, y, _] = view.pose.ahead;
    let Some(ahead) = StageVector::new(x, y).unit() else { return Ok(Vec::new()) };
    let poses = if view.corners.is_empty() { core::slice::from_ref(&view.pose) } else { &view.corners };
    let mut points = Vec::<StagePoint, { 4 * OF_ONE_POSE }>::new();
    for pose in poses {
        points.extend(low_corners(pose, &view.widest).into_iter().take(points.capacity() - points.len()));
    }
    let whole = match hull::hull::<{ 4 * OF_ONE_POSE }>(&points) {
        Ok(whole) => whole,
        Err(GeomError::TooFew | GeomError::Collinear) => return Ok(Vec::new()),
        Err(other) => return Err(other),
    };
    clip::clip(&whole, &up_to(view.pose.centre.on_floor(), ahead, to_m))
}

/// The part of the floor plan up to `to_m` ahead of the eye, as far as any wedge goes.
fn up_to(eye: StagePoint, ahead: StageVector, to_m: f32) -> [StagePoint; 4] {
    let (near, far) = (eye - ahead * (2.0 * FAR_M), eye + ahead * to_m);
    let across = ahead.perp() * (2.0 * FAR_M);
    [near + across, near - across, far - across, far + across]
}

/// The corners, seen from above, of the part of a picture's pyramid between the floor and [`CREW_M`].
fn low_corners(pose: &Pose, rect: &Rect) -> Vec<StagePoint, OF_ONE_POSE> {
    let eye = [pose.centre.x, pose.centre.y, pose.centre.z];
    let far = [(rect.left, rect.bottom), (rect.right, rect.bottom), (rect.right, rect.top), (rect.left, rect.top)]
        .map(|(x, y)| plus(eye, times(pose.direction(x, y), FAR_M)));
    let [a, b, c, d] = far;
    let edges = [(eye, a), (eye, b), (eye, c), (eye, d), (a, b), (b, c), (c, d), (d, a)];
    edges.into_iter().filter_map(|(from, to)| low_part(from, to)).flatten().collect()
}

/// The ends, seen from above, of the part of a segment between the floor and [`CREW_M`].
fn low_part(from: Triple, to: Triple) -> Option<[StagePoint; 2]> {
    let ([.., low], [.., high]) = (from, to);
    let rise = high - low;
    let (start, end) = if rise == 0.0 {
        (0.0, if (0.0..=CREW_M).contains(&low) { 1.0 } else { -1.0 })
    } else {
        let (s, t) = (-low / rise, (CREW_M - low) / rise);
        (s.min(t).max(0.0), s.max(t).min(1.0))
    };
    let at = |share: f32| {
        let [x, y, _] = plus(from, times(plus(to, times(from, -1.0)), share));
        StagePoint::new(x, y)
    };
    (start <= end).then(|| [at(start), at(end)])
}
