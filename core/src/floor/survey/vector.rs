//! Triples of numbers without a frame: the sums inside the fit mix both frames on purpose.

use crate::geom::{StagePoint3, TrackingPoint};

/// Three components.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Triple {
    pub(super) x: f32,
    pub(super) y: f32,
    pub(super) z: f32,
}

impl Triple {
    pub(super) const fn new(x: f32, y: f32, z: f32) -> Self {
        Self { x, y, z }
    }

    pub(super) fn plus(self, o: Self) -> Self {
        Self::new(self.x + o.x, self.y + o.y, self.z + o.z)
    }

    pub(super) fn minus(self, o: Self) -> Self {
        Self::new(self.x - o.x, self.y - o.y, self.z - o.z)
    }

    pub(super) fn times(self, k: f32) -> Self {
        Self::new(self.x * k, self.y * k, self.z * k)
    }

    pub(super) fn dot(self, o: Self) -> f32 {
        self.x * o.x + self.y * o.y + self.z * o.z
    }

    pub(super) fn length(self) -> f32 {
        libm::sqrtf(self.dot(self))
    }

    pub(super) fn cross(self, o: Self) -> Self {
        Self::new(self.y * o.z - self.z * o.y, self.z * o.x - self.x * o.z, self.x * o.y - self.y * o.x)
    }
}

impl From<StagePoint3> for Triple {
    fn from(p: StagePoint3) -> Self {
        Self::new(p.x, p.y, p.z)
    }
}

impl From<TrackingPoint> for Triple {
    fn from(p: TrackingPoint) -> Self {
        Self::new(p.x, p.y, p.z)
    }
}
