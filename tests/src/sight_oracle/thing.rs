//! A thing that rays meet.

use super::{Drawn, Met, Place};

/// A footprint on the floor.
#[derive(Clone, Debug)]
pub enum Foot {
    /// A disc: centre and radius.
    Disc([f64; 2], f64),
    /// A ring: centre, inner and outer radius, and the gap's middle and half, radians; half 0 for no gap.
    Ring([f64; 2], f64, f64, (f64, f64)),
    /// A polygon.
    Polygon(Vec<[f64; 2]>),
}

/// An upright prism, cylinder or ring.
#[derive(Clone, Debug)]
pub struct Thing {
    /// Its footprint.
    pub foot: Foot,
    /// Its lower end.
    pub low: f64,
    /// Its upper end.
    pub high: f64,
    /// Where it is drawn.
    pub drawn: Drawn,
    /// True when one can see through it.
    pub glass: bool,
}

impl Foot {
    /// A disc that holds it.
    fn about(&self) -> ([f64; 2], f64) {
        match self {
            Self::Disc(c, r) | Self::Ring(c, _, r, _) => (*c, *r),
            Self::Polygon(corners) => {
                let first = corners[0];
                (first, corners.iter().map(|p| (p[0] - first[0]).hypot(p[1] - first[1])).fold(0.0, f64::max))
            }
        }
    }

    /// False when the plan line `o` + t `d` surely passes it by.
    fn may_meet(&self, o: [f64; 2], d: [f64; 2]) -> bool {
        let (c, r) = self.about();
        let aside = (c[0] - o[0]) * d[1] - (c[1] - o[1]) * d[0];
        aside.abs() <= 1.01 * r * d[0].hypot(d[1])
    }

    fn holds(&self, [x, y]: [f64; 2]) -> bool {
        match self {
            Self::Disc(c, r) => (x - c[0]).hypot(y - c[1]) < *r,
            Self::Ring(c, inner, outer, (middle, half)) => {
                let (dx, dy) = (x - c[0], y - c[1]);
                let radius = dx.hypot(dy);
                let mut off = (dy.atan2(dx) - middle).rem_euclid(std::f64::consts::TAU);
                off = off.min(std::f64::consts::TAU - off);
                radius > *inner && radius < *outer && off > *half
            }
            Self::Polygon(corners) => {
                // How often a ray to the right crosses the sides.
                let sides = corners.iter().zip(corners.iter().cycle().skip(1));
                let crossed = sides
                    .filter(|(a, b)| (a[1] > y) != (b[1] > y) && x < a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0]));
                crossed.count() % 2 == 1
            }
        }
    }

    /// Every t at which the plan ray `o` + t `d` may pass a side.
    fn passes(&self, o: [f64; 2], d: [f64; 2], add: &mut impl FnMut(f64)) {
        match self {
            Self::Disc(c, r) => cylinder([o[0] - c[0], o[1] - c[1]], d, *r, add),
            Self::Ring(c, inner, outer, (middle, half)) => {
                let from = [o[0] - c[0], o[1] - c[1]];
                cylinder(from, d, *inner, add);
                cylinder(from, d, *outer, add);
                for edge in [middle - half, middle + half] {
                    let normal = [-edge.sin(), edge.cos()];
                    plane(from, d, normal, add);
                }
            }
            Self::Polygon(corners) => {
                for (a, b) in corners.iter().zip(corners.iter().cycle().skip(1)) {
                    plane([o[0] - a[0], o[1] - a[1]], d, [b[1] - a[1], a[0] - b[0]], add);
                }
            }
        }
    }
}

fn plane(from: [f64; 2], d: [f64; 2], normal: [f64; 2], add: &mut impl FnMut(f64)) {
    add(-(from[0] * normal[0] + from[1] * normal[1]) / (d[0] * normal[0] + d[1] * normal[1]));
}

fn cylinder(from: [f64; 2], d: [f64; 2], r: f64, add: &mut impl FnMut(f64)) {
    let a = d[0] * d[0] + d[1] * d[1];
    let b = 2.0 * (from[0] * d[0] + from[1] * d[1]);
    let c = from[0] * from[0] + from[1] * from[1] - r * r;
    let root = (b * b - 4.0 * a * c).sqrt();
    add((-b - root) / (2.0 * a));
    add((-b + root) / (2.0 * a));
}

impl Thing {
    /// Where the ray from `eye` through `q` is inside the thing.
    pub fn met(&self, eye: Place, q: Place) -> Met {
        let d = [q[0] - eye[0], q[1] - eye[1], q[2] - eye[2]];
        if !self.foot.may_meet([eye[0], eye[1]], [d[0], d[1]]) {
            return Met::default();
        }
        let mut cuts = [0.0; 48];
        let mut count = 2;
        cuts[1] = 1.0;
        let mut add = |t: f64| {
            if t > 0.0 && t < 1e6 {
                cuts[count] = t;
                count += 1;
            }
        };
        add((self.low - eye[2]) / d[2]);
        add((self.high - eye[2]) / d[2]);
        self.foot.passes([eye[0], eye[1]], [d[0], d[1]], &mut add);
        let cuts = &mut cuts[..count];
        cuts.sort_unstable_by(f64::total_cmp);
        let mut met = Met::default();
        for pair in cuts.windows(2) {
            let t = (pair[0] + pair[1]) / 2.0;
            let p = [eye[0] + t * d[0], eye[1] + t * d[1]];
            let z = eye[2] + t * d[2];
            if z > self.low && z < self.high && self.foot.holds(p) {
                met.before |= t < 1.0;
                met.beyond |= t > 1.0;
            }
        }
        met
    }
}
