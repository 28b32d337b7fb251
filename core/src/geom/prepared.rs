//! A convex set made ready to be asked for its distance again and again, also while it is carried along.

use heapless::Vec;

use super::convex::CONVEX_VERTICES;
use super::{Rounded, StagePoint, StageVector, polygon, segment};

/// A [`Rounded`] set with the normals of its sides at hand.
#[derive(Clone, Debug, PartialEq)]
pub struct Prepared {
    vertices: Vec<StagePoint, CONVEX_VERTICES>,
    /// Outward unit normal of each side and how far out that side is along it; none for points and segments.
    sides: Vec<(StageVector, f32), CONVEX_VERTICES>,
    radius_m: f32,
}

/// Distances that differ by no more are the same, metres: the rounding of coordinates of some ten metres.
const HAIR_M: f32 = 2e-6;

/// How near a point is to a set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Near {
    /// Distance to the boundary, metres, negative inside.
    pub distance_m: f32,
    /// Unit vector along which it grows the most. With n for it, the distance of any point p from the set of
    /// support h is at least n·p − h(n), and just that here.
    pub out: StageVector,
}

impl Prepared {
    /// The set, ready.
    pub fn new(set: &Rounded) -> Self {
        let list = set.core().vertices();
        let flat = if list.len() < 3 { &[] } else { list };
        let normal = |(a, b): (StagePoint, StagePoint)| {
            let out = -(b - a).unit()?.perp();
            Some((out, out.dot(a - StagePoint::default())))
        };
        let vertices = list.iter().copied().collect();
        Self { vertices, sides: polygon::sides(flat).filter_map(normal).collect(), radius_m: set.radius_m() }
    }

    /// How near `p` is to everything that the set passes over while it is moved by `way`, as
    /// [`Rounded::signed_distance`] of [`Rounded::swept`] would say, without building that.
    pub fn near(&self, p: StagePoint, way: StageVector) -> Near {
        let inner = self.deepest(p, way);
        let near = match inner {
            Some(inner) if inner.distance_m <= 0.0 => inner,
            _ => {
                let near = self.outside(p, way, inner);
                // Straight out from a side its own normal is exact; the way to it is mere rounding where it is short.
                let side = inner.filter(|side| near.distance_m - side.distance_m <= HAIR_M);
                Near { out: side.map_or(near.out, |side| side.out), ..near }
            }
        };
        Near { distance_m: near.distance_m - self.radius_m, ..near }
    }

    /// The side of the swept polygon that `p` is least inside of: its sides have the normals of the set's own
    /// and those of the way. `None` for points and segments.
    fn deepest(&self, p: StagePoint, way: StageVector) -> Option<Near> {
        let v = p - StagePoint::default();
        let own = self.sides.iter().map(|&(out, far_m)| (out, out.dot(v) - far_m - out.dot(way).max(0.0)));
        let across = way.unit().filter(|_| !self.sides.is_empty()).map(StageVector::perp);
        let ways = across.into_iter().flat_map(|n| [n, -n]).map(|out| (out, out.dot(v) - self.support(out)));
        let deepest = own.chain(ways).max_by(|a, b| a.1.total_cmp(&b.1));
        deepest.map(|(out, distance_m)| Near { distance_m, out })
    }

    fn support(&self, out: StageVector) -> f32 {
        self.vertices.iter().map(|&v| out.dot(v - StagePoint::default())).fold(f32::NEG_INFINITY, f32::max)
    }

    /// Two convex sets that are apart, here the core and the way back from `p`, are nearest at a corner of one.
    fn outside(&self, p: StagePoint, way: StageVector, inner: Option<Near>) -> Near {
        let back = p - way;
        let mut least = StageVector::new(f32::INFINITY, 0.0);
        let mut offer = |v: StageVector| {
            if v.dot(v) < least.dot(least) {
                least = v;
            }
        };
        for &vertex in &self.vertices {
            offer(segment::nearest(vertex, back, p) - vertex);
        }
        if self.vertices.len() > 1 {
            for (a, b) in polygon::sides(&self.vertices) {
                offer(p - segment::nearest(p, a, b));
                offer(back - segment::nearest(back, a, b));
            }
        }
        let on_it = || inner.map(|i| i.out).or(way.unit().map(StageVector::perp)).unwrap_or(StageVector::new(1.0, 0.0));
        Near { distance_m: least.length(), out: least.unit().unwrap_or_else(on_it) }
    }
}

#[cfg(test)]
mod tests {
    use super::super::Convex;
    use super::*;
    use crate::units::Angle;

    const fn p(x: f32, y: f32) -> StagePoint {
        StagePoint::new(x, y)
    }

    /// Against the same sets swept by their hulls, on a grid; the growth along `out` against differences.
    #[test]
    fn the_distance_is_that_of_the_swept_set_and_grows_along_its_normal() {
        let pentagon = [p(0.0, -0.5), p(0.7, 0.0), p(0.6, 0.5), p(-0.2, 0.6), p(-0.6, 0.1)];
        let sets = [
            Rounded::disc(p(0.2, -0.1), 0.3).unwrap(),
            Rounded::new(Convex::polygon(&pentagon).unwrap(), 0.0).unwrap(),
            Rounded::new(Convex::rectangle(p(0.3, 0.1), 1.2, 0.4, Angle::from_degrees(33.0)).unwrap(), 0.2).unwrap(),
        ];
        let ways = [(0.0, 0.0), (0.6, 0.2), (-0.3, 0.9), (0.0, -0.8)].map(|(x, y)| StageVector::new(x, y));
        for (set, way) in sets.iter().flat_map(|set| ways.map(|way| (set, way))) {
            let (ready, swept) = (Prepared::new(set), set.swept(way).unwrap());
            for (i, j) in (-14..=14).flat_map(|i| (-14..=14).map(move |j| (i, j))) {
                let q = p(i as f32 * 0.13, j as f32 * 0.13);
                let near = ready.near(q, way);
                assert!((near.distance_m - swept.signed_distance(q)).abs() < 1e-5, "{q:?} {way:?} {near:?}");
                assert!((near.out.length() - 1.0).abs() < 1e-5);
                for v in [(0.05, 0.0), (0.0, 0.05), (-0.05, 0.02)].map(|(x, y)| StageVector::new(x, y)) {
                    let there = swept.signed_distance(q + v);
                    assert!(there >= near.distance_m + near.out.dot(v) - 1e-5, "{q:?} {way:?} {v:?}");
                }
            }
        }
    }
}
