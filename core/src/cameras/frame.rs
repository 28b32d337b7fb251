//! Rectangles in a picture, measured in tangents.

use crate::units::Angle;

/// Farthest that a widened edge goes: as good as a right angle.
const WIDEST: f32 = 1.0e4;

/// A rectangle in a picture: sideways and upward distance as a share of the distance along the view.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rect {
    /// Left edge; negative when it is left of the axis.
    pub left: f32,
    /// Right edge.
    pub right: f32,
    /// Lower edge; negative when it is below the axis.
    pub bottom: f32,
    /// Upper edge.
    pub top: f32,
}

impl Rect {
    /// A rectangle about the axis.
    pub const fn centred(width: f32, height: f32) -> Self {
        Self { left: -width / 2.0, right: width / 2.0, bottom: -height / 2.0, top: height / 2.0 }
    }

    /// Width.
    pub const fn width(&self) -> f32 {
        self.right - self.left
    }

    /// Height.
    pub const fn height(&self) -> f32 {
        self.top - self.bottom
    }

    /// True when the point lies inside or on an edge.
    pub const fn contains(&self, x: f32, y: f32) -> bool {
        x >= self.left && x <= self.right && y >= self.bottom && y <= self.top
    }

    /// Each edge moved in by `share` of the width or height.
    pub const fn inset(&self, share: f32) -> Self {
        let (across, down) = (self.width() * share, self.height() * share);
        Self { left: self.left + across, right: self.right - across, bottom: self.bottom + down, top: self.top - down }
    }

    /// Every coordinate times `k`: what the same sensor sees at a focal length divided by `k`.
    pub const fn scaled(&self, k: f32) -> Self {
        Self { left: self.left * k, right: self.right * k, bottom: self.bottom * k, top: self.top * k }
    }

    /// The least rectangle that holds both.
    pub const fn with(&self, other: &Self) -> Self {
        Self {
            left: self.left.min(other.left),
            right: self.right.max(other.right),
            bottom: self.bottom.min(other.bottom),
            top: self.top.max(other.top),
        }
    }

    /// A rectangle that holds every direction within `angle` of a direction in this one.
    ///
    /// A direction `v` above the plane through the view and the horizontal moves by asin(sin angle / cos v) at
    /// most, seen in that plane. The rectangle takes the largest v that it holds for all of an edge.
    pub fn widened(&self, angle: Angle) -> Self {
        let far = |a: f32, b: f32| libm::fabsf(a).max(libm::fabsf(b));
        let (x, y) = (far(self.left, self.right), far(self.bottom, self.top));
        let sine = libm::sinf(angle.to_radians());
        let across = libm::asinf((sine * libm::sqrtf(1.0 + y * y)).min(1.0));
        let down = libm::asinf((sine * libm::sqrtf(1.0 + x * x)).min(1.0));
        Self {
            left: -farther(-self.left, across),
            right: farther(self.right, across),
            bottom: -farther(-self.bottom, down),
            top: farther(self.top, down),
        }
    }
}

/// The tangent of an angle that is `turn` radians farther out than the one with tangent `edge`.
fn farther(edge: f32, turn: f32) -> f32 {
    let angle = libm::atanf(edge) + turn;
    if angle >= core::f32::consts::FRAC_PI_2 { WIDEST } else { libm::tanf(angle).min(WIDEST) }
}

/// What a picture holds, in undistorted tangents. Without distortion both rectangles are the same.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    /// What is in the picture however the lens bends its edges.
    pub inner: Rect,
    /// Round everything that may be in the picture.
    pub outer: Rect,
}

impl Frame {
    /// The frame of a lens that bends nothing.
    pub const fn straight(rect: Rect) -> Self {
        Self { inner: rect, outer: rect }
    }
}
