//! Where a straight way on the floor plan runs through a footprint.
//!
//! A way is a start and a step; places on it are counted in steps, λ, from minus to plus infinity. A convex
//! footprint gives one interval of λ at most; a ring gives what its hole and its gap leave of that: three.

use heapless::Vec;

use super::solids::{Gap, SolidShape};
use crate::geom::{StagePoint, StageVector, polygon};

/// Intervals (λ in, λ out) of a way inside a footprint: ascending, apart, none without length.
pub type Crossings = Vec<(f32, f32), 4>;

/// Everything.
const ALL: (f32, f32) = (f32::NEG_INFINITY, f32::INFINITY);

impl SolidShape {
    /// Where the way `from` + λ `way` is inside this footprint. A step of no length is inside everywhere or
    /// nowhere.
    pub fn crossings(&self, from: StagePoint, way: StageVector) -> Crossings {
        match self {
            Self::Disc { centre, radius_m } => disc(from - *centre, way, *radius_m).into_iter().collect(),
            Self::Polygon(vertices) => convex(from, way, vertices).into_iter().collect(),
            Self::Ring { centre, inner_m, outer_m, gap } => {
                let v = from - *centre;
                let mut rest: Crossings = disc(v, way, *outer_m).into_iter().collect();
                if let Some(hole) = disc(v, way, *inner_m) {
                    rest = without(&rest, hole);
                }
                if let Some(open) = gap.and_then(|g| sector(v, way, g)) {
                    rest = without(&rest, open);
                }
                rest
            }
        }
    }
}

/// The way inside a disc about the origin: the roots of |v + λ way|² = r².
fn disc(v: StageVector, way: StageVector, radius_m: f32) -> Option<(f32, f32)> {
    let square = way.dot(way);
    if square <= 0.0 {
        return (v.dot(v) < radius_m * radius_m).then_some(ALL);
    }
    // Measured from the foot of the centre on the way: the centre's distance from it loses no digits.
    let across = v.cross(way);
    let left = square * radius_m * radius_m - across * across;
    if left <= 0.0 {
        return None;
    }
    let (middle, half) = (-v.dot(way) / square, libm::sqrtf(left) / square);
    Some((middle - half, middle + half))
}

/// The way inside a counter-clockwise convex polygon: on the left of all its sides.
fn convex(from: StagePoint, way: StageVector, vertices: &[StagePoint]) -> Option<(f32, f32)> {
    polygon::sides(vertices).try_fold(ALL, |span, (a, b)| half_plane(span, (b - a).cross(from - a), (b - a).cross(way)))
}

/// What of `span` lies where `depth + λ slope` is not negative.
fn half_plane((low, high): (f32, f32), depth: f32, slope: f32) -> Option<(f32, f32)> {
    let at = -depth / slope;
    let (low, high) = if slope > 0.0 {
        (low.max(at), high)
    } else if slope < 0.0 {
        (low, high.min(at))
    } else if depth >= 0.0 {
        (low, high)
    } else {
        return None;
    };
    (low < high).then_some((low, high))
}

/// The way inside the sector of a gap, whose tip is the origin; less than half a turn wide.
fn sector(v: StageVector, way: StageVector, gap: Gap) -> Option<(f32, f32)> {
    let span = half_plane(ALL, gap.first.cross(v), gap.first.cross(way))?;
    half_plane(span, v.cross(gap.last), way.cross(gap.last))
}

/// What is left of `rest` when `gone` is taken out.
fn without(rest: &Crossings, gone: (f32, f32)) -> Crossings {
    let pieces = rest.iter().flat_map(|&(low, high)| [(low, high.min(gone.0)), (low.max(gone.1), high)]);
    // Two from one, or three from two that the hole has parted: four at most, for the gap is one interval.
    pieces.filter(|(low, high)| low < high).take(4).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Angle;

    const fn p(x: f32, y: f32) -> StagePoint {
        StagePoint::new(x, y)
    }

    fn ring(gap_deg: f32) -> SolidShape {
        let gap = Gap::about(Angle::from_degrees(gap_deg), Angle::from_degrees(30.0));
        SolidShape::Ring { centre: p(0.0, 0.0), inner_m: 3.0, outer_m: 5.0, gap: Some(gap) }
    }

    #[test]
    fn a_way_through_a_ring_of_3_4_5() {
        // At 4 m from the centre the way cuts the outer circle of 5 m at ±3 m and misses the inner one.
        let shape = ring(90.0);
        assert_eq!(shape.crossings(p(-10.0, -4.0), StageVector::new(2.0, 0.0)).as_slice(), &[(3.5, 6.5)]);
        // Through the centre: both walls.
        let both = shape.crossings(p(-10.0, 0.0), StageVector::new(1.0, 0.0));
        assert_eq!(both.as_slice(), &[(5.0, 7.0), (13.0, 15.0)]);
        // Along the gap's middle from upstage: the far wall only.
        let far = shape.crossings(p(0.0, 10.0), StageVector::new(0.0, -1.0));
        assert_eq!(far.as_slice(), &[(13.0, 15.0)]);
    }

    #[test]
    fn a_way_across_the_gap_is_cut_in_three() {
        // 2.9 m from the centre, across a gap of ±30°: the hole takes ±0.768 m, the sector ±1.674 m.
        let parts = ring(90.0).crossings(p(-10.0, 2.9), StageVector::new(1.0, 0.0));
        assert_eq!(parts.len(), 2, "{parts:?}");
        // A gap towards stage left beside the way's middle leaves three pieces of it.
        let shape = SolidShape::Ring {
            centre: p(0.0, 0.0),
            inner_m: 1.0,
            outer_m: 5.0,
            gap: Some(Gap::about(Angle::from_degrees(45.0), Angle::from_degrees(10.0))),
        };
        let parts = shape.crossings(p(-10.0, 0.9), StageVector::new(1.0, 0.0));
        assert_eq!(parts.len(), 3, "{parts:?}");
    }

    #[test]
    fn a_step_of_no_length_is_inside_or_not() {
        let still = StageVector::default();
        assert_eq!(ring(0.0).crossings(p(-4.0, 0.0), still).as_slice(), &[ALL]);
        assert!(ring(0.0).crossings(p(0.0, 0.0), still).is_empty());
        let square = [p(0.0, 0.0), p(1.0, 0.0), p(1.0, 1.0), p(0.0, 1.0)];
        let shape = SolidShape::Polygon(Vec::from_slice(&square).unwrap());
        assert_eq!(shape.crossings(p(0.5, 0.5), still).as_slice(), &[ALL]);
        assert!(shape.crossings(p(1.5, 0.5), still).is_empty());
        // Along a side from outside its ends.
        assert!(shape.crossings(p(1.1, -1.0), StageVector::new(0.0, 1.0)).is_empty());
    }
}
