//! A convex set with few corners: a point, a segment or a polygon.

use heapless::Vec;

use super::segment;
use super::{GeomError, StagePoint, StageVector, hull, polygon};
use crate::limits;
use crate::units::Angle;

/// Vertices of a [`Convex`]: a full footprint polygon swept along a straight way has two more than itself.
pub const CONVEX_VERTICES: usize = limits::HULL_VERTICES + 2;

/// A point, a segment or a strictly convex polygon in counter-clockwise order.
#[derive(Clone, Debug, PartialEq)]
pub struct Convex {
    vertices: Vec<StagePoint, CONVEX_VERTICES>,
}

impl Convex {
    /// A single point.
    ///
    /// # Errors
    /// [`GeomError::NotFinite`].
    pub fn point(at: StagePoint) -> Result<Self, GeomError> {
        Self::listed(&[at])
    }

    /// The segment from `a` to `b`; a point when they are the same.
    ///
    /// # Errors
    /// [`GeomError::NotFinite`].
    pub fn segment(a: StagePoint, b: StagePoint) -> Result<Self, GeomError> {
        if a == b { Self::point(a) } else { Self::listed(&[a, b]) }
    }

    /// A convex polygon given counter-clockwise; vertices in the middle of a side are dropped.
    ///
    /// # Errors
    /// [`GeomError::NotFinite`], [`GeomError::TooFew`], [`GeomError::TooMany`], [`GeomError::Collinear`] or
    /// [`GeomError::NotConvex`].
    pub fn polygon(vertices: &[StagePoint]) -> Result<Self, GeomError> {
        let wrapped = Self::hull_of(vertices)?;
        if polygon::is_convex(vertices) { Ok(wrapped) } else { Err(GeomError::NotConvex) }
    }

    /// The hull of up to 64 points.
    ///
    /// # Errors
    /// As [`hull::hull`], and [`GeomError::TooMany`] when the hull has more than [`CONVEX_VERTICES`] corners.
    pub fn hull_of(points: &[StagePoint]) -> Result<Self, GeomError> {
        Self::listed(&hull::hull::<64>(points)?)
    }

    /// A rectangle `width_m` × `depth_m` about `centre`, turned counter-clockwise seen from above.
    ///
    /// # Errors
    /// [`GeomError::NotFinite`], or [`GeomError::BadSize`] unless both sizes are positive.
    pub fn rectangle(centre: StagePoint, width_m: f32, depth_m: f32, turn: Angle) -> Result<Self, GeomError> {
        if !(width_m.is_finite() && depth_m.is_finite() && turn.to_radians().is_finite()) {
            return Err(GeomError::NotFinite);
        }
        if width_m <= 0.0 || depth_m <= 0.0 {
            return Err(GeomError::BadSize);
        }
        let (sin, cos) = turn.sin_cos();
        let u = StageVector::new(cos, sin) * (width_m / 2.0);
        let v = StageVector::new(-sin, cos) * (depth_m / 2.0);
        Self::listed(&[centre - u - v, centre + u - v, centre + u + v, centre - u + v])
    }

    /// The closed rectangle between two corners, sides along the stage's axes; a segment or a point when it has
    /// no width or no depth. The corners may come in any order.
    ///
    /// # Errors
    /// [`GeomError::NotFinite`].
    pub fn upright(a: StagePoint, b: StagePoint) -> Result<Self, GeomError> {
        let (low, high) = (StagePoint::new(a.x.min(b.x), a.y.min(b.y)), StagePoint::new(a.x.max(b.x), a.y.max(b.y)));
        if low.x == high.x || low.y == high.y {
            return Self::segment(low, high);
        }
        Self::listed(&[low, StagePoint::new(high.x, low.y), high, StagePoint::new(low.x, high.y)])
    }

    /// Everything that this set passes over while it is moved by `way`.
    ///
    /// # Errors
    /// [`GeomError::NotFinite`], or [`GeomError::TooMany`] for a set that has been swept already.
    pub fn swept(&self, way: StageVector) -> Result<Self, GeomError> {
        let mut both = Vec::<StagePoint, { 2 * CONVEX_VERTICES }>::new();
        for &v in self.vertices.iter() {
            both.push(v).map_err(|_| GeomError::TooMany)?;
            both.push(v + way).map_err(|_| GeomError::TooMany)?;
        }
        match Self::hull_of(&both) {
            Err(GeomError::Collinear | GeomError::TooFew) => Self::span_of(&both),
            wrapped => wrapped,
        }
    }

    /// The vertices: one, two, or three and more counter-clockwise.
    pub fn vertices(&self) -> &[StagePoint] {
        &self.vertices
    }

    /// Area in square metres; 0 for a point or a segment.
    pub fn area(&self) -> f32 {
        polygon::signed_area(&self.vertices)
    }

    /// Length of the boundary in metres; a segment counts there and back.
    pub fn perimeter(&self) -> f32 {
        polygon::perimeter(&self.vertices)
    }

