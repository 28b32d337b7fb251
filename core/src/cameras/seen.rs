//! How much of the floor a camera sees.

use heapless::Vec;

use super::pose::Pose;
use super::shots::View;
use crate::geom::{StagePoint, polygon};
use crate::limits;

/// Corners of what is left of a floor: each of the five cuts of a concave one adds at most half its corners.
const CORNERS: usize = limits::FLOOR_VERTICES * 8;

/// The share of the floor's area, 0 to 1, that is in the whole picture of a view, lens and all, at its planned pose;
/// what stands on the floor and may hide it is not asked. 0 for a floor without area.
pub fn floor_share(view: &View, floor: &[StagePoint]) -> f32 {
    let area = polygon::signed_area(floor);
    if area == 0.0 {
        return 0.0;
    }
    (polygon::signed_area(&in_picture(view, floor)) / area).clamp(0.0, 1.0)
}

/// The part of the floor in the picture; a concave floor's pieces may be joined by lines without area.
fn in_picture(view: &View, floor: &[StagePoint]) -> Vec<StagePoint, CORNERS> {
    let rect = view.whole.outer;
    // How far a floor place is inside each plane is linear over the floor, so that neither the horizon nor what is
    // behind the camera needs a division.
    let inside = [
        [1.0, 0.0, -rect.left],
        [-1.0, 0.0, rect.right],
        [0.0, 1.0, -rect.bottom],
        [0.0, -1.0, rect.top],
        [0.0, 0.0, 1.0],
    ];
    let mut rest: Vec<StagePoint, CORNERS> = floor.iter().copied().take(CORNERS).collect();
    for [a, b, c] in inside {
        let depth = |p: StagePoint| {
            let [x, y, ahead] = components(&view.pose, p);
            a * x + b * y + c * ahead
        };
        rest = cut(&rest, depth);
    }
    rest
}

fn components(pose: &Pose, p: StagePoint) -> [f32; 3] {
    pose.components(p.at_height(0.0))
}

/// What of a polygon lies where `depth`, which is linear, is not negative (Sutherland and Hodgman's method).
fn cut(subject: &[StagePoint], depth: impl Fn(StagePoint) -> f32) -> Vec<StagePoint, CORNERS> {
    let mut kept = Vec::new();
    for (from, to) in polygon::sides(subject) {
        let (d_from, d_to) = (depth(from), depth(to));
        // A floor has few enough corners, see `CORNERS`.
        if d_from >= 0.0 {
            let _ = kept.push(from);
        }
        if (d_from > 0.0 && d_to < 0.0) || (d_from < 0.0 && d_to > 0.0) {
            let _ = kept.push(from + (to - from) * (d_from / (d_from - d_to)));
        }
    }
    kept
}
