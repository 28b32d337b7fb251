//! Places and ways on the plan, in `f64` metres.

use std::ops::{Add, Mul, Sub};

use underfoot_core::geom::StagePoint;

/// A place, or a way from one to another.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct V {
    /// Metres towards stage left.
    pub x: f64,
    /// Metres upstage.
    pub y: f64,
}

/// A place or way by its two numbers.
pub const fn v(x: f64, y: f64) -> V {
    V { x, y }
}

impl V {
    /// Scalar product.
    pub fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y
    }

    /// Positive when `other` lies counter-clockwise.
    pub fn cross(self, other: Self) -> f64 {
        self.x * other.y - self.y * other.x
    }

    /// Length.
    pub fn length(self) -> f64 {
        self.x.hypot(self.y)
    }

    /// Distance to another place.
    pub fn distance(self, other: Self) -> f64 {
        (other - self).length()
    }

    /// A quarter turn counter-clockwise.
    pub fn perp(self) -> Self {
        v(-self.y, self.x)
    }

    /// The way of length 1; nothing for no way.
    pub fn unit(self) -> Option<Self> {
        let length = self.length();
        (length > 0.0).then(|| self * (1.0 / length))
    }

    /// Its direction, radians.
    pub fn angle(self) -> f64 {
        self.y.atan2(self.x)
    }

    /// The way of length 1 in a direction, radians.
    pub fn heading(angle: f64) -> Self {
        v(angle.cos(), angle.sin())
    }
}

impl From<StagePoint> for V {
    fn from(p: StagePoint) -> Self {
        v(p.x.into(), p.y.into())
    }
}

impl Add for V {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        v(self.x + other.x, self.y + other.y)
    }
}

impl Sub for V {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        v(self.x - other.x, self.y - other.y)
    }
}

impl Mul<f64> for V {
    type Output = Self;
    fn mul(self, by: f64) -> Self {
        v(self.x * by, self.y * by)
    }
}

/// Distance from `p` to the segment from `a` to `b`.
pub fn to_segment(p: V, a: V, b: V) -> f64 {
    let along = b - a;
    let whole = along.dot(along);
    let share = if whole > 0.0 { ((p - a).dot(along) / whole).clamp(0.0, 1.0) } else { 0.0 };
    p.distance(a + along * share)
}

/// Least distance between two segments; 0 when they meet.
pub fn between_segments((a, b): (V, V), (c, d): (V, V)) -> f64 {
    let side = |p: V, q: V, r: V| (q - p).cross(r - p);
    let crosses = side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0;
    if crosses {
        return 0.0;
    }
    [to_segment(a, c, d), to_segment(b, c, d), to_segment(c, a, b), to_segment(d, a, b)]
        .into_iter()
        .fold(f64::INFINITY, f64::min)
}

/// The convex hull, counter-clockwise, by Andrew's monotone chain (from memory).
pub fn hull(mut points: Vec<V>) -> Vec<V> {
    points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let half = |points: &mut dyn Iterator<Item = V>| {
        let mut chain: Vec<V> = Vec::new();
        for p in points {
            while let [.., a, b] = chain[..] {
                if (b - a).cross(p - b) > 0.0 {
                    break;
                }
                chain.pop();
            }
            chain.push(p);
        }
        chain.pop();
        chain
    };
    let mut all = half(&mut points.iter().copied());
    all.extend(half(&mut points.iter().rev().copied()));
    all
}
