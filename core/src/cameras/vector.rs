//! Triples of stage components, for axes and rotations.

use crate::geom::StagePoint3;

/// Components along the stage's X, Y and Z.
pub(super) type Triple = [f32; 3];

pub(super) fn dot([ax, ay, az]: Triple, [bx, by, bz]: Triple) -> f32 {
    ax * bx + ay * by + az * bz
}

pub(super) fn cross([ax, ay, az]: Triple, [bx, by, bz]: Triple) -> Triple {
    [ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx]
}

pub(super) fn times([x, y, z]: Triple, k: f32) -> Triple {
    [x * k, y * k, z * k]
}

pub(super) fn plus([ax, ay, az]: Triple, [bx, by, bz]: Triple) -> Triple {
    [ax + bx, ay + by, az + bz]
}

pub(super) fn length(a: Triple) -> f32 {
    libm::sqrtf(dot(a, a))
}

/// The unit vector; `None` for no length or a length that is not finite.
pub(super) fn unit(a: Triple) -> Option<Triple> {
    let length = length(a);
    (length > 0.0 && length.is_finite()).then(|| times(a, 1.0 / length))
}

/// From `a` to `b`.
pub(super) fn between(a: StagePoint3, b: StagePoint3) -> Triple {
    [b.x - a.x, b.y - a.y, b.z - a.z]
}

/// `p` moved by `v`.
pub(super) fn moved(p: StagePoint3, [x, y, z]: Triple) -> StagePoint3 {
    StagePoint3::new(p.x + x, p.y + y, p.z + z)
}

/// `v` turned by the angle with this sine and cosine, counter-clockwise seen against the unit vector `axis`
/// (Rodrigues 1840).
pub(super) fn turned(v: Triple, axis: Triple, (sin, cos): (f32, f32)) -> Triple {
    let along = times(axis, dot(axis, v) * (1.0 - cos));
    plus(plus(times(v, cos), times(cross(axis, v), sin)), along)
}
