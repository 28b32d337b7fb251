//! A ring with an optional gap, grown by a disc.

use super::rounded::check_radius;
use super::{GeomError, StagePoint, StageVector, Stretch, segment};
use crate::units::Angle;

/// All points within `grown_m` of a flat ring whose gap, if any, has radial ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ring {
    centre: StagePoint,
    inner_m: f32,
    outer_m: f32,
    gap: Option<Gap>,
    grown_m: f32,
}

#[derive(Clone, Copy, Debug, PartialEq)]
struct Gap {
    middle_rad: f32,
    half_rad: f32,
}

impl Ring {
    /// A ring between two radii, without a gap.
    ///
    /// # Errors
    /// [`GeomError::NotFinite`], or [`GeomError::BadSize`] unless 0 < inner < outer.
    pub fn new(centre: StagePoint, inner_m: f32, outer_m: f32) -> Result<Self, GeomError> {
        if !centre.is_finite() {
            return Err(GeomError::NotFinite);
        }
        check_radius(inner_m).and(check_radius(outer_m))?;
        if inner_m == 0.0 || inner_m >= outer_m {
            return Err(GeomError::BadSize);
        }
        Ok(Self { centre, inner_m, outer_m, gap: None, grown_m: 0.0 })
    }

    /// The ring with a gap about the direction `middle`, `width_m` wide between the corners on the outer
    /// circle. Both ends of the gap point at the centre. A width of 0 is no gap.
    ///
    /// # Errors
    /// [`GeomError::NotFinite`], or [`GeomError::BadSize`] for a width below 0 or of the whole ring.
    pub fn with_gap(self, middle: Angle, width_m: f32) -> Result<Self, GeomError> {
        check_radius(width_m)?;
        if !middle.to_radians().is_finite() {
            return Err(GeomError::NotFinite);
        }
        if width_m >= 2.0 * self.outer_m {
            return Err(GeomError::BadSize);
        }
        let half_rad = libm::asinf(width_m / (2.0 * self.outer_m));
        let gap = (width_m > 0.0).then_some(Gap { middle_rad: middle.to_radians(), half_rad });
        Ok(Self { gap, ..self })
    }

    /// The same set grown by `more_m` more.
    ///
    /// # Errors
    /// [`GeomError::NotFinite`] or [`GeomError::BadSize`].
    pub fn grown(&self, more_m: f32) -> Result<Self, GeomError> {
        check_radius(more_m).map(|()| Self { grown_m: self.grown_m + more_m, ..*self })
    }

    /// A disc that holds the whole set: its centre and radius in metres.
    pub fn bounds(&self) -> (StagePoint, f32) {
        (self.centre, self.outer_m + self.grown_m)
    }

    /// By how much it was grown, metres.
    pub fn grown_m(&self) -> f32 {
        self.grown_m
    }

    /// Centre and outer radius before it was grown: the disc that the ring turns into when its hole is filled.
    pub fn filled(&self) -> (StagePoint, f32) {
        (self.centre, self.outer_m)
    }

    /// Inner and outer radius before it was grown, metres.
    pub(crate) fn radii_m(&self) -> (f32, f32) {
        (self.inner_m, self.outer_m)
    }

    /// Direction of the gap's middle and half its angle, radians.
    pub(crate) fn gap_rad(&self) -> Option<(f32, f32)> {
        self.gap.map(|gap| (gap.middle_rad, gap.half_rad))
    }

