//! How far one may go round a circle before it enters something.

use crate::geom::{StagePoint, StageVector, meet, segment};
use crate::walk::tangent::Round;

/// A walk round a circle from a point of it, and how far it is free.
///
/// The start lies outside of everything (the way that led there was checked), so that the first border
/// ahead is where something is entered.
#[derive(Clone, Copy, Debug)]
pub(in crate::walk) struct Circle {
    pub(in crate::walk) centre: StagePoint,
    pub(in crate::walk) radius_m: f32,
    round: Round,
    start: StageVector,
    /// Radians that are free ahead of the start.
    pub(in crate::walk) free_rad: f32,
}

impl Circle {
    /// Ahead of `start`, a unit normal, all of `most_rad` is free as yet.
    pub(in crate::walk) const fn new(round: Round, start: StageVector, most_rad: f32) -> Self {
        Self { centre: round.centre, radius_m: round.radius_m, round, start, free_rad: most_rad }
    }

    /// Enters at the point `at` of the circle.
    pub(in crate::walk) fn enter_at(&mut self, at: StagePoint) {
        let turn = self.ahead(at - self.centre);
        self.free_rad = self.free_rad.min(turn);
    }

    /// Enters the disc.
    pub(in crate::walk) fn enter_disc(&mut self, middle: StagePoint, radius_m: f32) {
        let points = meet::circle_and_circle((self.centre, self.radius_m), (middle, radius_m));
        points.into_iter().flatten().for_each(|at| self.enter_at(at));
    }

    /// Enters through the side from `p` to `q`, where `counts` says so.
    pub(in crate::walk) fn enter_side(&mut self, p: StagePoint, q: StagePoint, counts: impl Fn(StagePoint) -> bool) {
        if segment::distance(self.centre, p, q) > self.radius_m {
            return;
        }
        for share in meet::line_and_circle((p, q), (self.centre, self.radius_m)).into_iter().flatten() {
            let at = p + (q - p) * share;
            if (0.0..=1.0).contains(&share) && counts(at) {
                self.enter_at(at);
            }
        }
    }

    /// Enters the circle about `middle` where `counts` says so of the direction from there.
    pub(in crate::walk) fn enter_arc(
        &mut self,
        middle: StagePoint,
        radius_m: f32,
        counts: impl Fn(StageVector) -> bool,
    ) {
        let points = meet::circle_and_circle((self.centre, self.radius_m), (middle, radius_m));
        points.into_iter().flatten().filter(|&at| counts(at - middle)).for_each(|at| self.enter_at(at));
    }

    /// True when it is walked round clockwise.
    pub(in crate::walk) fn is_clockwise(&self) -> bool {
        self.round.sense < 0.0
    }

    /// Radians from the start to a direction, 0 to a full turn.
    fn ahead(&self, direction: StageVector) -> f32 {
        let cross = self.round.sense * self.start.cross(direction);
        let angle = libm::atan2f(cross, self.start.dot(direction));
        if angle < 0.0 { angle + core::f32::consts::TAU } else { angle }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_quarter_round_a_disc_comes_the_next() {
        // Unit circles one radius apart meet 60 degrees off the line of their centres.
        let round = |sense| Round { centre: StagePoint::new(0.0, 0.0), radius_m: 1.0, sense };
        let start = StageVector::new(0.0, -1.0);
        let mut left = Circle::new(round(1.0), start, 7.0);
        left.enter_disc(StagePoint::new(1.0, 0.0), 1.0);
        assert!((left.free_rad.to_degrees() - 30.0).abs() < 1e-3);
        let mut right = Circle::new(round(-1.0), start, 7.0);
        right.enter_disc(StagePoint::new(1.0, 0.0), 1.0);
        assert!((right.free_rad.to_degrees() - 210.0).abs() < 1e-3);
        let mut side = Circle::new(round(1.0), start, 7.0);
        side.enter_side(StagePoint::new(0.5, -2.0), StagePoint::new(0.5, 2.0), |_| true);
        assert!((side.free_rad.to_degrees() - 30.0).abs() < 1e-3);
    }
}
