//! How near two people come to each other.

use crate::geom::{StagePoint, StageVector};
use crate::walk::meet::least::{Facing, Sample, Search};
use crate::walk::walker::Walker;

/// The moment at which two people are nearest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Apart {
    /// When, seconds after the start of the cue: the first time when it is kept for a while.
    pub at_s: f32,
    /// From one midpoint between the heels to the other, metres.
    pub distance_m: f32,
    /// Where the first is then.
    pub a_at: StagePoint,
    /// Where the second is then.
    pub b_at: StagePoint,
}

/// The least distance between two people over the times of `over`, seconds after the start of the cue: never more
/// than a millimetre above the least there is, over all moments. A span that ends before it starts counts as its start.
pub fn least_apart(a: &Walker<'_>, b: &Walker<'_>, over: (f32, f32)) -> Apart {
    let from_s = over.0.max(0.0);
    let to_s = over.1.max(from_s).min(from_s.max(a.rests_s()).max(b.rests_s()) + 1.0);
    let mut search = Search::new();
    a.phases((from_s, to_s), &mut |one, span_s| {
        b.phases(span_s, &mut |other, span_s| {
            let sample = |t_s: f32| {
                let from = one.place(t_s) - other.place(t_s);
                let value_m = from.length();
                let out = from.unit().unwrap_or(StageVector::new(1.0, 0.0));
                Sample { t_s, from, ahead: StageVector::default(), value_m, facing: Facing::Convex(out) }
            };
            search.over(span_s, one.bend_mps2() + other.bend_mps2(), (), &sample);
        });
    });
    let found = search.found();
    let at_s = found.map_or(from_s, |f| f.t_s);
    let (a_at, b_at) = (a.place_at(at_s), b.place_at(at_s));
    Apart { at_s, distance_m: found.map_or_else(|| a_at.distance(b_at), |f| f.value_m), a_at, b_at }
}
