//! Shares of a person and of the person's bands, and how much is too much.

use super::body::Bands;
use super::column::Aim;

/// Most of a body that may be painted over, or show in front of something nearer, a share of its area.
pub const BODY_LIMIT: f32 = 0.005;
/// Most of a torso that may be hidden, a share of its area.
pub const TORSO_LIMIT: f32 = 0.10;
/// A share smaller than this is rounding, not picture, and counts as none.
const NOTHING: f32 = 1e-5;

/// Shares of a person's rectangle and of its bands, 0 to 1 of each one's own area.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Share {
    /// Of the whole rectangle.
    pub whole: f32,
    /// Of the head.
    pub head: f32,
    /// Of the torso.
    pub torso: f32,
    /// Of the legs.
    pub legs: f32,
}

impl Share {
    /// More than may be painted over or show in front: any of the head, or 0.5 % of the body.
    pub(super) const fn is_wrong(&self) -> bool {
        self.head > 0.0 || self.whole > BODY_LIMIT
    }

    /// More than may be hidden: any of the head, or 10 % of the torso.
    pub(super) const fn is_unseen(&self) -> bool {
        self.head > 0.0 || self.torso > TORSO_LIMIT
    }
}

/// Areas of legs, torso and head, square metres.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Areas {
    legs: f32,
    torso: f32,
    head: f32,
}

impl Areas {
    /// Adds a column: `taken` gives the length of it that is taken between two heights.
    pub(super) fn add(&mut self, bands: &Bands, width_m: f32, taken: impl Fn((f32, f32)) -> f32) {
        self.legs += width_m * taken((bands.feet_m, bands.hip_m));
        self.torso += width_m * taken((bands.hip_m, bands.neck_m));
        self.head += width_m * taken((bands.neck_m, bands.top_m));
    }

    /// What share of each band, and of the whole, the areas are.
    pub(super) fn shares(&self, aim: &Aim) -> Share {
        let bands = &aim.bands;
        let share = |area: f32, (low, high): (f32, f32)| {
            let whole = 2.0 * aim.half_m * (high - low);
            let share = if whole > 0.0 { area / whole } else { 0.0 };
            if share < NOTHING { 0.0 } else { share.min(1.0) }
        };
        Share {
            whole: share(self.legs + self.torso + self.head, (bands.feet_m, bands.top_m)),
            head: share(self.head, (bands.neck_m, bands.top_m)),
            torso: share(self.torso, (bands.hip_m, bands.neck_m)),
            legs: share(self.legs, (bands.feet_m, bands.hip_m)),
        }
    }
}
