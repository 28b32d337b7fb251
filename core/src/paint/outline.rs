//! The vertices of a contour on a canvas, in 16.16 fixed-point pixels, computed when they are asked for.
//!
//! Ellipses become polygons whose vertices lie as far outside the curve as their sides lie inside,
//! at most 1/400 pixel either way, so that flattening costs less than one level of 255.

use crate::geom::{StagePoint, StageVector};

use super::fine_map::{FineMap, Vertex};
use super::scene::Contour;
use super::wave;

/// A contour seen through a map.
#[derive(Clone, Copy)]
pub(super) struct Outline<'s> {
    map: FineMap,
    kind: Kind<'s>,
}

#[derive(Clone, Copy)]
enum Kind<'s> {
    Polygon(&'s [StagePoint]),
    /// Centre from the map's anchor and half axes, in canvas pixels.
    Ellipse {
        centre: (f32, f32),
        u: (f32, f32),
        v: (f32, f32),
        stride: u32,
    },
}

impl<'s> Outline<'s> {
    /// The contour's outline. `stride` is what [`Outline::stride_for`] gave, 0 for polygons.
    pub(super) fn new(map: FineMap, contour: &Contour, points: &'s [StagePoint], stride: u16) -> Self {
        let kind = match *contour {
            Contour::Polygon { .. } => Kind::Polygon(points),
            Contour::Ellipse { centre, u, v } => {
                // Vertices move out by half the sagitta r(1 - cos(pi/n)), about r pi^2 / 4n^2.
                let n = (wave::TURN / u32::from(stride.max(1))) as f32;
                let swell = 1.0 + core::f32::consts::PI * core::f32::consts::PI / (4.0 * n * n);
                let (u, v) = (map.vector(u * swell), map.vector(v * swell));
                Kind::Ellipse { centre: map.seen_from_anchor(centre), u, v, stride: u32::from(stride) }
            }
        };
        Self { map, kind }
    }

    /// Table steps between the vertices of an ellipse: n >= pi sqrt(100 r) keeps the half sagitta under 1/400 pixel.
    pub(super) fn stride_for(map: &FineMap, contour: &Contour) -> u16 {
        let Contour::Ellipse { u, v, .. } = *contour else { return 0 };
        let square = |w: StageVector| {
            let (x, y) = map.vector(w);
            x * x + y * y
        };
        let radius = libm::sqrtf(square(u) + square(v));
        let wanted = 26.5 * libm::sqrtf(radius) + 1.0;
        let mut n = 16;
        while n < wave::TURN && (n as f32) < wanted {
            n *= 2;
        }
        (wave::TURN / n) as u16
    }

    /// Number of vertices.
    pub(super) fn len(&self) -> usize {
        match self.kind {
            Kind::Polygon(points) => points.len(),
            Kind::Ellipse { stride, .. } => (wave::TURN / stride.max(1)) as usize,
        }
    }

    /// Vertex `i`, counted round and round.
    pub(super) fn vertex(&self, i: usize) -> Vertex {
        let place = match self.kind {
            Kind::Polygon(points) => {
                let point = points.get(i).or(points.get(i % points.len().max(1))).copied().unwrap_or_default();
                self.map.seen_from_anchor(point)
            }
            Kind::Ellipse { centre, u, v, stride } => {
                let (cos, sin) = wave::cos_sin((i as u32).wrapping_mul(stride));
                (centre.0 + (u.0 * cos + v.0 * sin), centre.1 + (u.1 * cos + v.1 * sin))
            }
        };
        self.map.vertex(place)
    }

    /// The vertices with the smallest and the largest y of an ellipse; `None` for a polygon.
    pub(super) fn poles(&self) -> Option<(usize, usize)> {
        let Kind::Ellipse { u, v, .. } = self.kind else { return None };
        let n = self.len();
        let angle = libm::atan2f(v.1, u.1);
        let turns = angle * (0.5 / core::f32::consts::PI) + 1.0;
        let low = (turns * n as f32 + 0.5) as usize % n;
        let bottom = self.climb(low, |a, b| a > b);
        let top = self.climb((low + n / 2) % n, |a, b| a < b);
        Some((top, bottom))
    }

    /// Walks from vertex `i` to the neighbouring extreme, because rounding may move it by one vertex.
    fn climb(&self, mut i: usize, better: impl Fn(i32, i32) -> bool) -> usize {
        let n = self.len();
        for _ in 0..n {
            let here = self.vertex(i).y;
            if better(self.vertex(i + 1).y, here) {
                i = (i + 1) % n;
            } else if better(self.vertex(i + n - 1).y, here) {
                i = (i + n - 1) % n;
            } else {
                break;
            }
        }
        i
    }
}
