//! The round corner between two straight legs.

use super::{StagePoint, Stretch};
use crate::units::Angle;

/// An arc that touches both legs of a corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fillet {
    /// From the corner to either end of the arc, metres: r tan(turn / 2).
    pub tangent_m: f32,
    /// Where it leaves the first leg.
    pub from: StagePoint,
    /// Where it joins the second leg.
    pub to: StagePoint,
    /// The arc.
    pub arc: Stretch,
    /// Turn from the first leg's direction to the second's, radians, counter-clockwise when positive.
    pub turn_rad: f32,
}

/// Turns below this are none, radians.
const STRAIGHT_RAD: f32 = 1e-6;

/// The fillet of radius `radius_m` at `corner`, between the legs from `before` and to `after`; `None` where nothing
/// is to be rounded: radius 0, a leg without length, legs in one line, or a turn all the way back.
pub fn fillet(before: StagePoint, corner: StagePoint, after: StagePoint, radius_m: f32) -> Option<Fillet> {
    let (u, v) = ((corner - before).unit()?, (after - corner).unit()?);
    let turn_rad = libm::atan2f(u.cross(v), u.dot(v));
    let back = core::f32::consts::PI - libm::fabsf(turn_rad);
    if radius_m <= 0.0 || libm::fabsf(turn_rad) < STRAIGHT_RAD || back < STRAIGHT_RAD {
        return None;
    }
    let tangent_m = radius_m * libm::tanf(libm::fabsf(turn_rad) / 2.0);
    let side = if turn_rad > 0.0 { 1.0 } else { -1.0 };
    let from = corner - u * tangent_m;
    let out = u.perp() * -side;
    let arc = Stretch::Arc {
        centre: from - out * radius_m,
        radius_m,
        start: Angle::from_radians(libm::atan2f(out.y, out.x)),
        sweep: Angle::from_radians(turn_rad),
    };
    Some(Fillet { tangent_m, from, to: corner + v * tangent_m, arc, turn_rad })
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn p(x: f32, y: f32) -> StagePoint {
        StagePoint::new(x, y)
    }

    #[test]
    fn a_quarter_turn_to_the_left_and_to_the_right() {
        for side in [1.0, -1.0] {
            let f = fillet(p(0.0, 0.0), p(2.0, 0.0), p(2.0, 3.0 * side), 0.5).unwrap();
            assert!((f.tangent_m - 0.5).abs() < 1e-6);
            assert!(f.from.distance(p(1.5, 0.0)) < 1e-6 && f.to.distance(p(2.0, 0.5 * side)) < 1e-6);
            assert!(f.arc.point(0.0).distance(f.from) < 1e-6 && f.arc.point(1.0).distance(f.to) < 1e-6);
            // The middle of the arc lies 0.5 m from the centre (1.5, 0.5) towards the corner.
            let middle = 0.5 * core::f32::consts::FRAC_1_SQRT_2;
            assert!(f.arc.point(0.5).distance(p(1.5 + middle, (0.5 - middle) * side)) < 1e-6);
            assert!(f.arc.heading(0.0).dot(p(1.0, 0.0) - p(0.0, 0.0)) > 0.999_99);
        }
    }

    #[test]
    fn nothing_to_round() {
        assert_eq!(fillet(p(0.0, 0.0), p(1.0, 0.0), p(2.0, 0.0), 0.5), None);
        assert_eq!(fillet(p(0.0, 0.0), p(1.0, 0.0), p(0.0, 0.0), 0.5), None);
        assert_eq!(fillet(p(0.0, 0.0), p(0.0, 0.0), p(2.0, 1.0), 0.5), None);
        assert_eq!(fillet(p(0.0, 0.0), p(1.0, 0.0), p(1.0, 1.0), 0.0), None);
    }
}
