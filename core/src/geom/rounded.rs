//! A convex set grown by a disc: exact corners, exact arcs.

use super::{Convex, GeomError, StagePoint, StageVector, Stretch};
use crate::units::Angle;

/// All points within `radius_m` of a convex set: a disc, a capsule, a rounded polygon.
///
/// Area and perimeter follow Steiner's formulas, A + P r + pi r² and P + 2 pi r; distances are those of
/// the core less the radius, outside and inside.
#[derive(Clone, Debug, PartialEq)]
pub struct Rounded {
    core: Convex,
    radius_m: f32,
}

impl Rounded {
    /// `core` grown by `radius_m`; a radius of 0 leaves it as it is.
    ///
    /// # Errors
    /// [`GeomError::NotFinite`] or [`GeomError::BadSize`] for the radius.
    pub fn new(core: Convex, radius_m: f32) -> Result<Self, GeomError> {
        check_radius(radius_m).map(|()| Self { core, radius_m })
    }

    /// A disc.
    ///
    /// # Errors
    /// As [`Rounded::new`].
    pub fn disc(centre: StagePoint, radius_m: f32) -> Result<Self, GeomError> {
        Self::new(Convex::point(centre)?, radius_m)
    }

    /// The set that was grown.
    pub fn core(&self) -> &Convex {
        &self.core
    }

    /// By how much it was grown, metres.
    pub fn radius_m(&self) -> f32 {
        self.radius_m
    }

    /// The same set grown by `more_m` more.
    ///
    /// # Errors
    /// As [`Rounded::new`] for `more_m`.
    pub fn grown(&self, more_m: f32) -> Result<Self, GeomError> {
        check_radius(more_m)?;
        Self::new(self.core.clone(), self.radius_m + more_m)
    }

    /// Everything that the set passes over while it is moved by `way`.
    ///
    /// # Errors
    /// As [`Convex::swept`].
    pub fn swept(&self, way: StageVector) -> Result<Self, GeomError> {
        Ok(Self { core: self.core.swept(way)?, radius_m: self.radius_m })
    }

    /// Area, square metres.
    pub fn area(&self) -> f32 {
        let r = self.radius_m;
        self.core.area() + self.core.perimeter() * r + core::f32::consts::PI * r * r
    }

    /// Length of the boundary, metres.
    pub fn perimeter(&self) -> f32 {
        self.core.perimeter() + core::f32::consts::TAU * self.radius_m
    }

    /// Distance from `p` to the boundary, metres, negative inside.
    pub fn signed_distance(&self, p: StagePoint) -> f32 {
        self.core.signed_distance(p) - self.radius_m
    }

    /// True when `p` is inside or exactly on the boundary: the set is closed.
    pub fn contains(&self, p: StagePoint) -> bool {
        self.signed_distance(p) <= 0.0
    }

    /// A disc that holds the whole set: its centre and radius in metres.
    pub fn bounds(&self) -> (StagePoint, f32) {
        let vertices = self.core.vertices();
        let count = vertices.len().max(1) as f32;
        let sum = vertices.iter().fold(StageVector::new(0.0, 0.0), |sum, &v| sum + (v - StagePoint::default()));
        let middle = StagePoint::default() + sum * (1.0 / count);
        (middle, vertices.iter().map(|v| v.distance(middle)).fold(0.0, f32::max) + self.radius_m)
    }

    /// The boundary, counter-clockwise, as lines and arcs.
    pub fn outline(&self) -> impl Iterator<Item = Stretch> + '_ {
        (0..2 * self.core.vertices().len()).filter_map(|i| self.stretch(i))
    }

    /// Stretch `i` of the outline: even ones are the arcs round the vertices, odd ones the sides.
    pub(crate) fn stretch(&self, i: usize) -> Option<Stretch> {
        let vertices = self.core.vertices();
        let count = vertices.len();
        let at = |k: usize| vertices.get(k % count.max(1)).copied();
        let here = at(i / 2)?;
        if i >= 2 * count || (count == 1 && i > 0) {
            return None;
        }
        let out = |a: StagePoint, b: StagePoint| (b - a).unit().map(|u| -u.perp());
        if i % 2 == 1 {
            let next = at(i / 2 + 1)?;
            let offset = out(here, next)? * self.radius_m;
            return (count > 2 || self.radius_m > 0.0)
                .then_some(Stretch::Line { from: here + offset, to: next + offset });
        }
        if self.radius_m == 0.0 {
            return None;
        }
        let (start, sweep) = match count {
            1 => (Angle::default(), Angle::from_radians(core::f32::consts::TAU)),
            _ => turn_between(out(at(i / 2 + count - 1)?, here)?, out(here, at(i / 2 + 1)?)?),
        };
        Some(Stretch::Arc { centre: here, radius_m: self.radius_m, start, sweep })
    }

    /// The boundary as a counter-clockwise list of at most `N` points on it, never farther than
    /// `tolerance_m` inside it.
    ///
    /// # Errors
    /// [`GeomError::BadSize`] unless the tolerance is positive, [`GeomError::TooMany`] when `N` is too small.
    pub fn flatten<const N: usize>(&self, tolerance_m: f32) -> Result<heapless::Vec<StagePoint, N>, GeomError> {
        let mut list = heapless::Vec::new();
        for stretch in self.outline() {
            let steps = stretch.steps(tolerance_m)?;
            // The last point of a stretch is the first of the next.
            for p in stretch.points(tolerance_m)?.take(usize::from(steps)) {
                list.push(p).map_err(|_| GeomError::TooMany)?;
            }
        }
        Ok(list)
    }
}

