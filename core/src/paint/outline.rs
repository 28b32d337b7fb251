//! The vertices of a contour on a canvas, in 16.16 fixed-point pixels, computed when they are asked for.
//!
//! Ellipses become polygons whose vertices lie as far outside the curve as their sides lie inside,
//! at most 1/300 pixel either way for a circle, so that flattening costs less than one level of 255.

use super::Scene;
use super::fine_map::{FineMap, Vertex};
use super::scene::Contour;
use super::wave;

/// A contour seen through a map.
#[derive(Clone, Copy, Debug)]
pub(super) enum Outline {
    /// A run of the scene's points.
    Polygon {
        /// Index of the first point and number of points.
        first: u16,
        len: u16,
    },
    /// `centre + u cos t + v sin t` in pixels from the map's anchor, with a vertex at every `stride` of the table.
    Ellipse { centre: (f32, f32), u: (f32, f32), v: (f32, f32), stride: u16 },
}

impl Outline {
    /// The contour's outline under `map`.
    pub(super) fn new(contour: &Contour, map: &FineMap) -> Self {
        match *contour {
            Contour::Polygon { first, len } => Self::Polygon { first, len },
            Contour::Ellipse { centre, u, v } => {
                Self::ellipse(map.seen_from_anchor(centre), map.vector(u), map.vector(v))
            }
        }
    }

    /// Half a sagitta, r(1 - cos(pi/n))/2 or about r pi^2 / 4n^2, stays under 1/300 pixel for n >= pi sqrt(75 r).
    fn ellipse(centre: (f32, f32), u: (f32, f32), v: (f32, f32)) -> Self {
        let square = u.0 * u.0 + u.1 * u.1 + v.0 * v.0 + v.1 * v.1;
        // A circle's radius; for an ellipse at least 0.7 of its longer half axis.
        let radius = libm::sqrtf(square * 0.5);
        let n = wave::division(27.3 * libm::sqrtf(radius));
        let swell = 1.0 + core::f32::consts::PI * core::f32::consts::PI / (4.0 * f32::from(n) * f32::from(n));
        let scaled = |w: (f32, f32)| (w.0 * swell, w.1 * swell);
        Self::Ellipse { centre, u: scaled(u), v: scaled(v), stride: wave::TURN / n }
    }

    /// Number of vertices.
    pub(super) fn len(&self) -> u16 {
        match *self {
            Self::Polygon { len, .. } => len,
            Self::Ellipse { stride, .. } => wave::TURN / stride.max(1),
        }
    }

    /// Vertex `i`, which is below [`Outline::len`].
    pub(super) fn vertex(&self, i: u16, scene: &Scene<'_>, map: &FineMap) -> Vertex {
        match *self {
            Self::Polygon { first, .. } => map.vertex(map.seen_from_anchor(scene.point_at(first + i))),
            Self::Ellipse { centre, u, v, stride } => {
                let (cos, sin) = wave::cos_sin(i * stride);
                map.vertex((centre.0 + (u.0 * cos + v.0 * sin), centre.1 + (u.1 * cos + v.1 * sin)))
            }
        }
    }

    /// The vertices with the smallest and the largest y of an ellipse; `None` for a polygon.
    pub(super) fn poles(&self, map: &FineMap) -> Option<(u16, u16)> {
        let Self::Ellipse { u, v, .. } = *self else { return None };
        let n = self.len();
        let turns = libm::atan2f(v.1, u.1) * (0.5 / core::f32::consts::PI) + 1.0;
        let low = (turns * f32::from(n) + 0.5) as u16 % n;
        let bottom = self.climb(low, map, |a, b| a > b);
        let top = self.climb((low + n / 2) % n, map, |a, b| a < b);
        Some((top, bottom))
    }

    /// Walks from vertex `i` to the neighbouring extreme, because rounding may move it by one vertex.
    fn climb(&self, mut i: u16, map: &FineMap, better: impl Fn(i32, i32) -> bool) -> u16 {
        let Self::Ellipse { centre, u, v, stride } = *self else { return i };
        let n = self.len();
        let height = |i: u16| {
            let (cos, sin) = wave::cos_sin(i * stride);
            map.vertex((0.0, centre.1 + (u.1 * cos + v.1 * sin))).y
        };
        let (ahead, behind) = (|i: u16| if i + 1 < n { i + 1 } else { 0 }, |i: u16| if i > 0 { i - 1 } else { n - 1 });
        for _ in 0..n {
            let here = height(i);
            if better(height(ahead(i)), here) {
                i = ahead(i);
            } else if better(height(behind(i)), here) {
                i = behind(i);
            } else {
                break;
            }
        }
        i
    }
}
