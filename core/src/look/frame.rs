//! A local frame on the floor: ahead and left of somebody or something.

use crate::geom::{StagePoint, StageVector};
use crate::units::Angle;

/// An origin and the two unit directions of a thing that faces somewhere.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    /// Its place.
    pub origin: StagePoint,
    /// The way it faces.
    pub ahead: StageVector,
    /// A quarter turn counter-clockwise from `ahead`.
    pub left: StageVector,
}

impl Frame {
    /// The frame at `origin` that faces `facing_deg` degrees counter-clockwise from stage left (+X).
    pub fn facing(origin: StagePoint, facing_deg: f32) -> Self {
        Self::turned(origin, Angle::from_degrees(facing_deg))
    }

    /// The frame at `origin` whose ahead is +X turned counter-clockwise by `turn`.
    pub fn turned(origin: StagePoint, turn: Angle) -> Self {
        let (sin, cos) = turn.sin_cos();
        Self::along(origin, StageVector::new(cos, sin))
    }

    /// The frame at `origin` that faces along the unit vector `ahead`.
    pub const fn along(origin: StagePoint, ahead: StageVector) -> Self {
        Self { origin, ahead, left: ahead.perp() }
    }

    /// The stage place `ahead_m` ahead and `left_m` to the left of the origin.
    pub fn at(&self, ahead_m: f32, left_m: f32) -> StagePoint {
        self.origin + self.ahead * ahead_m + self.left * left_m
    }

    /// The same directions at another place, given ahead and left of this one.
    pub fn moved(&self, ahead_m: f32, left_m: f32) -> Self {
        Self { origin: self.at(ahead_m, left_m), ..*self }
    }
}