/// Refuses radii that are not finite or negative.
pub(crate) fn check_radius(radius_m: f32) -> Result<(), GeomError> {
    if !radius_m.is_finite() {
        Err(GeomError::NotFinite)
    } else if radius_m < 0.0 {
        Err(GeomError::BadSize)
    } else {
        Ok(())
    }
}

/// Direction of `from` and the counter-clockwise turn from it to `to`, half a turn at most.
fn turn_between(from: StageVector, to: StageVector) -> (Angle, Angle) {
    let start = libm::atan2f(from.y, from.x);
    // A segment's two normals are opposite: rounding must not make that half turn run clockwise.
    let sweep = libm::fabsf(libm::atan2f(from.cross(to), from.dot(to)));
    (Angle::from_radians(start), Angle::from_radians(sweep))
}

#[cfg(test)]
mod tests {
    use super::super::polygon;
    use super::*;

    const fn p(x: f32, y: f32) -> StagePoint {
        StagePoint::new(x, y)
    }

    fn length(set: &Rounded) -> f32 {
        set.outline().map(|s| s.length()).sum()
    }

    #[test]
    fn steiner_areas() {
        // Steiner 1840 (any text on convexity): 1 x 2 rectangle with r 0.5 and 3-4-5 triangle with r 1.
        let rectangle = Convex::rectangle(p(7.0, -3.0), 1.0, 2.0, Angle::from_degrees(30.0)).unwrap();
        let grown = Rounded::new(rectangle, 0.5).unwrap();
        assert!((grown.area() - 5.785_398).abs() < 1e-5);
        assert!((grown.perimeter() - 9.141_593).abs() < 1e-5);
        assert!((length(&grown) - 9.141_593).abs() < 1e-5);
        let triangle = Convex::polygon(&[p(0.0, 0.0), p(3.0, 0.0), p(0.0, 4.0)]).unwrap();
        assert!((Rounded::new(triangle, 1.0).unwrap().area() - 21.141_593).abs() < 1e-5);
    }

    #[test]
    fn discs_and_capsules_are_the_same_thing() {
        let disc = Rounded::disc(p(1.0, 1.0), 2.0).unwrap();
        assert!((disc.area() - 12.566_371).abs() < 1e-5);
        assert!((length(&disc) - 12.566_371).abs() < 1e-5);
        let capsule = Rounded::new(Convex::segment(p(0.0, 0.0), p(0.0, 3.0)).unwrap(), 1.0).unwrap();
        assert!((capsule.area() - (6.0 + core::f32::consts::PI)).abs() < 1e-5);
        assert!((length(&capsule) - capsule.perimeter()).abs() < 1e-5);
        assert_eq!(capsule.signed_distance(p(0.0, 5.0)), 1.0);
        assert_eq!(capsule.signed_distance(p(0.25, 1.0)), -0.75);
    }

    #[test]
    fn the_outline_is_closed_and_on_the_boundary() {
        let triangle = Convex::polygon(&[p(0.0, 0.0), p(3.0, 0.0), p(0.0, 4.0)]).unwrap();
        let grown = Rounded::new(triangle, 0.7).unwrap();
        let stretches: std::vec::Vec<_> = grown.outline().collect();
        for (stretch, next) in stretches.iter().zip(stretches.iter().cycle().skip(1)) {
            assert!(stretch.point(1.0).distance(next.point(0.0)) < 1e-5);
            assert!(grown.signed_distance(stretch.point(0.3)).abs() < 1e-5);
        }
    }

    #[test]
    fn flattening_keeps_its_tolerance_and_its_room() {
        let grown = Rounded::new(Convex::rectangle(p(0.0, 0.0), 1.0, 2.0, Angle::default()).unwrap(), 0.5).unwrap();
        let list = grown.flatten::<128>(0.001).unwrap();
        assert!(polygon::is_convex(&list));
        for (a, b) in polygon::sides(&list) {
            let middle = a + (b - a) * 0.5;
            assert!(grown.signed_distance(a).abs() < 1e-5);
            assert!((-0.001..1e-5).contains(&grown.signed_distance(middle)));
        }
        assert_eq!(grown.flatten::<8>(0.001), Err(GeomError::TooMany));
        assert_eq!(grown.flatten::<8>(0.0), Err(GeomError::BadSize));
    }

    #[test]
    fn bad_radii_are_named() {
        assert_eq!(Rounded::disc(p(0.0, 0.0), -1.0), Err(GeomError::BadSize));
        assert_eq!(Rounded::disc(p(0.0, 0.0), f32::NAN), Err(GeomError::NotFinite));
        assert_eq!(Rounded::disc(p(0.0, 0.0), 1.0).unwrap().grown(-0.5), Err(GeomError::BadSize));
    }
}
