//! Parts as prisms, and where a ray on the plan goes through them.

use underfoot_core::show::{Layer, PropId};

use super::P2;

/// A footprint.
#[derive(Clone, Debug)]
pub enum Shape {
    /// Centre and radius.
    Disc(P2, f64),
    /// Centre, inner and outer radius.
    Ring(P2, f64, f64),
    /// Corners of a convex polygon, counter-clockwise.
    Polygon(Vec<P2>),
}

/// A part as it stands.
#[derive(Clone, Debug)]
pub struct Thing {
    /// Prop and index of the part.
    pub id: (PropId, u8),
    /// Where it is drawn.
    pub layer: Layer,
    /// True when one sees through it.
    pub transparent: bool,
    /// Its footprint.
    pub shape: Shape,
    /// Lower and upper end, metres.
    pub heights: (f64, f64),
}

impl Shape {
    /// Stretches of the ray `from` + λ `way` inside the footprint.
    pub fn stretches(&self, from: P2, way: P2) -> Vec<(f64, f64)> {
        match self {
            Self::Disc(centre, radius) => circle(from, way, *centre, *radius).into_iter().collect(),
            Self::Ring(centre, inner, outer) => {
                match (circle(from, way, *centre, *outer), circle(from, way, *centre, *inner)) {
                    (Some((a, b)), Some((c, d))) => vec![(a, c), (d, b)],
                    (Some(whole), None) => vec![whole],
                    _ => Vec::new(),
                }
            }
            Self::Polygon(corners) => polygon(from, way, corners).into_iter().collect(),
        }
    }

    /// Directions from `eye` in which the stretches change their kind: corners and tangents, as points.
    pub fn turning_points(&self, eye: P2) -> Vec<P2> {
        match self {
            Self::Disc(centre, radius) => tangents(eye, *centre, *radius),
            Self::Ring(centre, inner, outer) => {
                [tangents(eye, *centre, *inner), tangents(eye, *centre, *outer)].concat()
            }
            Self::Polygon(corners) => corners.clone(),
        }
    }

    /// Distance from `p` to the footprint, metres; 0 inside.
    pub fn distance(&self, p: P2) -> f64 {
        match self {
            Self::Disc(c, radius) => ((p.0 - c.0).hypot(p.1 - c.1) - radius).max(0.0),
            Self::Ring(c, inner, outer) => {
                let d = (p.0 - c.0).hypot(p.1 - c.1);
                (d - outer).max(inner - d).max(0.0)
            }
            Self::Polygon(corners) => {
                let sides = || corners.iter().zip(corners.iter().cycle().skip(1));
                let inside = sides().all(|(a, b)| (b.0 - a.0) * (p.1 - a.1) - (b.1 - a.1) * (p.0 - a.0) >= 0.0);
                if inside { 0.0 } else { sides().map(|(a, b)| to_side(p, *a, *b)).fold(f64::INFINITY, f64::min) }
            }
        }
    }
}

/// Distance from `p` to the segment from `a` to `b`.
pub(super) fn to_side(p: P2, a: P2, b: P2) -> f64 {
    let (u, v) = ((b.0 - a.0, b.1 - a.1), (p.0 - a.0, p.1 - a.1));
    let t = ((u.0 * v.0 + u.1 * v.1) / (u.0 * u.0 + u.1 * u.1)).clamp(0.0, 1.0);
    (v.0 - t * u.0).hypot(v.1 - t * u.1)
}

fn circle(from: P2, way: P2, centre: P2, radius: f64) -> Option<(f64, f64)> {
    let v = (from.0 - centre.0, from.1 - centre.1);
    let a = way.0 * way.0 + way.1 * way.1;
    let b = v.0 * way.0 + v.1 * way.1;
    let root = b * b - a * (v.0 * v.0 + v.1 * v.1 - radius * radius);
    (root > 0.0).then(|| ((-b - root.sqrt()) / a, (-b + root.sqrt()) / a))
}

fn polygon(from: P2, way: P2, corners: &[P2]) -> Option<(f64, f64)> {
    let (mut low, mut high) = (f64::NEG_INFINITY, f64::INFINITY);
    for (a, b) in corners.iter().zip(corners.iter().cycle().skip(1)) {
        let side = (b.0 - a.0, b.1 - a.1);
        let off = side.0 * (from.1 - a.1) - side.1 * (from.0 - a.0);
        let rate = side.0 * way.1 - side.1 * way.0;
        match rate {
            r if r > 0.0 => low = low.max(-off / r),
            r if r < 0.0 => high = high.min(-off / r),
            _ if off < 0.0 => return None,
            _ => {}
        }
    }
    (low < high).then_some((low, high))
}

fn tangents(eye: P2, centre: P2, radius: f64) -> Vec<P2> {
    let v = (centre.0 - eye.0, centre.1 - eye.1);
    let (square, r2) = (v.0 * v.0 + v.1 * v.1, radius * radius);
    if square <= r2 {
        return Vec::new();
    }
    let (along, across) = (1.0 - r2 / square, radius * (square - r2).sqrt() / square);
    [1.0, -1.0].map(|s| (eye.0 + v.0 * along - s * v.1 * across, eye.1 + v.1 * along + s * v.0 * across)).to_vec()
}
