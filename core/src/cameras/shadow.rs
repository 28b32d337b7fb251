//! What an upright part hides of the floor from a camera: its shadow, as a lamp in the entrance pupil would throw it.
//!
//! Seen from above, the shadow of a prism is everything that its footprint passes over while it grows away from the
//! camera: from s₀ times its distance, where its lower end throws the floor's light off, to s₁ times, where its
//! upper end does. So its sides are sides of one of the two, or lines of sight that touch the footprint.

use heapless::Vec;

use super::patch::Patch;
use super::solids::{Solid, SolidShape};
use crate::geom::{StagePoint, StagePoint3, StageVector, polygon};
use crate::limits;

/// Longest shadow, in heights of the camera above the floor; where a part is taller than the camera stands high,
/// no more of its shadow counts.
const LONGEST: f32 = 256.0;
/// What rounding may do to a limit of a shadow, metres.
const ROUNDING_M: f32 = 5.0e-4;
/// Sides of a polygon's shadow.
const SIDES: usize = limits::HULL_VERTICES + 2;

/// A convex shadow on a level plane.
#[derive(Clone, Debug)]
pub(super) struct Shadow {
    shape: Shape,
}

#[derive(Clone, Debug)]
#[allow(clippy::large_enum_variant, reason = "there is no heap to put the sides on")]
enum Shape {
    /// The hull of two discs: near and far centre and radius.
    Round { near: (StagePoint, f32), far: (StagePoint, f32) },
    /// Unit vectors out of each side and how far along them it lies from the camera.
    Sides { eye: StagePoint, sides: Vec<(StageVector, f32), SIDES> },
}

impl Shadow {
    /// The shadow of a part on the plane at `height_m`, seen from `centre`.
    ///
    /// `None` for a part that throws none: it does not reach between the plane and the camera's height, or it stands
    /// round the camera, or it is a ring, whose shadow is not convex.
    pub(super) fn of(centre: StagePoint3, height_m: f32, solid: &Solid) -> Option<Self> {
        let above_m = centre.z - height_m;
        let bottom_m = solid.bottom_m.max(height_m);
        let top_m = solid.top_m.min(centre.z - above_m / LONGEST);
        if above_m <= 0.0 || bottom_m >= top_m {
            return None;
        }
        let eye = centre.on_floor();
        let growth = (above_m / (centre.z - bottom_m), above_m / (centre.z - top_m));
        let under = centre.z <= solid.top_m;
        match &solid.shape {
            SolidShape::Ring { .. } => None,
            SolidShape::Disc { centre, radius_m } => {
                let stands_round = under && eye.distance(*centre) <= *radius_m;
                let grown = |s: f32| (eye + (*centre - eye) * s, radius_m * s);
                let shape = Shape::Round { near: grown(growth.0), far: grown(growth.1) };
                (!stands_round).then_some(Self { shape })
            }
            SolidShape::Polygon(vertices) => {
                let stands_round = under && polygon::contains(vertices, eye);
                (!stands_round).then(|| Self { shape: Shape::Sides { eye, sides: sides(eye, vertices, growth) } })
            }
        }
    }

    /// True when every disc of `guard_m` about the places of a patch lies in the shadow: then so does all that is
    /// between its corners. Nearly always the disc round the patch says it.
    pub(super) fn holds(&self, patch: &Patch<'_>, guard_m: f32) -> bool {
        let margin_m = guard_m + ROUNDING_M;
        let within = |over_m: &dyn Fn(StagePoint) -> f32| {
            let middle_m = over_m(patch.middle().on_floor());
            middle_m + patch.reach_m() <= 0.0 || middle_m <= 0.0 && patch.outline().iter().all(|&p| over_m(p) <= 0.0)
        };
        match &self.shape {
            Shape::Round { near, far } => {
                Cone::inside(*near, *far, margin_m).is_some_and(|cone| within(&|p| cone.distance(p)))
            }
            Shape::Sides { eye, sides } => {
                let side = |(out, far_m): &(StageVector, f32)| within(&|p| out.dot(p - *eye) - (far_m - margin_m));
                !sides.is_empty() && sides.iter().all(side)
            }
        }
    }
}

