//! Fewer corners: a closed line as it is found, handed on without the points that it does not need.

use heapless::Vec;

use super::Bound;
use crate::geom::{StagePoint, segment};

/// Points in a row that one side replaces at most.
const HELD: usize = 32;

/// Takes the sides of a ring one after another and gives longer ones.
///
/// A point at most `slack_m` from the side that replaces it is dropped; sides with different bounds are never joined. `give` gets the start of each side and its bound.
pub(super) struct Simplifier<G: FnMut(StagePoint, Bound)> {
    start: StagePoint,
    anchor: StagePoint,
    bound: Option<Bound>,
    held: Vec<StagePoint, HELD>,
    slack_m: f32,
    give: G,
}

impl<G: FnMut(StagePoint, Bound)> Simplifier<G> {
    pub(super) const fn new(start: StagePoint, slack_m: f32, give: G) -> Self {
        Self { start, anchor: start, bound: None, held: Vec::new(), slack_m, give }
    }

    /// A side from the last point to `p`.
    pub(super) fn line_to(&mut self, p: StagePoint, bound: Bound) {
        let Some(&last) = self.held.last() else {
            self.bound = Some(bound);
            let _ = self.held.push(p);
            return;
        };
        let strays = |q: &StagePoint| segment::distance(*q, self.anchor, p) > self.slack_m;
        if self.bound != Some(bound) || self.held.is_full() || self.held.iter().any(strays) {
            self.hand_on();
            self.anchor = last;
            self.held.clear();
            self.bound = Some(bound);
        }
        let _ = self.held.push(p);
    }

    /// The side back to the start.
    pub(super) fn close(&mut self, bound: Bound) {
        if self.held.last().is_none_or(|last| *last != self.start) {
            self.line_to(self.start, bound);
        }
        self.hand_on();
        self.held.clear();
    }

    fn hand_on(&mut self) {
        if let Some(bound) = self.bound {
            (self.give)(self.anchor, bound);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::props::Limit;

    #[test]
    fn a_square_keeps_its_corners_and_a_change_of_bound() {
        let p = |x: f32, y: f32| StagePoint::new(x, y);
        let (a, b) = (Bound::Limit(Limit::Edge(0)), Bound::Limit(Limit::Edge(1)));
        let mut found = std::vec::Vec::new();
        let mut ring = Simplifier::new(p(0.0, 0.0), 1e-3, |p, bound| found.push((p.x, p.y, bound)));
        for i in 1..=10 {
            ring.line_to(p(i as f32 / 10.0, 0.0005 * (i % 2) as f32), if i <= 4 { a } else { b });
        }
        ring.line_to(p(1.0, 0.5), b);
        ring.line_to(p(1.0, 1.0), b);
        ring.close(b);
        assert_eq!(found, [(0.0, 0.0, a), (0.4, 0.0, b), (1.0, 0.0, b), (1.0, 1.0, b)]);
    }
}