    /// Distance from `p` to the boundary, metres, negative inside.
    pub fn signed_distance(&self, p: StagePoint) -> f32 {
        polygon::signed_distance(&self.vertices, p)
    }

    /// Least distance to another convex set, metres; 0 when they meet.
    pub fn gap(&self, other: &Self) -> f32 {
        let inside = |set: &Self, p: Option<&StagePoint>| p.is_some_and(|&p| polygon::contains(&set.vertices, p));
        if inside(self, other.vertices.first()) || inside(other, self.vertices.first()) {
            return 0.0;
        }
        let pairs = polygon::sides(&self.vertices)
            .flat_map(|side| polygon::sides(&other.vertices).map(move |facing| segment::gap(side, facing)));
        pairs.fold(f32::INFINITY, f32::min)
    }

    fn listed(vertices: &[StagePoint]) -> Result<Self, GeomError> {
        if !vertices.iter().all(|v| v.is_finite()) {
            return Err(GeomError::NotFinite);
        }
        Ok(Self { vertices: Vec::from_slice(vertices).map_err(|_| GeomError::TooMany)? })
    }

    /// The longest segment between points of one line.
    fn span_of(points: &[StagePoint]) -> Result<Self, GeomError> {
        let order = |a: &&StagePoint, b: &&StagePoint| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y));
        let (Some(&low), Some(&high)) = (points.iter().min_by(order), points.iter().max_by(order)) else {
            return Err(GeomError::TooFew);
        };
        Self::segment(low, high)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn p(x: f32, y: f32) -> StagePoint {
        StagePoint::new(x, y)
    }

    #[test]
    fn a_rectangle_turned_a_quarter_swaps_its_sides() {
        let flat = Convex::rectangle(p(1.0, 2.0), 4.0, 2.0, Angle::from_degrees(90.0)).unwrap();
        assert!((flat.area() - 8.0).abs() < 1e-5);
        assert!((flat.signed_distance(p(1.0, 5.0)) - 1.0).abs() < 1e-6);
        assert!((flat.signed_distance(p(3.0, 2.0)) - 1.0).abs() < 1e-6);
    }

    #[test]
    fn bad_input_is_named() {
        let turn = Angle::default();
        assert_eq!(Convex::rectangle(p(0.0, 0.0), 0.0, 1.0, turn), Err(GeomError::BadSize));
        assert_eq!(Convex::rectangle(p(0.0, 0.0), f32::NAN, 1.0, turn), Err(GeomError::NotFinite));
        assert_eq!(Convex::point(p(f32::NAN, 0.0)), Err(GeomError::NotFinite));
        let dart = [p(0.0, 0.0), p(2.0, 0.0), p(0.5, 0.5), p(0.0, 2.0)];
        assert_eq!(Convex::polygon(&dart), Err(GeomError::NotConvex));
    }

    #[test]
    fn sweeping_adds_height_times_way() {
        let box_ = Convex::rectangle(p(0.0, 0.0), 1.0, 2.0, Angle::default()).unwrap();
        let swept = box_.swept(StageVector::new(3.0, 0.0)).unwrap();
        assert_eq!(swept.area(), 8.0);
        let slanted = box_.swept(StageVector::new(3.0, 4.0)).unwrap();
        // Area of the sum of a polygon and a segment: A + width across the way times its length.
        assert!((slanted.area() - (2.0 + 3.0 * 2.0 + 4.0 * 1.0)).abs() < 1e-5);
        assert_eq!(slanted.vertices().len(), 6);
        let dot = Convex::point(p(1.0, 1.0)).unwrap().swept(StageVector::new(0.0, 2.0)).unwrap();
        assert_eq!(dot.vertices(), &[p(1.0, 1.0), p(1.0, 3.0)]);
        let still = Convex::point(p(1.0, 1.0)).unwrap().swept(StageVector::new(0.0, 0.0)).unwrap();
        assert_eq!(still.vertices(), &[p(1.0, 1.0)]);
    }

    #[test]
    fn gaps_between_sets() {
        let a = Convex::rectangle(p(0.0, 0.0), 2.0, 2.0, Angle::default()).unwrap();
        let b = Convex::rectangle(p(5.0, 0.0), 2.0, 2.0, Angle::from_degrees(45.0)).unwrap();
        assert!((a.gap(&b) - (4.0 - core::f32::consts::SQRT_2)).abs() < 1e-6);
        assert_eq!(a.gap(&Convex::point(p(0.2, 0.1)).unwrap()), 0.0);
        assert_eq!(a.gap(&Convex::segment(p(-5.0, 0.0), p(5.0, 0.0)).unwrap()), 0.0);
        assert_eq!(Convex::point(p(0.0, 0.0)).unwrap().gap(&Convex::point(p(3.0, 4.0)).unwrap()), 5.0);
    }
}