/// The sides of the shadow of a convex polygon, counter-clockwise, that grows away from `eye`.
fn sides(eye: StagePoint, vertices: &[StagePoint], (near, far): (f32, f32)) -> Vec<(StageVector, f32), SIDES> {
    let mut sides = Vec::new();
    let last = vertices.last().copied().zip(vertices.iter().rev().nth(1).copied());
    let mut before = last.and_then(|(b, a)| side(eye, a, b)).map(|(_, far_m)| far_m);
    let around = vertices.last().copied().into_iter().chain(vertices.iter().copied());
    for (a, b) in around.zip(vertices.iter().copied()) {
        let Some((out, away_m)) = side(eye, a, b) else { continue };
        // A side that faces the camera limits the near end, one that faces away the far end; where one follows
        // the other, the line of sight through their corner is a side of the shadow.
        let touching = match (before.map(|m| m < 0.0), away_m < 0.0) {
            (Some(true), false) => (a - eye).unit().map(|way| -way.perp()),
            (Some(false), true) => (a - eye).unit().map(|way| way.perp()),
            _ => None,
        };
        // At most two lines of sight touch a convex polygon, so there is room.
        let _ = touching.map_or(Ok(()), |out| sides.push((out, 0.0)));
        let _ = sides.push((out, away_m * if away_m < 0.0 { near } else { far }));
        before = Some(away_m);
    }
    sides
}

/// The unit vector out of the side from `a` to `b`, and how far along it the side lies from `eye`.
fn side(eye: StagePoint, a: StagePoint, b: StagePoint) -> Option<(StageVector, f32)> {
    let out = -(b - a).unit()?.perp();
    Some((out, out.dot(a - eye)))
}

/// The hull of two discs.
struct Cone {
    near: StagePoint,
    near_m: f32,
    /// Unit vector towards the far disc.
    way: StageVector,
    length_m: f32,
    /// By how much the radius grows for each metre.
    slope: f32,
    /// √(1 − slope²).
    flank: f32,
}

impl Cone {
    /// All points whose disc of `margin_m` lies in the hull of two discs; `None` when there are none.
    ///
    /// The far disc is not the smaller one.
    fn inside((near, near_m): (StagePoint, f32), (far, far_m): (StagePoint, f32), margin_m: f32) -> Option<Self> {
        if far_m < margin_m {
            return None;
        }
        // A near disc smaller than the margin touches nothing: the first disc that counts is as large as it.
        let skip = if near_m < margin_m { (margin_m - near_m) / (far_m - near_m) } else { 0.0 };
        let near = near + (far - near) * skip;
        let near_m = (near_m - margin_m).max(0.0);
        let length_m = near.distance(far);
        let (far_m, way) = (far_m - margin_m, (far - near).unit().unwrap_or_default());
        // A far disc that holds the near one is all there is.
        let slope = (far_m - near_m) / length_m;
        if length_m == 0.0 || slope >= 1.0 {
            return Some(Self { near: far, near_m: far_m, way, length_m: 0.0, slope: 0.0, flank: 1.0 });
        }
        Some(Self { near, near_m, way, length_m, slope, flank: libm::sqrtf(1.0 - slope * slope) })
    }

    /// Distance from `p` to the hull, metres, negative inside: the least over the discs between the two.
    fn distance(&self, p: StagePoint) -> f32 {
        let d = p - self.near;
        let (along, across) = (self.way.dot(d), libm::fabsf(self.way.cross(d)));
        let at = (along + self.slope * across / self.flank).clamp(0.0, self.length_m);
        let (u, v) = (along - at, across);
        // Of a disc without a middle, the middle is the place itself.
        let from_middle = if self.length_m > 0.0 { libm::sqrtf(u * u + v * v) } else { d.length() };
        from_middle - self.near_m - self.slope * at
    }
}
