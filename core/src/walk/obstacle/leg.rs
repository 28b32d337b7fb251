//! A straight way with what is asked about it again and again worked out once.

use crate::geom::{StagePoint, StageVector, segment};

/// A straight way from one point to another.
#[derive(Clone, Copy, Debug)]
pub(in crate::walk) struct Leg {
    pub(in crate::walk) from: StagePoint,
    pub(in crate::walk) to: StagePoint,
    pub(in crate::walk) along: StageVector,
    /// 1 / length², or 0 for a leg without length.
    inverse: f32,
}

impl Leg {
    pub(in crate::walk) fn new(from: StagePoint, to: StagePoint) -> Self {
        let along = to - from;
        let square = along.dot(along);
        Self { from, to, along, inverse: if square > 0.0 { 1.0 / square } else { 0.0 } }
    }

    /// Share of the leg that is nearest to `p`.
    pub(in crate::walk) fn share(&self, p: StagePoint) -> f32 {
        ((p - self.from).dot(self.along) * self.inverse).clamp(0.0, 1.0)
    }

    /// Point at a share of the leg; exact at both ends.
    pub(in crate::walk) fn point(&self, share: f32) -> StagePoint {
        if share < 0.5 { self.from + self.along * share } else { self.to - self.along * (1.0 - share) }
    }

    /// Square of the distance from `p`.
    pub(in crate::walk) fn square_to(&self, p: StagePoint) -> f32 {
        let off = p - self.point(self.share(p));
        off.dot(off)
    }

    /// Square of the distance from the segment `p` to `q`: 0 when they cross.
    pub(in crate::walk) fn square_to_side(&self, p: StagePoint, q: StagePoint) -> f32 {
        let side = q - p;
        let (a, b) = (side.cross(self.from - p), side.cross(self.to - p));
        let (c, d) = (self.along.cross(p - self.from), self.along.cross(q - self.from));
        if a * b < 0.0 && c * d < 0.0 {
            return 0.0;
        }
        let square = |x: StagePoint| {
            let off = x - segment::nearest(x, p, q);
            off.dot(off)
        };
        self.square_to(p).min(self.square_to(q)).min(square(self.from)).min(square(self.to))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn squares_of_distances() {
        let p = StagePoint::new;
        let leg = Leg::new(p(0.0, 0.0), p(4.0, 0.0));
        assert_eq!(leg.square_to(p(7.0, 4.0)), 25.0);
        assert_eq!(leg.square_to(p(2.0, -3.0)), 9.0);
        assert_eq!(leg.square_to_side(p(2.0, -1.0), p(2.0, 1.0)), 0.0);
        assert_eq!(leg.square_to_side(p(2.0, 1.5), p(9.0, 9.0)), 2.25);
        assert_eq!(leg.square_to_side(p(6.0, -1.0), p(6.0, 1.0)), 4.0);
        assert_eq!(Leg::new(p(1.0, 1.0), p(1.0, 1.0)).square_to(p(4.0, 5.0)), 25.0);
    }
}
