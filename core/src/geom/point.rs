//! Points and vectors. A place and a displacement are different types, and so are the two frames.
//!
//! Stage: metres, +X stage left, +Y upstage, +Z up, origin at the floor's centre on the LED surface.
//! Canvas: pixels, x right, y down, pixel (0, 0) has its centre at (0.5, 0.5).

use core::ops::{Add, Mul, Neg, Sub};

use serde::{Deserialize, Serialize};

/// A place on the stage floor, in metres.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct StagePoint {
    /// Metres towards stage left.
    pub x: f32,
    /// Metres upstage.
    pub y: f32,
}

/// A place in stage space, in metres.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct StagePoint3 {
    /// Metres towards stage left.
    pub x: f32,
    /// Metres upstage.
    pub y: f32,
    /// Metres above the LED surface.
    pub z: f32,
}

/// A place in the camera tracking system's frame, in metres: right-handed, Z up.
///
/// Only a survey turns it into a place on the stage.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct TrackingPoint {
    /// Metres along the tracking system's X.
    pub x: f32,
    /// Metres along its Y.
    pub y: f32,
    /// Metres up.
    pub z: f32,
}

/// A displacement on the stage floor, in metres.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct StageVector {
    /// Metres towards stage left.
    pub x: f32,
    /// Metres upstage.
    pub y: f32,
}

/// A place on a canvas, in pixels.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct PixelPoint {
    /// Pixels to the right of the canvas's left edge.
    pub x: f32,
    /// Pixels below the canvas's top edge.
    pub y: f32,
}

impl StagePoint {
    /// A place `x_m` metres towards stage left and `y_m` metres upstage.
    pub const fn new(x_m: f32, y_m: f32) -> Self {
        Self { x: x_m, y: y_m }
    }

    /// Distance to `other` in metres.
    pub fn distance(self, other: Self) -> f32 {
        (other - self).length()
    }

    /// The same place at height `z_m`.
    pub const fn at_height(self, z_m: f32) -> StagePoint3 {
        StagePoint3 { x: self.x, y: self.y, z: z_m }
    }

    /// True when both coordinates are finite.
    pub const fn is_finite(self) -> bool {
        self.x.is_finite() && self.y.is_finite()
    }
}

impl StagePoint3 {
    /// A place in stage space, metres.
    pub const fn new(x_m: f32, y_m: f32, z_m: f32) -> Self {
        Self { x: x_m, y: y_m, z: z_m }
    }

    /// The place on the floor straight below.
    pub const fn on_floor(self) -> StagePoint {
        StagePoint::new(self.x, self.y)
    }

    /// True when all coordinates are finite.
    pub const fn is_finite(self) -> bool {
        self.x.is_finite() && self.y.is_finite() && self.z.is_finite()
    }
}

impl TrackingPoint {
    /// A place in the tracking system's frame, metres.
    pub const fn new(x_m: f32, y_m: f32, z_m: f32) -> Self {
        Self { x: x_m, y: y_m, z: z_m }
    }

    /// True when all coordinates are finite.
    pub const fn is_finite(self) -> bool {
        self.x.is_finite() && self.y.is_finite() && self.z.is_finite()
    }
}

impl StageVector {
    /// A displacement of `x_m` metres towards stage left and `y_m` metres upstage.
    pub const fn new(x_m: f32, y_m: f32) -> Self {
        Self { x: x_m, y: y_m }
    }

    /// Length in metres.
    pub fn length(self) -> f32 {
        libm::sqrtf(self.dot(self))
    }

    /// Scalar product.
    pub const fn dot(self, other: Self) -> f32 {
        self.x * other.x + self.y * other.y
    }

    /// Signed area of the parallelogram, positive when `other` lies counter-clockwise (seen from above).
    pub const fn cross(self, other: Self) -> f32 {
        self.x * other.y - self.y * other.x
    }

    /// The vector turned a quarter counter-clockwise, seen from above.
    pub const fn perp(self) -> Self {
        Self { x: -self.y, y: self.x }
    }

    /// The unit vector, or `None` when the length is zero or not finite.
    pub fn unit(self) -> Option<Self> {
        let length = self.length();
        (length > 0.0 && length.is_finite()).then(|| self * (1.0 / length))
    }
}

impl PixelPoint {
    /// A place on a canvas.
    pub const fn new(x_px: f32, y_px: f32) -> Self {
        Self { x: x_px, y: y_px }
    }
}

impl Sub for StagePoint {
    type Output = StageVector;
    fn sub(self, other: Self) -> StageVector {
        StageVector::new(self.x - other.x, self.y - other.y)
    }
}

impl Add<StageVector> for StagePoint {
    type Output = Self;
    fn add(self, v: StageVector) -> Self {
        Self::new(self.x + v.x, self.y + v.y)
    }
}

impl Sub<StageVector> for StagePoint {
    type Output = Self;
    fn sub(self, v: StageVector) -> Self {
        Self::new(self.x - v.x, self.y - v.y)
    }
}

impl Add for StageVector {
    type Output = Self;
    fn add(self, v: Self) -> Self {
        Self::new(self.x + v.x, self.y + v.y)
    }
}

impl Sub for StageVector {
    type Output = Self;
    fn sub(self, v: Self) -> Self {
        Self::new(self.x - v.x, self.y - v.y)
    }
}

impl Mul<f32> for StageVector {
    type Output = Self;
    fn mul(self, k: f32) -> Self {
        Self::new(self.x * k, self.y * k)
    }
}

impl Neg for StageVector {
    type Output = Self;
    fn neg(self) -> Self {
        Self::new(-self.x, -self.y)
    }
}
