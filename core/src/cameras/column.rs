//! The rectangle of a person as a camera has it, column by column.
//!
//! At `u` metres to the right of the rectangle's middle the line of sight runs over the plan from the camera
//! (λ 0) to the rectangle (λ 1) and on. A height z met at λ shows on the rectangle at Cz + (z - Cz) / λ, with
//! Cz the camera's height: similar triangles. A part met from λ in to λ out shows as one stretch of a column,
//! because the line of sight inside it is of one piece.

use super::body::{Bands, Body, Upright};
use super::solids::Solid;
use crate::geom::{StagePoint3, StageVector};

/// Lines of sight begin at this share of the way to the person: a camera inside a part sees only the part.
const FIRST: f32 = 1e-6;

/// A person's rectangle in front of a camera.
#[derive(Clone, Copy, Debug)]
pub(super) struct Aim {
    /// The camera.
    pub(super) centre: StagePoint3,
    /// How the rectangle stands.
    pub(super) upright: Upright,
    /// Heights between its bands, metres above the floor.
    pub(super) bands: Bands,
    /// Half its width, metres.
    pub(super) half_m: f32,
    /// Tangent of half the angle under which it is seen on the plan, and that angle's secant.
    slope: (f32, f32),
}

/// On which sides of a person a part may be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Sides {
    /// Some of it may be nearer.
    pub(super) nearer: bool,
    /// Some of it may be farther.
    pub(super) farther: bool,
}

impl Aim {
    /// `None` for a camera straight above or below the person, and for numbers that are not finite.
    pub(super) fn new(centre: StagePoint3, body: &Body) -> Option<Self> {
        let upright = body.upright(centre)?;
        let tangent = body.radius_m / upright.distance_m;
        let secant = libm::sqrtf(1.0 + tangent * tangent);
        let sound = centre.is_finite() && secant.is_finite() && body.top_m().is_finite();
        let slope = (tangent, secant);
        sound.then(|| Self { centre, upright, bands: body.bands(), half_m: body.radius_m, slope })
    }

    /// The line of sight on the plan through the column at `u_m`.
    pub(super) fn way(&self, u_m: f32) -> StageVector {
        self.upright.ahead * self.upright.distance_m + self.upright.across * u_m
    }

    /// Which sides a part may show on; `None` when its bounds prove that it misses the rectangle.
    pub(super) fn sides(&self, solid: &Solid) -> Option<Sides> {
        let (centre, radius_m) = solid.bounds();
        let to = centre - self.centre.on_floor();
        let (along_m, across_m) = (to.dot(self.upright.ahead), to.dot(self.upright.across));
        let far_m = along_m + radius_m;
        if far_m <= 0.0 || libm::fabsf(across_m) - along_m * self.slope.0 > radius_m * self.slope.1 {
            return None;
        }
        let distance_m = self.upright.distance_m;
        let near_m = (along_m - radius_m).max(FIRST * distance_m);
        // Heights on the rectangle, times what lies between camera and part: no division.
        let (below, above) = (solid.bottom_m - self.centre.z, solid.top_m - self.centre.z);
        let over = below * distance_m > (self.bands.top_m - self.centre.z) * pick(below < 0.0, near_m, far_m);
        let under = above * distance_m < (self.bands.feet_m - self.centre.z) * pick(above > 0.0, near_m, far_m);
        (!over && !under).then_some(Sides { nearer: near_m < distance_m, farther: far_m > distance_m })
    }

    /// The stretches of the column at `u_m` that a part takes from in front, metres above the floor.
    pub(super) fn nearer(&self, solid: &Solid, u_m: f32) -> impl Iterator<Item = (f32, f32)> {
        self.between(solid, u_m, (FIRST, 1.0))
    }

    /// The stretches of the column at `u_m` that a part takes from behind, metres above the floor.
    pub(super) fn farther(&self, solid: &Solid, u_m: f32) -> impl Iterator<Item = (f32, f32)> {
        self.between(solid, u_m, (1.0, f32::INFINITY))
    }

    fn between(&self, solid: &Solid, u_m: f32, (first, last): (f32, f32)) -> impl Iterator<Item = (f32, f32)> {
        let (eye_m, below, above) = (self.centre.z, solid.bottom_m - self.centre.z, solid.top_m - self.centre.z);
        let met = solid.crossings(self.centre.on_floor(), self.way(u_m));
        let cut = met.into_iter().map(move |(a, b)| (a.max(first), b.min(last))).filter(|(a, b)| a < b);
        // Below the eye things sink towards the camera and above it they rise.
        cut.map(move |(a, b)| (eye_m + below / pick(below < 0.0, a, b), eye_m + above / pick(above > 0.0, a, b)))
    }
}

fn pick(first: bool, a: f32, b: f32) -> f32 {
    if first { a } else { b }
}
