//! What a way is squeezed between: two obstacles, or one and a level side of the floor.

use crate::geom::{StagePoint, StageVector, segment};
use crate::props::Limit;
use crate::walk::obstacle::Solid;
use crate::walk::route::work::Shrink;

/// Step for the direction in which a room grows, metres.
const ASIDE_M: f32 = 1e-3;

/// Which one: an obstacle by its index, or a side of the floor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::walk) enum JawId {
    Thing(usize),
    Level(u8),
}

/// One side of a narrow place.
#[derive(Clone, Copy)]
pub(in crate::walk) enum Jaw<'a> {
    Thing(Solid<'a>),
    /// A side of the floor without a band: people walk up to it, and it never yields.
    Level(u8, (StagePoint, StagePoint)),
}

impl Jaw<'_> {
    /// Room from its edge to `p`, metres; negative inside.
    pub(in crate::walk) fn room_m(&self, p: StagePoint) -> f32 {
        match self {
            Self::Thing(solid) => solid.signed_distance(p),
            Self::Level(_, (a, b)) => segment::distance(p, *a, *b),
        }
    }

    pub(in crate::walk) fn growth_m(&self) -> f32 {
        match self {
            Self::Thing(solid) => solid.of.growth_m,
            Self::Level(..) => 0.0,
        }
    }

    pub(in crate::walk) fn limit(&self) -> Limit {
        match self {
            Self::Thing(solid) => solid.of.limit,
            Self::Level(side, _) => Limit::Edge(*side),
        }
    }

    pub(in crate::walk) fn shrinks(&self, what: Shrink) -> bool {
        matches!(self, Self::Thing(solid) if what.takes(solid.of))
    }

    pub(in crate::walk) fn has_in_mouth(&self, p: StagePoint) -> bool {
        matches!(self, Self::Thing(solid) if solid.has_in_mouth(p))
    }

    /// Unit direction in which its room grows at `p`.
    fn away(&self, p: StagePoint) -> StageVector {
        if let Self::Level(_, (a, b)) = self {
            return (*b - *a).unit().map(StageVector::perp).unwrap_or_default();
        }
        let room = |x: f32, y: f32| self.room_m(p + StageVector::new(x, y));
        let slope =
            StageVector::new(room(ASIDE_M, 0.0) - room(-ASIDE_M, 0.0), room(0.0, ASIDE_M) - room(0.0, -ASIDE_M));
        slope.unit().unwrap_or_default()
    }
}

/// True when `p` has the two on opposite sides.
pub(in crate::walk) fn face_away(a: &Jaw<'_>, b: &Jaw<'_>, p: StagePoint) -> bool {
    a.away(p).dot(b.away(p)) < -0.5
}
