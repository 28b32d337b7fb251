//! Least distance from a ring to a convex set, exact.

use super::meet::line_and_circle;
use super::{Convex, Ring, StagePoint, polygon, segment};

impl Ring {
    /// Least distance to a convex set, metres; 0 or less when they meet. A set inside the hole is apart.
    pub fn gap_to(&self, set: &Convex) -> f32 {
        if polygon::contains(set.vertices(), self.material_point()) {
            return -self.grown_m();
        }
        polygon::sides(set.vertices()).map(|side| self.gap_to_side(side)).fold(f32::INFINITY, f32::min)
    }

    /// Least distance to a side, its second end left out: that is the first of the next side.
    ///
    /// Where the two are apart, the side is nearest at its end, at the foot from the ring's centre, or where it
    /// is nearest to an end of the gap. Where they meet, an end of the side lies in the ring, or the side
    /// crosses one of its circles or an end of the gap.
    fn gap_to_side(&self, (a, b): (StagePoint, StagePoint)) -> f32 {
        let ((centre, _), (inner_m, outer_m)) = (self.filled(), self.radii_m());
        let apart = self.core_distance(a).min(self.core_distance(segment::nearest(centre, a, b)));
        let at = |t: f32| self.core_distance(a + (b - a) * t);
        let [inner, outer] = [inner_m, outer_m].map(|radius_m| line_and_circle((a, b), (centre, radius_m)));
        let shares = inner.into_iter().chain(outer).flatten().filter(|t| (0.0..=1.0).contains(t));
        // A point on a circle is off it by rounding only.
        let crossed = shares.map(at).map(|d| if d <= polygon::ON_EDGE_M { d.min(0.0) } else { d });
        let halfway = inner.into_iter().zip(outer).filter_map(|(i, o)| Some((i? + o?) / 2.0));
        let between = halfway.map(|t| at(t.clamp(0.0, 1.0)));
        let to_ends = self.ends().map(|end| segment::gap((a, b), end));
        to_ends.chain(crossed).chain(between).fold(apart, f32::min) - self.grown_m()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Angle;

    const fn p(x: f32, y: f32) -> StagePoint {
        StagePoint::new(x, y)
    }

    fn fountain() -> Ring {
        Ring::new(p(0.0, 0.0), 3.6, 4.2).unwrap().with_gap(Angle::from_degrees(270.0), 1.8).unwrap()
    }

    fn upright(low: StagePoint, high: StagePoint) -> Convex {
        Convex::upright(low, high).unwrap()
    }

    #[test]
    fn sets_in_the_hole_outside_and_round_it_all() {
        let ring = fountain();
        assert!((ring.gap_to(&upright(p(-1.0, -1.0), p(1.0, 1.0))) - (3.6 - core::f32::consts::SQRT_2)).abs() < 1e-5);
        assert!((ring.gap_to(&upright(p(-0.5, 5.0), p(0.5, 6.0))) - 0.8).abs() < 1e-5);
        assert!(ring.gap_to(&upright(p(-9.0, -9.0), p(9.0, 9.0))) <= 0.0);
        assert!(ring.gap_to(&Convex::point(p(3.9, 0.0)).unwrap()) < 0.0);
    }

    #[test]
    fn a_beam_through_the_material_meets_it_although_both_ends_are_clear() {
        let ring = fountain();
        assert!(ring.gap_to(&Convex::segment(p(0.0, 0.0), p(6.0, 0.1)).unwrap()) <= 0.0);
        // Through the gap: 0.9 m beside its middle stands each corner, on the outer circle.
        let along = ring.gap_to(&Convex::segment(p(0.0, 0.0), p(0.0, -6.0)).unwrap());
        // The ends are radial: the nearest corner is the inner one, 0.9 x 3.6 / 4.2 off the middle.
        assert!((along - 0.9 * 3.6 / 4.2).abs() < 1e-5, "{along}");
        // Across both ends of the gap, between the circles.
        assert!(ring.gap_to(&Convex::segment(p(-0.85, -3.8), p(0.85, -3.8)).unwrap()) <= 0.0);
    }

    #[test]
    fn growth_is_taken_off() {
        let ring = fountain().grown(0.25).unwrap();
        assert!((ring.gap_to(&upright(p(-0.5, 5.0), p(0.5, 6.0))) - 0.55).abs() < 1e-5);
    }
}
