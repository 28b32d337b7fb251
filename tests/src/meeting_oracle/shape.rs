//! Footprints as lists of corners, discs and rings, and how far a point is from them.

use super::{P, add, length, sub, times, turn};

/// A footprint relative to its prop's place, turned already.
#[derive(Clone, Debug)]
pub enum Shape {
    /// A convex polygon, counter-clockwise.
    Polygon(Vec<P>),
    /// Centre and radius.
    Disc(P, f64),
    /// Centre, inner and outer radius, direction of the gap's middle in radians, and its width.
    Ring(P, f64, f64, f64, f64),
}

impl Shape {
    /// Distance of `p` from the shape carried over all places from where it is to `way` farther; negative inside.
    /// `filled` makes a disc of a ring.
    pub fn distance(&self, p: P, way: P, filled: bool) -> f64 {
        match self {
            Self::Polygon(corners) if way == [0.0, 0.0] => from_polygon(corners, p),
            Self::Polygon(corners) => {
                let both: Vec<P> = corners.iter().flat_map(|&c| [c, add(c, way)]).collect();
                from_polygon(&wrapped(&both), p)
            }
            Self::Disc(centre, radius) => from_segment(*centre, add(*centre, way), p) - radius,
            Self::Ring(centre, _, outer, ..) if filled => from_segment(*centre, add(*centre, way), p) - outer,
            Self::Ring(centre, inner, outer, middle, gap) => from_ring(sub(p, *centre), *inner, *outer, *middle, *gap),
        }
    }
}

/// Distance of `p` from the segment.
pub fn from_segment(a: P, b: P, p: P) -> f64 {
    let way = sub(b, a);
    let square = way[0] * way[0] + way[1] * way[1];
    let v = sub(p, a);
    let share = if square > 0.0 { ((v[0] * way[0] + v[1] * way[1]) / square).clamp(0.0, 1.0) } else { 0.0 };
    length(sub(p, add(a, times(way, share))))
}

/// Corners of the hull, counter-clockwise: from the lowest point always on to the rightmost one.
fn wrapped(points: &[P]) -> Vec<P> {
    let start = *points.iter().min_by(|a, b| (a[1], a[0]).partial_cmp(&(b[1], b[0])).unwrap()).unwrap();
    let (mut hull, mut here) = (vec![start], start);
    for _ in points {
        let mut next = points[0];
        for &q in points {
            let side = turn(here, next, q);
            let farther = length(sub(q, here)) > length(sub(next, here));
            if next == here || side < -1e-12 || (side.abs() <= 1e-12 && farther) {
                next = q;
            }
        }
        if next == start {
            break;
        }
        hull.push(next);
        here = next;
    }
    hull
}

fn from_polygon(corners: &[P], p: P) -> f64 {
    let sides: Vec<(P, P)> = (0..corners.len()).map(|i| (corners[i], corners[(i + 1) % corners.len()])).collect();
    let edge = sides.iter().map(|&(a, b)| from_segment(a, b, p)).fold(f64::INFINITY, f64::min);
    let above = |&(a, b): &(P, P)| {
        (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0] + (b[0] - a[0]) * (p[1] - a[1]) / (b[1] - a[1])
    };
    if sides.iter().filter(|side| above(side)).count() % 2 == 1 { -edge } else { edge }
}

/// `v` is seen from the centre. The ends of the gap point at it.
fn from_ring(v: P, inner: f64, outer: f64, middle: f64, gap: f64) -> f64 {
    let half = (gap / (2.0 * outer)).asin();
    let off = (v[1].atan2(v[0]) - middle).sin().atan2((v[1].atan2(v[0]) - middle).cos()).abs();
    let radius = length(v);
    let end = |side: f64| {
        let (sin, cos) = (middle + side * half).sin_cos();
        from_segment([inner * cos, inner * sin], [outer * cos, outer * sin], v)
    };
    let to_end = end(1.0).min(end(-1.0));
    if gap > 0.0 && off < half {
        return to_end;
    }
    let across = (inner - radius).max(radius - outer);
    if across < 0.0 && gap > 0.0 { -(-across).min(to_end) } else { across }
}
