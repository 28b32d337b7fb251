//! Straight ways that touch two circles, and turns on a circle.
//!
//! A circle that is walked round counter-clockwise lies on the left of its tangents and has the sense +1;
//! clockwise, on the right, -1. A point is a circle of radius 0, and its sense does not matter.

use crate::geom::{StagePoint, StageVector};

/// How far a computed way may be inside what it must keep out of, metres.
///
/// Within 30 m of the origin a coordinate is rounded by 1e-6 m and a touching point is off by 5e-6 m at most:
/// the tolerance is four times that, so that a way that touches is never taken for one that cuts. Both
/// together, and the rounding of corners and arcs after it, stay below the 5e-5 m that tests hold ways to.
pub(super) const TOUCH_M: f32 = 2e-5;

/// Circles of which one comes this near to touching the other from inside do touch it, metres: see [`TOUCH_M`].
pub(super) const INNER_M: f32 = 5e-6;

/// A circle with the sense in which it is walked round.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Round {
    pub(super) centre: StagePoint,
    pub(super) radius_m: f32,
    pub(super) sense: f32,
}

/// A straight way from one circle to another, tangent to both.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Tangent {
    /// Unit direction, also where the way has no length.
    pub(super) way: StageVector,
    pub(super) from: StagePoint,
    pub(super) to: StagePoint,
    pub(super) length_m: f32,
}

impl Round {
    /// A stop: a circle without radius.
    pub(super) const fn point(at: StagePoint) -> Self {
        Self { centre: at, radius_m: 0.0, sense: 1.0 }
    }

    /// Unit vector from the centre to where a tangent with direction `way` touches.
    pub(super) fn normal(&self, way: StageVector) -> StageVector {
        way.perp() * -self.sense
    }

    /// Radians from one normal to another in this circle's sense, 0 to a full turn.
    ///
    /// A turn back by less than the tolerance is none: rounding must not send anybody once round.
    pub(super) fn turn(&self, from: StageVector, to: StageVector) -> f32 {
        let angle = libm::atan2f(self.sense * from.cross(to), from.dot(to));
        let doubt = (2.0 * TOUCH_M / self.radius_m).clamp(1e-5, 0.1);
        if angle >= 0.0 {
            angle
        } else if angle > -doubt {
            0.0
        } else {
            angle + core::f32::consts::TAU
        }
    }
}

/// The tangent from `a` to `b`, or `None` when one lies inside the other or they share their centre.
pub(super) fn between(a: &Round, b: &Round) -> Option<Tangent> {
    let (left_a, left_b) = (a.sense * a.radius_m, b.sense * b.radius_m);
    let apart = b.centre - a.centre;
    let square = apart.dot(apart);
    let across = left_b - left_a;
    let distance = libm::sqrtf(square);
    if distance < TOUCH_M || libm::fabsf(across) > distance + TOUCH_M {
        return None;
    }
    let unit = apart * (1.0 / distance);
    // The centres lie `left` of the tangent, so the share of their distance across it is known.
    // Circles that touch from inside do so in one point; rounding would turn the way there by up to a milliradian.
    let is_inner = libm::fabsf(across) > distance - INNER_M;
    let k = if is_inner { libm::copysignf(1.0, across) } else { across / distance };
    let ahead = libm::sqrtf((1.0 - k) * (1.0 + k));
    let way = unit * ahead - unit.perp() * k;
    let left = way.perp();
    Some(Tangent { way, from: a.centre - left * left_a, to: b.centre - left * left_b, length_m: ahead * distance })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn round(x: f32, y: f32, radius_m: f32, sense: f32) -> Round {
        Round { centre: StagePoint::new(x, y), radius_m, sense }
    }

    #[test]
    fn outer_tangents_of_equal_circles_are_parallel_to_the_centres() {
        let t = between(&round(0.0, 0.0, 1.0, 1.0), &round(5.0, 0.0, 1.0, 1.0)).unwrap();
        assert_eq!((t.way, t.length_m), (StageVector::new(1.0, 0.0), 5.0));
        assert_eq!((t.from, t.to), (StagePoint::new(0.0, -1.0), StagePoint::new(5.0, -1.0)));
    }

    #[test]
    fn lengths_follow_pythagoras() {
        // Inner tangent: sqrt(d² - (r + s)²); outer: sqrt(d² - (r - s)²). d = 5, r + s = 3 and r - s = 3 give 4.
        let inner = between(&round(0.0, 0.0, 2.0, 1.0), &round(3.0, 4.0, 1.0, -1.0)).unwrap();
        assert!((inner.length_m - 4.0).abs() < 1e-6);
        let outer = between(&round(0.0, 0.0, 4.0, -1.0), &round(3.0, 4.0, 1.0, -1.0)).unwrap();
        assert!((outer.length_m - 4.0).abs() < 1e-6);
        for t in [inner, outer] {
            assert!((t.from.distance(t.to) - 4.0).abs() < 1e-5);
            assert!((t.way.length() - 1.0).abs() < 1e-6);
        }
        // From a point at 2 r the tangent leaves the line to the centre by 30 degrees.
        let from_point = between(&Round::point(StagePoint::new(-2.0, 0.0)), &round(0.0, 0.0, 1.0, -1.0)).unwrap();
        assert!((from_point.length_m - 3.0_f32.sqrt()).abs() < 1e-6);
        assert!((from_point.way.y - 0.5).abs() < 1e-6);
    }

    #[test]
    fn a_point_on_the_circle_has_a_tangent_without_length() {
        let t = between(&Round::point(StagePoint::new(1.0, 0.0)), &round(0.0, 0.0, 1.0, 1.0)).unwrap();
        assert!(t.length_m < 1e-3 && (t.way.y - 1.0).abs() < 1e-6);
        assert_eq!(between(&Round::point(StagePoint::new(0.9, 0.0)), &round(0.0, 0.0, 1.0, 1.0)), None);
        assert_eq!(between(&round(0.0, 0.0, 1.0, 1.0), &round(0.0, 0.0, 1.0, 1.0)), None);
    }

    #[test]
    fn turns_go_in_the_sense_of_the_circle() {
        let (east, north) = (StageVector::new(1.0, 0.0), StageVector::new(0.0, 1.0));
        let quarter = core::f32::consts::FRAC_PI_2;
        assert!((round(0.0, 0.0, 1.0, 1.0).turn(east, north) - quarter).abs() < 1e-6);
        assert!((round(0.0, 0.0, 1.0, -1.0).turn(east, north) - 3.0 * quarter).abs() < 1e-6);
        let a_hair_back = StageVector::new(1.0, -1e-6);
        assert_eq!(round(0.0, 0.0, 1.0, 1.0).turn(east, a_hair_back), 0.0);
    }
}
