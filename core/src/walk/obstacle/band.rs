//! A piece of the band that people keep off along a side of the floor, from entry to entry.

use crate::geom::{StagePoint, StageVector};
use crate::walk::obstacle::leg::Leg;
use crate::walk::obstacle::reach::Circle;
use crate::walk::obstacle::{Bend, LEAST_BEND_M};
use crate::walk::tangent::TOUCH_M;

/// How far a band reaches beyond the side, so that nobody walks on the side itself, metres.
const BEYOND_M: f32 = 0.01;

/// A rectangle on the inner side of a stretch of the floor's edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::walk) struct Band {
    pub(in crate::walk) from: StagePoint,
    /// Unit vector along the side; the floor is on its left.
    pub(in crate::walk) along: StageVector,
    pub(in crate::walk) length_m: f32,
    pub(in crate::walk) depth_m: f32,
    /// Whether an entry begins at its start and at its end: only there can a way bend round it.
    pub(in crate::walk) opens: [bool; 2],
}

impl Band {
    /// A disc that holds it.
    pub(in crate::walk) fn bounds(&self) -> (StagePoint, f32) {
        let middle = self.at(self.length_m / 2.0, self.depth_m / 2.0);
        (middle, middle.distance(self.at(0.0, -BEYOND_M)))
    }

    /// Distance from `p`, a point on the floor, metres; negative inside: so far it is out of the band on the floor's
    /// side or in an entry. `cut_m` less deep than declared.
    pub(in crate::walk) fn signed_distance(&self, p: StagePoint, cut_m: f32) -> f32 {
        let own = self.own(p);
        let across = (-own.x).max(own.x - self.length_m);
        // Beyond the side lies another part of a floor with inner corners.
        let off = if own.y < -BEYOND_M { -BEYOND_M - own.y } else { own.y - (self.depth_m - cut_m) };
        if across > 0.0 && off > 0.0 { libm::sqrtf(across * across + off * off) } else { across.max(off) }
    }

    /// Its corners, counter-clockwise.
    pub(in crate::walk) fn corners(&self, cut_m: f32) -> [StagePoint; 4] {
        let (low_m, high_m) = (-BEYOND_M, self.depth_m - cut_m);
        [(0.0, low_m), (self.length_m, low_m), (self.length_m, high_m), (0.0, high_m)].map(|(x, y)| self.at(x, y))
    }

    /// Bend `i`: the corner towards the entry at its start (0) or its end (1).
    pub(in crate::walk) fn bend(&self, i: u8, cut_m: f32) -> Option<Bend> {
        let is_open = self.opens.get(usize::from(i)).copied()?;
        let depth_m = self.depth_m - cut_m;
        if !is_open || depth_m <= LEAST_BEND_M {
            return None;
        }
        let (x_m, to_other) = if i == 0 { (0.0, self.length_m) } else { (self.length_m, -self.length_m) };
        let sides = [self.along * to_other, self.along.perp() * -depth_m];
        Some(Bend::corner(self.at(x_m, depth_m), 0.0, sides))
    }

    /// True when the leg passes through it.
    pub(in crate::walk) fn is_crossed(&self, leg: &Leg, cut_m: f32) -> bool {
        let (a, b) = (self.own(leg.from), self.own(leg.to));
        let (mut start, mut end) = (0.0_f32, 1.0_f32);
        let [low, high] = self.inner(cut_m);
        for (a, b, low, high) in [(a.x, b.x, low.x, high.x), (a.y, b.y, low.y, high.y)] {
            if (a <= low && b <= low) || (a >= high && b >= high) {
                return false;
            }
            for (from, to) in [(a - low, b - low), (high - a, high - b)] {
                if from < 0.0 {
                    start = start.max(from / (from - to));
                } else if to < 0.0 {
                    end = end.min(from / (from - to));
                }
            }
        }
        start < end
    }

    /// Shortens the circle's free turn to where it enters the band.
    pub(in crate::walk) fn shorten(&self, cut_m: f32, circle: &mut Circle) {
        let [low, high] = self.inner(cut_m);
        if high.x <= low.x || high.y <= low.y {
            return;
        }
        let corners = [(low.x, low.y), (high.x, low.y), (high.x, high.y), (low.x, high.y)].map(|(x, y)| self.at(x, y));
        for (p, q) in crate::geom::polygon::sides(&corners) {
            circle.enter_side(p, q, |_| true);
        }
    }

    /// The lower and the upper corner of what lies deeper inside than the tolerance, in its own axes.
    fn inner(&self, cut_m: f32) -> [StageVector; 2] {
        let high = StageVector::new(self.length_m - TOUCH_M, self.depth_m - cut_m - TOUCH_M);
        [StageVector::new(TOUCH_M, -BEYOND_M), high]
    }

    fn own(&self, p: StagePoint) -> StageVector {
        let v = p - self.from;
        StageVector::new(v.dot(self.along), v.dot(self.along.perp()))
    }

    fn at(&self, x_m: f32, y_m: f32) -> StagePoint {
        self.from + self.along * x_m + self.along.perp() * y_m
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn band() -> Band {
        let along = StageVector::new(1.0, 0.0);
        Band { from: StagePoint::new(-2.0, -3.0), along, length_m: 4.0, depth_m: 0.3, opens: [false, true] }
    }

    #[test]
    fn legs_beside_and_through_a_band() {
        let p = StagePoint::new;
        let crossed = |a, b, cut| band().is_crossed(&Leg::new(a, b), cut);
        assert!(!crossed(p(-1.0, -2.7), p(1.0, -2.7), 0.0));
        assert!(crossed(p(-1.0, -2.71), p(1.0, -2.71), 0.0));
        assert!(!crossed(p(-1.0, -2.71), p(1.0, -2.71), 0.01));
        assert!(!crossed(p(2.0, -3.0), p(2.0, -2.0), 0.0));
        assert!(crossed(p(2.5, -3.0), p(-2.5, -3.0), 0.0));
        assert!(crossed(p(2.1, -3.0), p(1.9, -2.69), 0.0));
        assert!(!crossed(p(2.1, -3.0), p(2.0, -2.69), 0.0));
    }

    #[test]
    fn distances_and_bends() {
        let p = StagePoint::new;
        assert!((band().signed_distance(p(0.0, -2.0), 0.0) - 0.7).abs() < 1e-6);
        assert!((band().signed_distance(p(0.0, -2.8), 0.0) + 0.1).abs() < 1e-6);
        assert!((band().signed_distance(p(2.3, -2.3), 0.0) - 0.5).abs() < 1e-6);
        assert!((band().signed_distance(p(0.0, -2.98), 0.0) + 0.28).abs() < 1e-6);
        assert!((band().signed_distance(p(0.0, -5.0), 0.0) - 1.99).abs() < 1e-6);
        assert_eq!(band().bend(0, 0.0), None);
        assert!(band().bend(1, 0.0).unwrap().centre.distance(p(2.0, -2.7)) < 1e-6);
    }
}
