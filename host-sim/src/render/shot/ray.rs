//! Rays, and where they pass through upright things.

/// A place or a way in stage space, metres.
pub(super) type V3 = [f64; 3];

/// A line of sight. Its way reaches one metre along the camera's axis, so that a share of it is a depth.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ray {
    /// The camera's centre.
    pub(super) from: V3,
    /// The way, not of unit length.
    pub(super) way: V3,
}

impl Ray {
    /// The place at a depth, metres.
    #[inline(always)]
    pub(super) fn at(&self, depth: f64) -> V3 {
        [0, 1, 2].map(|i| self.from[i] + self.way[i] * depth)
    }

    /// Depth at which the ray meets the level plane at height `z`, when that lies ahead.
    #[inline(always)]
    pub(super) fn level(&self, z: f64) -> Option<f64> {
        let depth = (z - self.from[2]) / self.way[2];
        (depth.is_finite() && depth > 0.0).then_some(depth)
    }
}

/// Scalar product. As its neighbours, asked millions of times a picture.
#[inline(always)]
pub(super) fn dot(a: V3, b: V3) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// A stretch of a ray inside something, with the face through which it enters.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Span {
    /// Depth of entry, metres.
    pub(super) enter: f64,
    /// Depth of leaving, metres.
    pub(super) leave: f64,
    /// Unit vector out of the face of entry.
    pub(super) normal: V3,
}

impl Span {
    /// A ray whole.
    pub(super) const WHOLE: Self = Self { enter: f64::NEG_INFINITY, leave: f64::INFINITY, normal: [0.0, 0.0, 1.0] };

    /// What is left of the span in the half space `normal · p <= offset`; `None` when nothing is.
    #[inline(always)]
    pub(super) fn clipped(self, ray: &Ray, normal: V3, offset: f64) -> Option<Self> {
        let (rate, over) = (dot(normal, ray.way), dot(normal, ray.from) - offset);
        let mut rest = self;
        if rate == 0.0 {
            return (over <= 0.0).then_some(rest);
        }
        let depth = -over / rate;
        if rate < 0.0 && depth > rest.enter {
            (rest.enter, rest.normal) = (depth, normal);
        } else if rate > 0.0 && depth < rest.leave {
            rest.leave = depth;
        }
        (rest.enter < rest.leave).then_some(rest)
    }

    /// What is left of the span between two depths, entered through a face with `normal` there.
    pub(super) fn between(self, (from, to): (f64, f64), normal: impl FnOnce(f64) -> V3) -> Option<Self> {
        let mut rest = self;
        if from > rest.enter {
            (rest.enter, rest.normal) = (from, normal(from));
        }
        rest.leave = rest.leave.min(to);
        (rest.enter < rest.leave).then_some(rest)
    }
}

/// Depths between which a ray is inside the upright cylinder of `radius` about (`x`, `y`).
pub(super) fn cylinder(ray: &Ray, (x, y): (f64, f64), radius: f64) -> Option<(f64, f64)> {
    let (dx, dy) = (ray.from[0] - x, ray.from[1] - y);
    let a = ray.way[0] * ray.way[0] + ray.way[1] * ray.way[1];
    let c = dx * dx + dy * dy - radius * radius;
    if a == 0.0 {
        return (c <= 0.0).then_some((f64::NEG_INFINITY, f64::INFINITY));
    }
    let half = (dx * ray.way[0] + dy * ray.way[1]) / a;
    let root = half * half - c / a;
    (root > 0.0).then(|| (-half - root.sqrt(), -half + root.sqrt()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ray_through_the_middle_of_a_cylinder_is_a_diameter_inside() {
        let ray = Ray { from: [0.0, -4.0, 1.0], way: [0.0, 1.0, 0.0] };
        assert_eq!(cylinder(&ray, (0.0, 1.0), 0.5), Some((4.5, 5.5)));
        assert_eq!(cylinder(&ray, (0.6, 1.0), 0.5), None);
        // A chord 0.3 off the middle of radius 0.5 is 2 * 0.4 long: 3-4-5.
        let (enter, leave) = cylinder(&ray, (0.3, 1.0), 0.5).unwrap();
        assert!((leave - enter - 0.8).abs() < 1e-12);
    }

    #[test]
    fn half_spaces_cut_a_ray_and_name_the_face_of_entry() {
        let ray = Ray { from: [0.0, 0.0, 3.0], way: [0.0, 1.0, -0.5] };
        let below = Span::WHOLE.clipped(&ray, [0.0, 0.0, 1.0], 1.0).unwrap();
        assert_eq!((below.enter, below.normal), (4.0, [0.0, 0.0, 1.0]));
        assert!(below.clipped(&ray, [0.0, 1.0, 0.0], 3.0).is_none());
    }
}
