//! Finding the border of a set that only answers yes or no.

use super::Bound;
use crate::geom::{StagePoint, StageVector};
use crate::props::Limit;

/// A place on the border is found to this, metres.
const FOUND_M: f32 = 5e-4;
/// A border that strays less than this from a chord in the chord's middle is the chord, metres.
const FLAT_M: f32 = 2e-3;
/// How often a chord is halved: 50 mm become 1.6 mm, 117 mm become 3.7 mm.
const DEPTH: u8 = 5;

/// A place on the border, and what forbids the places just beyond it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Spot {
    pub(super) at: StagePoint,
    pub(super) bound: Bound,
}

/// A set of places, told by a test that names what forbids a place.
pub(super) struct Border<'f, F> {
    test: &'f F,
}

impl<'f, F: Fn(StagePoint) -> Result<(), Bound>> Border<'f, F> {
    pub(super) const fn new(test: &'f F) -> Self {
        Self { test }
    }

    /// The border between an allowed place and a forbidden one.
    pub(super) fn between(&self, mut inside: StagePoint, mut outside: StagePoint, known: Option<Bound>) -> Spot {
        let mut bound = known;
        while inside.distance(outside) > FOUND_M {
            let middle = inside + (outside - inside) * 0.5;
            // Two places as near as single precision has them.
            if middle == inside || middle == outside {
                break;
            }
            match (self.test)(middle) {
                Ok(()) => inside = middle,
                Err(found) => (outside, bound) = (middle, Some(found)),
            }
        }
        // What is beyond the grid is off the floor.
        let beyond = || (self.test)(outside).err().unwrap_or(Bound::Limit(Limit::OffFloor));
        Spot { at: inside + (outside - inside) * 0.5, bound: bound.unwrap_or_else(beyond) }
    }

    /// Gives the sides of the border from `from` to `to`, both on it, the allowed side on the left: `give` gets
    /// the end of each side.
    pub(super) fn follow(&self, from: StagePoint, to: Spot, give: &mut impl FnMut(Spot)) {
        self.halve(from, to, DEPTH, give);
    }

    fn halve(&self, from: StagePoint, to: Spot, depth: u8, give: &mut impl FnMut(Spot)) {
        match self.bend(from, to.at) {
            Bend::At(spot) if depth > 0 => {
                self.halve(from, spot, depth - 1, give);
                self.halve(spot.at, to, depth - 1, give);
            }
            Bend::None(bound) | Bend::At(Spot { bound, .. }) => give(Spot { bound, ..to }),
            Bend::Lost => give(to),
        }
    }

    /// Where the border passes the middle of a chord.
    fn bend(&self, from: StagePoint, to: StagePoint) -> Bend {
        let chord = to - from;
        let Some(along) = chord.unit() else { return Bend::Lost };
        let middle = from + chord * 0.5;
        let out = -along.perp();
        // An acute corner between two nodes reaches farther than the chord under it is long.
        let reach_m = (1.5 * chord.length()).max(4.0 * FLAT_M);
        match (self.test)(middle) {
            Ok(()) => self.search(middle, out, reach_m, None),
            Err(bound) => self.search(middle, -out, reach_m, Some(bound)),
        }
    }

    /// Goes from `start` along `way` until the answer changes.
    fn search(&self, start: StagePoint, way: StageVector, reach_m: f32, forbidden: Option<Bound>) -> Bend {
        let (mut near_m, mut far_m, mut bound) = (0.0, FLAT_M, forbidden);
        while far_m <= reach_m {
            let far = start + way * far_m;
            let found = (self.test)(far).err();
            if found.is_some() != forbidden.is_some() {
                if near_m == 0.0 {
                    return Bend::None(found.or(bound).unwrap_or(Bound::Limit(Limit::OffFloor)));
                }
                let near = start + way * near_m;
                let (inside, outside) = if forbidden.is_some() { (far, near) } else { (near, far) };
                return Bend::At(self.between(inside, outside, found.or(bound)));
            }
            bound = found;
            (near_m, far_m) = (far_m, 2.0 * far_m);
        }
        Bend::Lost
    }
}

enum Bend {
    /// As good as on the chord; beyond it this forbids.
    None(Bound),
    /// Off the chord.
    At(Spot),
    /// Not found.
    Lost,
}

#[cfg(test)]
mod tests {
    use super::*;

    fn p(x: f32, y: f32) -> StagePoint {
        StagePoint::new(x, y)
    }

    #[test]
    fn a_corner_between_two_places_is_found() {
        // A right-angled corner of the allowed set at the origin: x < 0 or y > 0 is allowed.
        let (east, south) = (Bound::Limit(Limit::Edge(1)), Bound::Limit(Limit::Edge(0)));
        let test =
            |q: StagePoint| if q.y > 0.0 || q.x < 0.0 { Ok(()) } else { Err(if q.x > -q.y { south } else { east }) };
        let border = Border::new(&test);
        let from = border.between(p(-0.02, -0.04), p(0.03, -0.04), None);
        assert!(from.at.x.abs() < FOUND_M && from.bound == east, "{from:?}");
        let mut corners = std::vec::Vec::from([from.at]);
        border.follow(from.at, Spot { at: p(0.04, 0.0), bound: south }, &mut |spot| corners.push(spot.at));
        let nearest = corners.iter().map(|c| c.distance(p(0.0, 0.0))).fold(f32::INFINITY, f32::min);
        assert!(nearest < 0.003, "{corners:?}");
        assert!(corners.iter().all(|c| c.x.abs().min(c.y.abs()) < 0.001), "{corners:?}");
    }
}
