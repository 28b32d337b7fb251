//! The pyramid of space that a rectangle of a picture holds, and what of a shape lies in it.
//!
//! Points are components to the right, up and ahead, so that what reaches behind the camera needs no division.

use heapless::Vec;

use super::frame::Rect;

/// Components to the right, up and ahead of a camera.
type Components = [f32; 3];

/// Corners of a rectangle and one more for each plane that clips it.
const CORNERS: usize = 4 + 5;

/// The half-spaces of the pyramid, each as factors of the components: inside is where the sum is not negative.
fn planes(rect: &Rect) -> [Components; 5] {
    [[1.0, 0.0, -rect.left], [-1.0, 0.0, rect.right], [0.0, 1.0, -rect.bottom], [0.0, -1.0, rect.top], [0.0, 0.0, 1.0]]
}

fn signed([a, b, c]: Components, [x, y, depth]: Components) -> f32 {
    a * x + b * y + c * depth
}

/// True when any of a flat convex shape with four corners lies in the pyramid.
pub(super) fn holds_any_of(rect: &Rect, corners: [Components; 4]) -> bool {
    let mut left = Vec::from(corners);
    for plane in planes(rect) {
        left = clipped(&left, plane);
    }
    !left.is_empty()
}

/// The part of a convex polygon on the inner side of a plane; it has one corner more at most.
fn clipped(polygon: &[Components], plane: Components) -> Vec<Components, CORNERS> {
    let mut kept = Vec::new();
    for (i, &here) in polygon.iter().enumerate() {
        let next = polygon.get(i + 1).or(polygon.first()).copied().unwrap_or(here);
        let (a, b) = (signed(plane, here), signed(plane, next));
        if a >= 0.0 {
            let _ = kept.push(here);
        }
        if (a >= 0.0) != (b >= 0.0) {
            let _ = kept.push(between(here, next, a / (a - b)));
        }
    }
    kept
}

fn between([ax, ay, az]: Components, [bx, by, bz]: Components, share: f32) -> Components {
    [ax + (bx - ax) * share, ay + (by - ay) * share, az + (bz - az) * share]
}

/// True when the segment from `a` to `b` meets the pyramid.
pub(super) fn meets(rect: &Rect, a: Components, b: Components) -> bool {
    let (mut low, mut high) = (0.0_f32, 1.0_f32);
    for plane in planes(rect) {
        let (at_a, at_b) = (signed(plane, a), signed(plane, b));
        if at_a < 0.0 && at_b < 0.0 {
            return false;
        }
        if at_a < 0.0 {
            low = low.max(at_a / (at_a - at_b));
        } else if at_b < 0.0 {
            high = high.min(at_a / (at_a - at_b));
        }
    }
    low <= high
}
