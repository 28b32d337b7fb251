//! A person as the pictures have it: an upright rectangle that faces the camera.

use crate::geom::{StagePoint, StagePoint3, StageVector};
use crate::props::physical;
use crate::show::cameras::LowerLine;
use crate::show::{PersonClass, Show};

/// Height of the head, from the top of a person down, metres.
pub const HEAD_M: f32 = 0.23;
/// Legs end at this share of the height.
pub const LEGS: f32 = 0.52;

/// An upright body at a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Body {
    /// Midpoint between the heels, or the seat's centre.
    pub at: StagePoint,
    /// Height of what carries the person, metres above the floor.
    pub base_m: f32,
    /// Stature, or total height when seated, metres.
    pub height_m: f32,
    /// Radius, metres.
    pub radius_m: f32,
}

/// Heights between the bands of a body, metres above the floor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bands {
    /// Where the legs begin: what carries the person.
    pub feet_m: f32,
    /// Where the legs end and the torso begins.
    pub hip_m: f32,
    /// Where the torso ends and the head begins; never below the hip.
    pub neck_m: f32,
    /// The top of the head.
    pub top_m: f32,
}

/// The vertical plane in which a body's rectangle stands, facing a camera.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Upright {
    /// The middle of the rectangle's foot.
    pub at: StagePoint,
    /// From the camera to the body on the floor plan, metres.
    pub distance_m: f32,
    /// Direction from the camera to the body on the floor plan, of unit length.
    pub ahead: StageVector,
    /// To the right in the picture, of unit length.
    pub across: StageVector,
}

impl Body {
    /// A person of a class at a place, on whatever carries people there.
    pub fn of(show: &Show, class: &PersonClass, at: StagePoint) -> Self {
        let base_m = physical::carries(show, at).map_or(0.0, |(_, top_m)| top_m);
        Self { at, base_m, height_m: class.height_m, radius_m: class.radius_m }
    }

    /// Height of the head's top, metres above the floor.
    pub const fn top_m(&self) -> f32 {
        self.base_m + self.height_m
    }

    /// The heights between legs, torso and head.
    pub const fn bands(&self) -> Bands {
        let hip_m = self.base_m + LEGS * self.height_m;
        let neck_m = (self.top_m() - HEAD_M).max(hip_m);
        Bands { feet_m: self.base_m, hip_m, neck_m, top_m: self.top_m() }
    }

    /// Height of a shot's lower line on this body, metres above what carries it.
    pub const fn lower_line_m(&self, line: LowerLine) -> f32 {
        let share = match line {
            LowerLine::Feet => 0.0,
            LowerLine::Knee => 0.28,
            LowerLine::Waist => 0.60,
            LowerLine::Chest => 0.72,
        };
        share * self.height_m
    }

    /// How the body's rectangle stands for a camera; `None` when the camera is straight above or below it.
    pub fn upright(&self, centre: StagePoint3) -> Option<Upright> {
        let way = self.at - centre.on_floor();
        let ahead = way.unit()?;
        Some(Upright { at: self.at, distance_m: way.length(), ahead, across: -ahead.perp() })
    }
}

impl Upright {
    /// The place `u_m` metres to the right of the middle at height `z_m` above the floor.
    pub fn point(&self, u_m: f32, z_m: f32) -> StagePoint3 {
        (self.at + self.across * u_m).at_height(z_m)
    }
}
