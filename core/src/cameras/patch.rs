//! A piece of floor that is shown or hidden whole.

use crate::geom::{StagePoint, StagePoint3};
use crate::show::Show;

/// All that a mark lights or darkens, as a convex outline and the heights it may lie at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Patch<'a> {
    outline: &'a [StagePoint],
    low_m: f32,
    high_m: f32,
    middle: StagePoint,
    reach_m: f32,
}

impl<'a> Patch<'a> {
    /// A convex outline on the floor.
    pub fn on_floor(outline: &'a [StagePoint]) -> Self {
        let count = outline.len().max(1) as f32;
        let sum = outline.iter().fold((0.0, 0.0), |(x, y), p| (x + p.x, y + p.y));
        let middle = StagePoint::new(sum.0 / count, sum.1 / count);
        let reach_m = outline.iter().map(|p| p.distance(middle)).fold(0.0, f32::max);
        Self { outline, low_m: 0.0, high_m: 0.0, middle, reach_m }
    }

    /// A convex outline as the blocks of a show have it: at the height of every block that it touches.
    pub fn on(show: &Show, outline: &'a [StagePoint]) -> Self {
        let flat = Self::on_floor(outline);
        let touched = |p: StagePoint| show.blocks.iter().filter(move |b| b.contains(p)).map(|b| b.height_m);
        let places = || outline.iter().copied().chain(core::iter::once(flat.middle));
        let heights = || places().flat_map(touched);
        if heights().next().is_none() {
            return flat;
        }
        let (low_m, high_m) = (heights().fold(f32::INFINITY, f32::min), heights().fold(f32::NEG_INFINITY, f32::max));
        Self { low_m, high_m, ..flat }
    }

    /// Its outline.
    pub const fn outline(&self) -> &'a [StagePoint] {
        self.outline
    }

    /// The one or two heights that it lies at, metres above the floor.
    pub(super) fn heights(&self) -> impl Iterator<Item = f32> + use<> {
        let other = (self.high_m > self.low_m).then_some(self.high_m);
        core::iter::once(self.low_m).chain(other)
    }

    /// A place inside the outline.
    pub(super) const fn middle(&self) -> StagePoint3 {
        self.middle.at_height(self.low_m)
    }

    /// Farthest of its corners from the middle, metres.
    pub(super) const fn reach_m(&self) -> f32 {
        self.reach_m
    }

    /// At least as far as its farthest place from `centre`, metres.
    pub(super) fn distance_m(&self, centre: StagePoint3) -> f32 {
        let (flat, up) = (centre.on_floor().distance(self.middle) + self.reach_m, centre.z - self.low_m);
        libm::sqrtf(flat * flat + up * up)
    }
}
