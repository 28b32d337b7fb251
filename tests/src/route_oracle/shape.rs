//! Footprints, and how far a straight way keeps from them: exact in all but the rounding of `f64`.

use std::f64::consts::{PI, TAU};

use super::vector::{V, between_segments, to_segment};

/// A footprint, before it is grown.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// A point, a segment, or a convex polygon, counter-clockwise.
    Hull(Vec<V>),
    /// A ring; its gap, if any, by the direction of its middle and half its angle.
    Ring {
        /// Its centre.
        centre: V,
        /// Inner radius.
        inner: f64,
        /// Outer radius.
        outer: f64,
        /// The gap's middle and half its angle, radians.
        gap: Option<(f64, f64)>,
    },
}

impl Shape {
    /// Least distance between the footprint and the straight way from `a` to `b`; 0 when they meet.
    pub fn gap(&self, a: V, b: V) -> f64 {
        match self {
            Self::Hull(corners) => hull_gap(corners, (a, b)),
            &Self::Ring { centre, inner, outer, gap } => {
                let (a, b) = (a - centre, b - centre);
                match gap {
                    None => across((a, b), (inner, outer)),
                    Some(gap) => open_gap((a, b), (inner, outer), gap),
                }
            }
        }
    }

    /// A disc that holds it.
    pub fn ball(&self) -> (V, f64) {
        match self {
            Self::Hull(corners) => {
                let sum = corners.iter().fold(V::default(), |sum, &p| sum + p);
                let middle = sum * (1.0 / corners.len() as f64);
                (middle, corners.iter().map(|p| p.distance(middle)).fold(0.0, f64::max))
            }
            &Self::Ring { centre, outer, .. } => (centre, outer),
        }
    }
}

/// The sides of a polygon; of a segment its only one, of a point the point.
pub(super) fn sides(corners: &[V]) -> impl Iterator<Item = (V, V)> + '_ {
    let count = if corners.len() == 2 { 1 } else { corners.len() };
    corners.iter().copied().zip(corners.iter().copied().cycle().skip(1)).take(count)
}

fn hull_gap(corners: &[V], way: (V, V)) -> f64 {
    let inside = corners.len() > 2 && sides(corners).all(|(p, q)| (q - p).cross(way.0 - p) >= 0.0);
    if inside {
        return 0.0;
    }
    sides(corners).map(|side| between_segments(side, way)).fold(f64::INFINITY, f64::min)
}

/// Distance from a whole ring about the origin.
fn across((a, b): (V, V), (inner, outer): (f64, f64)) -> f64 {
    let (least, most) = (to_segment(V::default(), a, b), a.length().max(b.length()));
    (least - outer).max(inner - most).max(0.0)
}

/// Distance from a ring with a gap about the origin: the way is cut where it passes the directions of the gap's ends,
/// so that every piece has either the ring's material or the gap beside it.
fn open_gap((a, b): (V, V), radii: (f64, f64), (middle, half): (f64, f64)) -> f64 {
    let ends = [middle + half, middle - half].map(V::heading);
    let mut cuts = vec![0.0, 1.0];
    for end in ends {
        let (from, to) = (end.cross(a), end.cross(b));
        if from * to < 0.0 {
            cuts.push(from / (from - to));
        }
    }
    cuts.sort_by(f64::total_cmp);
    let to_ends =
        ends.iter().map(|&e| between_segments((a, b), (e * radii.0, e * radii.1))).fold(f64::INFINITY, f64::min);
    let at = |t: f64| a + (b - a) * t;
    let beside_material = cuts.windows(2).filter(|cut| {
        let off = ((at((cut[0] + cut[1]) / 2.0)).angle() - middle + PI).rem_euclid(TAU) - PI;
        off.abs() >= half
    });
    beside_material.map(|cut| across((at(cut[0]), at(cut[1])), radii)).fold(to_ends, f64::min)
}