    /// The two radial ends beside the gap, each from the inner to the outer circle; none without a gap.
    pub(super) fn ends(&self) -> impl Iterator<Item = (StagePoint, StagePoint)> + '_ {
        let directions = self.gap.map(|g| [g.middle_rad + g.half_rad, g.middle_rad - g.half_rad]);
        directions.into_iter().flatten().map(|d| (self.corner(self.inner_m, d), self.corner(self.outer_m, d)))
    }

    /// How far `p` lies outside the outer circle and inside the inner one, metres, each negative on the other side, before
    /// the ring was grown; and the unit vector from the centre to `p`.
    pub(crate) fn circles_from(&self, p: StagePoint) -> (f32, f32, StageVector) {
        let v = p - self.centre;
        let radius_m = v.length();
        (radius_m - self.outer_m, self.inner_m - radius_m, v.unit().unwrap_or(StageVector::new(1.0, 0.0)))
    }

    /// A point in the middle of the material, opposite the gap.
    pub(crate) fn material_point(&self) -> StagePoint {
        let away = self.gap.map_or(0.0, |g| g.middle_rad) + core::f32::consts::PI;
        self.corner((self.inner_m + self.outer_m) / 2.0, away)
    }

    /// Area of the ring before it was grown, square metres.
    pub fn core_area(&self) -> f32 {
        let span = core::f32::consts::PI - self.gap.map_or(0.0, |g| g.half_rad);
        span * (self.outer_m + self.inner_m) * (self.outer_m - self.inner_m)
    }

    /// Distance from `p` to the set, metres; exact where it is positive, and its sign always is. Inside it
    /// is the distance to the ring's own boundary plus the growth: how far `p` is short of leaving when
    /// it leaves on the side that it is nearest to.
    pub fn signed_distance(&self, p: StagePoint) -> f32 {
        self.core_distance(p) - self.grown_m
    }

    /// Distance from `p` to the ring before it was grown, as [`Ring::signed_distance`].
    pub(super) fn core_distance(&self, p: StagePoint) -> f32 {
        let v = p - self.centre;
        let radius = v.length();
        let across = (self.inner_m - radius).max(radius - self.outer_m);
        let Some(gap) = self.gap else { return across };
        let ends = [gap.half_rad, -gap.half_rad].map(|half| {
            let (sin, cos) = Angle::from_radians(gap.middle_rad + half).sin_cos();
            let along = StageVector::new(cos, sin);
            segment::distance(p, self.centre + along * self.inner_m, self.centre + along * self.outer_m)
        });
        let to_end = ends[0].min(ends[1]);
        let (sin, cos) = Angle::from_radians(gap.middle_rad).sin_cos();
        let middle = StageVector::new(cos, sin);
        let off_middle = libm::fabsf(libm::atan2f(middle.cross(v), middle.dot(v)));
        if off_middle < gap.half_rad {
            to_end
        } else if across < 0.0 {
            across.max(-to_end)
        } else {
            across
        }
    }

    /// The boundary as lines and arcs: material on the left. Where the gap has closed, or the hole has,
    /// some of them lie inside the set; whoever draws it cuts such stretches away.
    pub fn outline(&self) -> impl Iterator<Item = Stretch> + '_ {
        (0..Self::STRETCHES).filter_map(|i| self.stretch(i))
    }

    /// Stretches of a ring's outline at most.
    pub(crate) const STRETCHES: usize = 8;

    /// Stretch `i` of the outline: outer arc, inner arc, then corner, side and corner at either end.
    pub(crate) fn stretch(&self, i: usize) -> Option<Stretch> {
        let full = core::f32::consts::TAU;
        let (first, span) = self.gap.map_or((0.0, full), |g| (g.middle_rad + g.half_rad, full - 2.0 * g.half_rad));
        let last = first + span;
        let quarter = core::f32::consts::FRAC_PI_2;
        match i {
            0 => self.arc(self.centre, self.outer_m + self.grown_m, first, span),
            1 => self.arc(self.centre, self.inner_m - self.grown_m, last, -span),
            _ if self.gap.is_none() => None,
            2 => self.arc(self.corner(self.outer_m, last), self.grown_m, last, quarter),
            3 => self.side(last, quarter, (self.outer_m, self.inner_m)),
            4 => self.arc(self.corner(self.inner_m, last), self.grown_m, last + quarter, quarter),
            5 => self.arc(self.corner(self.inner_m, first), self.grown_m, first + 2.0 * quarter, quarter),
            6 => self.side(first, -quarter, (self.inner_m, self.outer_m)),
            7 => self.arc(self.corner(self.outer_m, first), self.grown_m, first - quarter, quarter),
            _ => None,
        }
    }

    fn corner(&self, radius_m: f32, direction_rad: f32) -> StagePoint {
        let (sin, cos) = Angle::from_radians(direction_rad).sin_cos();
        self.centre + StageVector::new(cos, sin) * radius_m
    }

    fn arc(&self, centre: StagePoint, radius_m: f32, start: f32, sweep: f32) -> Option<Stretch> {
        let (start, sweep) = (Angle::from_radians(start), Angle::from_radians(sweep));
        (radius_m > 0.0).then_some(Stretch::Arc { centre, radius_m, start, sweep })
    }

    fn side(&self, direction_rad: f32, outwards_rad: f32, (from_m, to_m): (f32, f32)) -> Option<Stretch> {
        let (sin, cos) = Angle::from_radians(direction_rad + outwards_rad).sin_cos();
        let offset = StageVector::new(cos, sin) * self.grown_m;
        let from = self.corner(from_m, direction_rad) + offset;
        Some(Stretch::Line { from, to: self.corner(to_m, direction_rad) + offset })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn p(x: f32, y: f32) -> StagePoint {
        StagePoint::new(x, y)
    }

    fn fountain() -> Ring {
        Ring::new(p(0.0, 0.0), 3.6, 4.2).unwrap().with_gap(Angle::from_degrees(270.0), 1.8).unwrap()
    }

    #[test]
    fn distances_round_the_ring() {
        let ring = fountain();
        assert!((ring.signed_distance(p(0.0, 5.2)) - 1.0).abs() < 1e-6);
        assert!((ring.signed_distance(p(3.9, 0.0)) + 0.3).abs() < 1e-6);
        assert!((ring.signed_distance(p(0.0, 0.0)) - 3.6).abs() < 1e-6);
        // In the middle of the gap, on the outer circle: half the width to a corner, 0.9 m, up to the
        // 0.1 m by which the chord lies inside the circle.
        assert!((ring.signed_distance(p(0.0, -4.102_438)) - 0.878_91).abs() < 1e-3);
        assert!(ring.grown(0.5).unwrap().signed_distance(p(0.0, -4.0)) > 0.0);
        assert!(ring.grown(0.9).unwrap().signed_distance(p(0.0, -4.0)) < 0.0);
    }

    #[test]
    fn area_of_an_open_ring() {
        let whole = Ring::new(p(0.0, 0.0), 1.0, 2.0).unwrap();
        assert!((whole.core_area() - 3.0 * core::f32::consts::PI).abs() < 1e-5);
        // A gap as wide as the outer radius takes 60 of 360 degrees.
        let open = whole.with_gap(Angle::default(), 2.0).unwrap();
        assert!((open.core_area() - 2.5 * core::f32::consts::PI).abs() < 1e-5);
    }

    #[test]
    fn the_outline_is_closed_and_on_the_boundary() {
        for grown_m in [0.0, 0.3] {
            let ring = fountain().grown(grown_m).unwrap();
            let order = [0, 2, 3, 4, 1, 5, 6, 7];
            let stretches: std::vec::Vec<_> = order.iter().filter_map(|&i| ring.stretch(i)).collect();
            for (stretch, next) in stretches.iter().zip(stretches.iter().cycle().skip(1)) {
                assert!(stretch.point(1.0).distance(next.point(0.0)) < 1e-5, "{stretch:?} {next:?}");
                assert!(ring.signed_distance(stretch.point(0.4)).abs() < 1e-5, "{stretch:?}");
            }
        }
    }

    #[test]
    fn bad_rings_are_named() {
        assert_eq!(Ring::new(p(0.0, 0.0), 2.0, 2.0), Err(GeomError::BadSize));
        assert_eq!(Ring::new(p(0.0, 0.0), 0.0, 2.0), Err(GeomError::BadSize));
        assert_eq!(Ring::new(p(0.0, f32::NAN), 1.0, 2.0), Err(GeomError::NotFinite));
        assert_eq!(fountain().with_gap(Angle::default(), 8.4), Err(GeomError::BadSize));
    }
}
