//! Shapes of the core as points for the page.

use serde_json::{Value, json};
use underfoot_core::geom::{Region, StagePoint, StagePoint3};

/// Farthest that a drawn arc may be off, metres.
const FLAT_M: f32 = 0.003;
/// Ends nearer than this are one, metres.
const JOINT_M: f32 = 1e-4;

/// The boundary of a region as closed loops, the region on the left of each.
pub(super) fn loops(region: &Region) -> Vec<Vec<StagePoint>> {
    // A stretch that cannot be flattened has no length either.
    let flat = region.outline().map(|stretch| stretch.points(FLAT_M).into_iter().flatten().collect());
    let mut pieces: Vec<Vec<StagePoint>> = flat.collect();
    let mut all = Vec::new();
    while !pieces.is_empty() {
        all.push(chained(&mut pieces));
    }
    all
}

/// The first piece with all that follow it until it is closed; they come in any order.
fn chained(pieces: &mut Vec<Vec<StagePoint>>) -> Vec<StagePoint> {
    let meet = |a: Option<&StagePoint>, b: Option<&StagePoint>| a.zip(b).is_some_and(|(a, b)| a.distance(*b) < JOINT_M);
    let mut ring = pieces.remove(0);
    while !meet(ring.last(), ring.first()) || ring.len() < 3 {
        let Some(next) = pieces.iter().position(|piece| meet(ring.last(), piece.first())) else { return ring };
        ring.extend(pieces.remove(next).into_iter().skip(1));
    }
    ring.pop();
    ring
}

/// Loops for the page.
pub(super) fn value(loops: &[Vec<StagePoint>]) -> Value {
    loops.iter().map(points).collect()
}

/// Points for the page.
pub(super) fn points<'p>(points: impl IntoIterator<Item = &'p StagePoint>) -> Value {
    points.into_iter().map(|p| point(*p)).collect()
}

/// A place on the floor for the page: to a tenth of a millimetre.
pub(super) fn point(p: StagePoint) -> Value {
    json!([metres(p.x), metres(p.y)])
}

/// A place on the stage for the page.
pub(super) fn point3(p: StagePoint3) -> Value {
    json!([metres(p.x), metres(p.y), metres(p.z)])
}

/// A length for the page, to a tenth of a millimetre, or seconds to as much.
pub(super) fn metres(m: f32) -> f64 {
    (f64::from(m) * 1e4).round() / 1e4
}

#[cfg(test)]
mod tests {
    use underfoot_core::geom::{Convex, Ring, Rounded, polygon};
    use underfoot_core::units::Angle;

    use super::*;

    /// Areas by hand: a disc of 0.5 m, a ring between 1 and 2 m, a rectangle 2 by 1 with 0.3 m round it.
    #[test]
    fn loops_hold_the_area_of_their_region() {
        let pi = std::f32::consts::PI;
        let middle = StagePoint::new(1.0, -2.0);
        let rectangle = Convex::rectangle(middle, 2.0, 1.0, Angle::from_degrees(20.0)).expect("a rectangle");
        let cases = [
            (Region::Rounded(Rounded::disc(middle, 0.5).expect("a disc")), 1, pi * 0.25),
            (Region::Ring(Ring::new(middle, 1.0, 2.0).expect("a ring")), 2, pi * 3.0),
            (Region::Rounded(Rounded::new(rectangle, 0.3).expect("a shape")), 1, 2.0 + 1.8 + pi * 0.09),
        ];
        for (region, count, area_m2) in cases {
            let found = loops(&region);
            assert_eq!(found.len(), count, "{found:?}");
            let sum: f32 = found.iter().map(|ring| polygon::signed_area(ring)).sum();
            assert!((sum - area_m2).abs() < 0.01 * area_m2, "{sum} of {area_m2}");
        }
    }

    #[test]
    fn a_ring_with_a_gap_is_one_loop() {
        let ring = Ring::new(StagePoint::default(), 1.0, 2.0).expect("a ring").with_gap(Angle::default(), 1.0);
        assert_eq!(loops(&Region::Ring(ring.expect("a gap"))).len(), 1);
    }
}
