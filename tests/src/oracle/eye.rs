//! A camera and upright bodies in f64, point by point: what a picture holds, and what a line of sight meets.
//!
//! Written from the definitions and sharing no code with the core: a pinhole projects by division, its lens bends by
//! the Brown–Conrady formula as OpenCV's documentation of `projectPoints` has it, and a ray is followed through a
//! body side by side.

/// A place or direction: stage X, Y, Z.
pub type Triple = [f64; 3];

/// A pinhole with its picture.
#[derive(Clone, Debug)]
pub struct Eye {
    /// The entrance pupil.
    pub at: Triple,
    right: Triple,
    up: Triple,
    ahead: Triple,
    half: (f64, f64),
    lens: [f64; 5],
}

/// Farther from the axis than this nothing is in a picture of these tests, in tangents: a polynomial means nothing there.
const FARTHEST: f64 = 1.5;

impl Eye {
    /// A camera at `at` that looks at `look`, not rolled, with half its picture's width and height in tangents and
    /// the lens's k1 k2 p1 p2 k3.
    pub fn looking(at: Triple, look: Triple, half: (f64, f64), lens: [f64; 5]) -> Self {
        let ahead = unit(minus(look, at));
        let right = unit(cross(ahead, [0.0, 0.0, 1.0]));
        Self { at, right, up: cross(right, ahead), ahead, half, lens }
    }

    /// Tilted up about its own right, then panned to the left about the vertical, degrees; then zoomed out by `wide`.
    pub fn turned(&self, pan_deg: f64, tilt_deg: f64, wide: f64) -> Self {
        let about = |v| around(around(v, self.right, tilt_deg.to_radians()), [0.0, 0.0, 1.0], pan_deg.to_radians());
        let (right, up, ahead) = (about(self.right), about(self.up), about(self.ahead));
        Self { right, up, ahead, half: (self.half.0 * wide, self.half.1 * wide), ..self.clone() }
    }

    /// The same picture from another place.
    pub fn moved(&self, at: Triple) -> Self {
        Self { at, ..self.clone() }
    }

    /// Tangents to the right and up of a place before the lens bends them; `None` behind the camera.
    pub fn tangents(&self, q: Triple) -> Option<(f64, f64)> {
        let v = minus(q, self.at);
        let depth = dot(v, self.ahead);
        (depth > 0.0).then(|| (dot(v, self.right) / depth, dot(v, self.up) / depth))
    }

    /// True when the place is in the picture.
    pub fn has(&self, q: Triple) -> bool {
        let Some((x, up)) = self.tangents(q) else { return false };
        let (y, [k1, k2, p1, p2, k3]) = (-up, self.lens);
        let r2 = x * x + y * y;
        if r2 > FARTHEST * FARTHEST {
            return false;
        }
        let radial = 1.0 + r2 * (k1 + r2 * (k2 + r2 * k3));
        let bent_x = x * radial + 2.0 * p1 * x * y + p2 * (r2 + 2.0 * x * x);
        let bent_y = y * radial + p1 * (r2 + 2.0 * y * y) + 2.0 * p2 * x * y;
        bent_x.abs() <= self.half.0 && bent_y.abs() <= self.half.1
    }
}

/// An upright body.
#[derive(Clone, Debug)]
pub struct Upright {
    /// Its footprint.
    pub foot: Foot,
    /// Lower and upper end.
    pub heights: (f64, f64),
}

/// The footprint of an upright body.
#[derive(Clone, Debug)]
pub enum Foot {
    /// Centre and radius.
    Disc([f64; 2], f64),
    /// A convex polygon, counter-clockwise.
    Polygon(Vec<[f64; 2]>),
}

