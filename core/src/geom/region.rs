//! Either shape that a footprint can have, behind one set of questions.

use super::convex::CONVEX_VERTICES;
use super::{Convex, GeomError, Ring, Rounded, StagePoint, Stretch};

/// A rounded convex set or a ring, grown by a disc or not.
#[derive(Clone, Debug, PartialEq)]
#[allow(clippy::large_enum_variant, reason = "there is no heap to put the larger one on, and rings are rare")]
pub enum Region {
    /// A disc, capsule or rounded polygon.
    Rounded(Rounded),
    /// A ring.
    Ring(Ring),
}

impl Region {
    /// Distance from `p` to the region, metres, negative inside. See the two shapes for how exact.
    pub fn signed_distance(&self, p: StagePoint) -> f32 {
        match self {
            Self::Rounded(set) => set.signed_distance(p),
            Self::Ring(ring) => ring.signed_distance(p),
        }
    }

    /// True when `p` is inside or on the boundary.
    pub fn contains(&self, p: StagePoint) -> bool {
        self.signed_distance(p) <= 0.0
    }

    /// The region grown by a disc of `more_m`.
    ///
    /// # Errors
    /// [`GeomError::NotFinite`] or [`GeomError::BadSize`] for `more_m`.
    pub fn grown(&self, more_m: f32) -> Result<Self, GeomError> {
        match self {
            Self::Rounded(set) => set.grown(more_m).map(Self::Rounded),
            Self::Ring(ring) => ring.grown(more_m).map(Self::Ring),
        }
    }

    /// A disc that holds the whole region: its centre and radius in metres.
    pub fn bounds(&self) -> (StagePoint, f32) {
        match self {
            Self::Rounded(set) => set.bounds(),
            Self::Ring(ring) => ring.bounds(),
        }
    }

    /// The boundary as lines and arcs with the region on the left.
    pub fn outline(&self) -> impl Iterator<Item = Stretch> + '_ {
        (0..Self::STRETCHES).filter_map(|i| match self {
            Self::Rounded(set) => set.stretch(i),
            Self::Ring(ring) => ring.stretch(i),
        })
    }

    /// Stretches of a region's outline at most.
    pub const STRETCHES: usize =
        if 2 * CONVEX_VERTICES > Ring::STRETCHES { 2 * CONVEX_VERTICES } else { Ring::STRETCHES };

    /// Least distance from the region to a convex set, metres; 0 or less when they meet. Exact. A set inside
    /// the hole of a ring is apart from it.
    pub fn gap_to(&self, set: &Convex) -> f32 {
        match self {
            Self::Rounded(rounded) => rounded.core().gap(set) - rounded.radius_m(),
            Self::Ring(ring) => ring.gap_to(set),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Angle;

    #[test]
    fn gaps_to_a_chair_on_the_floor() {
        let at = |x: f32, y: f32| Convex::rectangle(StagePoint::new(x, y), 0.7, 1.2, Angle::default()).unwrap();
        let disc = Region::Rounded(Rounded::disc(StagePoint::new(0.0, 0.0), 0.5).unwrap());
        assert!((disc.gap_to(&at(2.0, 0.0)) - 1.15).abs() < 1e-6);
        assert!(disc.gap_to(&at(0.6, 0.0)) < 0.0);
        let ring = Region::Ring(Ring::new(StagePoint::new(0.0, 0.0), 2.0, 2.5).unwrap());
        // Corner (0.35, 0.6) of the chair in the middle lies 0.695 m from the centre.
        assert!((ring.gap_to(&at(0.0, 0.0)) - (2.0 - 0.694_622)).abs() < 1e-5);
        assert!(ring.gap_to(&at(2.2, 0.0)) < 0.0);
        let hall = Convex::rectangle(StagePoint::new(0.0, 0.0), 9.0, 9.0, Angle::default()).unwrap();
        assert!(ring.gap_to(&hall) <= 0.0);
    }
}
