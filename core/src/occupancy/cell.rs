//! One closed rectangle of the floor, or one place.

use crate::geom::{Convex, GeomError, StagePoint, StageVector};

/// A closed rectangle with sides along the stage's axes; its boundary belongs to it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cell {
    low: StagePoint,
    high: StagePoint,
}

impl Cell {
    /// The rectangle between two corners, in any order.
    ///
    /// # Errors
    /// [`GeomError::NotFinite`].
    pub fn between(a: StagePoint, b: StagePoint) -> Result<Self, GeomError> {
        if !(a.is_finite() && b.is_finite()) {
            return Err(GeomError::NotFinite);
        }
        let low = StagePoint::new(a.x.min(b.x), a.y.min(b.y));
        Ok(Self { low, high: StagePoint::new(a.x.max(b.x), a.y.max(b.y)) })
    }

    /// One place without size.
    ///
    /// # Errors
    /// [`GeomError::NotFinite`].
    pub fn place(at: StagePoint) -> Result<Self, GeomError> {
        Self::between(at, at)
    }

    /// One place given in whole millimetres, as the link does.
    pub fn place_mm(x_mm: i32, y_mm: i32) -> Self {
        let at = StagePoint::new(x_mm as f32 / 1000.0, y_mm as f32 / 1000.0);
        Self { low: at, high: at }
    }

    /// For corners that are finite and in order.
    pub(super) const fn spanned(low: StagePoint, high: StagePoint) -> Self {
        Self { low, high }
    }

    /// The corner at stage right and downstage.
    pub fn low(&self) -> StagePoint {
        self.low
    }

    /// The corner at stage left and upstage.
    pub fn high(&self) -> StagePoint {
        self.high
    }

    /// Its middle.
    pub fn centre(&self) -> StagePoint {
        self.low + (self.high - self.low) * 0.5
    }

    /// From its middle to a corner, metres.
    pub fn reach_m(&self) -> f32 {
        (self.high - self.low).length() / 2.0
    }

    /// The cell without a rim of `by_m`; `None` when nothing is left.
    pub(super) fn shrunk(&self, by_m: f32) -> Option<Self> {
        let rim = StageVector::new(by_m, by_m);
        let (low, high) = (self.low + rim, self.high - rim);
        (low.x < high.x && low.y < high.y).then_some(Self { low, high })
    }

    /// The four corners, counter-clockwise from the low one.
    pub(super) fn corners(&self) -> [StagePoint; 4] {
        let (low, high) = (self.low, self.high);
        [low, StagePoint::new(high.x, low.y), high, StagePoint::new(low.x, high.y)]
    }

    /// As a convex set: rectangle, segment or point.
    pub(super) fn set(&self) -> Result<Convex, GeomError> {
        Convex::upright(self.low, self.high)
    }
}