impl Upright {
    /// True when the place is in the body.
    pub fn holds(&self, p: Triple) -> bool {
        let inside = match &self.foot {
            Foot::Disc(centre, radius) => (p[0] - centre[0]).hypot(p[1] - centre[1]) <= *radius,
            Foot::Polygon(corners) => corners
                .iter()
                .zip(corners.iter().cycle().skip(1))
                .all(|(a, b)| (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]) >= 0.0),
        };
        inside && self.heights.0 <= p[2] && p[2] <= self.heights.1
    }

    /// True when the straight way from `a` to `b` meets the body.
    pub fn between(&self, a: Triple, b: Triple) -> bool {
        let (mut low, mut high) = (0.0_f64, 1.0_f64);
        // Where value + slope × share is not negative.
        let mut keep = |value: f64, slope: f64| {
            if slope > 0.0 {
                low = low.max(-value / slope);
            } else if slope < 0.0 {
                high = high.min(-value / slope);
            } else if value < 0.0 {
                high = -1.0;
            }
        };
        let d = minus(b, a);
        keep(a[2] - self.heights.0, d[2]);
        keep(self.heights.1 - a[2], -d[2]);
        match &self.foot {
            Foot::Polygon(corners) => {
                for (i, p) in corners.iter().enumerate() {
                    let q = corners[(i + 1) % corners.len()];
                    let (ex, ey) = (q[0] - p[0], q[1] - p[1]);
                    keep(ex * (a[1] - p[1]) - ey * (a[0] - p[0]), ex * d[1] - ey * d[0]);
                }
            }
            Foot::Disc(centre, radius) => {
                let (x, y) = (a[0] - centre[0], a[1] - centre[1]);
                let (aa, bb, cc) = (d[0] * d[0] + d[1] * d[1], x * d[0] + y * d[1], x * x + y * y - radius * radius);
                let root = bb * bb - aa * cc;
                if root < 0.0 {
                    return false;
                }
                low = low.max((-bb - root.sqrt()) / aa);
                high = high.min((-bb + root.sqrt()) / aa);
            }
        }
        low <= high
    }
}

/// `a` less `b`.
pub fn minus(a: Triple, b: Triple) -> Triple {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

fn dot(a: Triple, b: Triple) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn cross(a: Triple, b: Triple) -> Triple {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

fn unit(a: Triple) -> Triple {
    let length = dot(a, a).sqrt();
    [a[0] / length, a[1] / length, a[2] / length]
}

/// `v` turned about the unit vector `axis` (Rodrigues 1840).
fn around(v: Triple, axis: Triple, angle: f64) -> Triple {
    let (sin, cos) = angle.sin_cos();
    let (across, along) = (cross(axis, v), dot(axis, v) * (1.0 - cos));
    [0, 1, 2].map(|i| v[i] * cos + across[i] * sin + axis[i] * along)
}

/// Places close together on the border of a convex outline grown by `by`, and some inside it.
pub fn grown(outline: &[[f64; 2]], by: f64) -> Vec<[f64; 2]> {
    let mut points = Vec::new();
    let count = outline.len() as f64;
    let middle = outline.iter().fold([0.0, 0.0], |sum, p| [sum[0] + p[0] / count, sum[1] + p[1] / count]);
    for (i, p) in outline.iter().enumerate() {
        points.extend((0..24).map(|k| {
            let (sin, cos) = (f64::from(k) * std::f64::consts::TAU / 24.0).sin_cos();
            [p[0] + by * cos, p[1] + by * sin]
        }));
        let q = outline[(i + 1) % outline.len()];
        let (x, y) = (q[0] - p[0], q[1] - p[1]);
        let length = x.hypot(y);
        if length > 0.0 {
            let (ox, oy) = (y / length * by, -x / length * by);
            points.extend((0..=12).map(|k| {
                let share = f64::from(k) / 12.0;
                [p[0] + x * share + ox, p[1] + y * share + oy]
            }));
        }
    }
    let inner: Vec<_> = [0.0, 0.4, 0.8]
        .into_iter()
        .flat_map(|k| points.iter().step_by(3).map(move |p| (k, *p)))
        .map(|(k, p)| [middle[0] + (p[0] - middle[0]) * k, middle[1] + (p[1] - middle[1]) * k])
        .collect();
    points.extend(inner);
    points
}
