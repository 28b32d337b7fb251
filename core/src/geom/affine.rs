//! The affine map between a canvas block and the stage.

use serde::{Deserialize, Serialize};

use super::{PixelPoint, StagePoint, StageVector};

/// Canvas pixels to stage metres: `stage = origin + x * per_px_x + y * per_px_y`.
///
/// Guarantees nothing by itself; [`Affine::inverse`] refuses maps that fold the floor flat.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Affine {
    /// Stage place of canvas point (0, 0).
    pub origin: StagePoint,
    /// Stage metres per canvas pixel to the right.
    pub per_px_x: StageVector,
    /// Stage metres per canvas pixel down.
    pub per_px_y: StageVector,
}

/// Stage metres to canvas pixels, the inverse of an [`Affine`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ToCanvas {
    origin: StagePoint,
    x: StageVector,
    y: StageVector,
}

impl Affine {
    /// Stage place of a canvas point.
    pub fn to_stage(&self, p: PixelPoint) -> StagePoint {
        self.origin + self.per_px_x * p.x + self.per_px_y * p.y
    }

    /// The map from stage to canvas, or `None` when the pixel axes are parallel, zero or not finite.
    pub fn inverse(&self) -> Option<ToCanvas> {
        let det = self.per_px_x.cross(self.per_px_y);
        if !(det.is_finite() && self.origin.is_finite()) || libm::fabsf(det) < 1e-12 {
            return None;
        }
        let k = 1.0 / det;
        Some(ToCanvas {
            origin: self.origin,
            x: StageVector::new(self.per_px_y.y * k, -self.per_px_y.x * k),
            y: StageVector::new(-self.per_px_x.y * k, self.per_px_x.x * k),
        })
    }
}

impl ToCanvas {
    /// Canvas place of a stage point.
    pub fn point(&self, p: StagePoint) -> PixelPoint {
        let v = p - self.origin;
        PixelPoint::new(self.x.dot(v), self.y.dot(v))
    }

    /// Canvas displacement (right, down) of a stage displacement, in pixels.
    pub fn vector(&self, v: StageVector) -> (f32, f32) {
        (self.x.dot(v), self.y.dot(v))
    }
}
