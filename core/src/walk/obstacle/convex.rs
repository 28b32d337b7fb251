//! A point, a segment or a convex polygon as the core of an obstacle.

use crate::geom::{StagePoint, polygon};
use crate::walk::obstacle::Bend;
use crate::walk::obstacle::leg::Leg;
use crate::walk::obstacle::reach::Circle;

/// Bend `i`: the circle of `radius_m` about vertex `i`.
pub(in crate::walk) fn bend(vertices: &[StagePoint], i: usize, radius_m: f32) -> Option<Bend> {
    let &centre = vertices.get(i)?;
    let count = vertices.len();
    let before = vertices.get((i + count - 1) % count)?;
    let after = vertices.get((i + 1) % count)?;
    Some(Bend::corner(centre, radius_m, [*before - centre, *after - centre]))
}

/// Square of the distance between the core and the leg; 0 when they cross.
pub(in crate::walk) fn square_to(vertices: &[StagePoint], leg: &Leg) -> f32 {
    if let [only] = vertices {
        return leg.square_to(*only);
    }
    let mut is_inside = vertices.len() >= 3;
    let mut least = f32::INFINITY;
    for (p, q) in polygon::sides(vertices) {
        least = least.min(leg.square_to_side(p, q));
        is_inside &= (q - p).cross(leg.from - p) > 0.0;
    }
    if is_inside { 0.0 } else { least }
}

/// True when a part of the leg lies more than `inset_m` inside the polygon; never for fewer than three vertices.
pub(in crate::walk) fn is_pierced(vertices: &[StagePoint], leg: &Leg, inset_m: f32) -> bool {
    if vertices.len() < 3 {
        return false;
    }
    // The share of the leg that is left after cutting it at every side.
    let (mut start, mut end) = (0.0_f32, 1.0_f32);
    for (p, q) in polygon::sides(vertices) {
        let Some(side) = (q - p).unit() else { continue };
        let (a, b) = (side.cross(leg.from - p) - inset_m, side.cross(leg.to - p) - inset_m);
        if a <= 0.0 && b <= 0.0 {
            return false;
        }
        if a < 0.0 {
            start = start.max(a / (a - b));
        } else if b < 0.0 {
            end = end.min(a / (a - b));
        }
    }
    start < end
}

/// Shortens the circle's free turn to where it enters the core grown by `keep_m` (shrunk when negative).
pub(in crate::walk) fn shorten(vertices: &[StagePoint], keep_m: f32, circle: &mut Circle) {
    if keep_m > 0.0 {
        vertices.iter().for_each(|&v| circle.enter_disc(v, keep_m));
    } else if vertices.len() < 3 {
        return;
    }
    if vertices.len() < 2 {
        return;
    }
    for (p, q) in polygon::sides(vertices) {
        let Some(side) = (q - p).unit() else { continue };
        let out = side.perp() * -keep_m;
        circle.enter_side(p + out, q + out, |at| keep_m > 0.0 || is_within(vertices, -keep_m, at));
    }
}

/// True when `p` lies in the polygon shrunk by `inset_m`, its border included.
fn is_within(vertices: &[StagePoint], inset_m: f32, p: StagePoint) -> bool {
    polygon::sides(vertices).all(|(a, b)| {
        (b - a).unit().is_none_or(|side| side.cross(p - a) >= inset_m - crate::walk::tangent::TOUCH_M / 4.0)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn p(x: f32, y: f32) -> StagePoint {
        StagePoint::new(x, y)
    }

    const SQUARE: [StagePoint; 4] = [p(1.0, -1.0), p(3.0, -1.0), p(3.0, 1.0), p(1.0, 1.0)];

    #[test]
    fn distances_of_legs_from_a_square() {
        let to = |a, b| square_to(&SQUARE, &Leg::new(a, b));
        assert_eq!(to(p(0.0, 0.0), p(4.0, 0.0)), 0.0);
        assert_eq!(to(p(1.5, 0.0), p(2.0, 0.5)), 0.0);
        assert_eq!(to(p(0.0, 2.0), p(4.0, 2.0)), 1.0);
        assert_eq!(to(p(4.0, -5.0), p(4.0, 5.0)), 1.0);
        assert!((to(p(0.0, 1.0), p(2.0, 3.0)) - 0.5).abs() < 1e-6);
    }

    #[test]
    fn a_leg_along_a_side_does_not_pierce() {
        let pierced = |a, b| is_pierced(&SQUARE, &Leg::new(a, b), 1e-5);
        assert!(!pierced(p(0.0, 1.0), p(4.0, 1.0)));
        assert!(!pierced(p(1.0, 1.0), p(3.0, 1.0)));
        assert!(!pierced(p(0.0, 0.0), p(2.0, 2.0)));
        assert!(pierced(p(0.0, 0.99), p(4.0, 0.99)));
        assert!(pierced(p(1.0, 0.0), p(2.0, 0.0)));
        assert!(!pierced(p(1.0, 0.0), p(0.0, 0.0)));
    }
}
