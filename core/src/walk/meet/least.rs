//! The least of a distance that changes with time, found for certain.
//!
//! A person's place seen from a moving convex set runs along a curve. Between two moments the curve keeps within
//! bend × h² / 8 of its chord, h being the time between them, and a convex set's distance is never less than its
//! tangents say: so the distance is bounded from below over the whole interval, and an interval is halved only
//! while it may still hold something less than the least found so far. No moment is left to chance.

use heapless::Vec;

use crate::geom::StageVector;

/// Intervals are dropped when they hold nothing that is less by more than this, metres.
pub(in crate::walk) const WITHIN_M: f32 = 1e-4;
/// Moments that one question may look at. Beyond them the bound of what is left stands for its least: too near, not
/// too far. No motion of a show comes near that.
const MOMENTS: u32 = 40_000;
/// Halvings of one interval: a thousandth of a millisecond of an hour.
const HALVINGS: usize = 36;

/// What is known at one moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::walk) struct Sample {
    /// When, seconds.
    pub(in crate::walk) t_s: f32,
    /// The person's place seen from the set.
    pub(in crate::walk) from: StageVector,
    /// The way by which the set is carried ahead.
    pub(in crate::walk) ahead: StageVector,
    /// The distance, metres.
    pub(in crate::walk) value_m: f32,
    /// What bounds the distance nearby.
    pub(in crate::walk) facing: Facing,
}

/// What is known of the distance beside a moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::walk) enum Facing {
    /// The set is convex: the unit vector along which the distance grows ([`crate::geom::Near::out`]).
    Convex(StageVector),
    /// It is a ring, which is never nearer than the same ring without a gap: from there to its outer circle and, from
    /// inside, to its inner one, metres, and the unit vector away from its centre.
    Ring {
        /// Distance from the outer circle, negative inside it.
        outer_m: f32,
        /// Distance from the inner circle, negative outside it.
        inner_m: f32,
        /// Away from the centre.
        out: StageVector,
    },
}

/// The least so far and where it was.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::walk) struct Found<T> {
    /// When, seconds.
    pub(in crate::walk) t_s: f32,
    /// The distance, metres.
    pub(in crate::walk) value_m: f32,
    /// What it was found for.
    pub(in crate::walk) of: T,
}

/// A search through as many intervals as there are.
pub(in crate::walk) struct Search<T> {
    found: Option<Found<T>>,
    floor_m: f32,
    moments: u32,
}

impl<T: Copy> Search<T> {
    pub(in crate::walk) const fn new() -> Self {
        Self { found: None, floor_m: f32::INFINITY, moments: 0 }
    }

    /// The least, and of moments with the same least, within [`WITHIN_M`], the first that was looked at.
    pub(in crate::walk) const fn found(self) -> Option<Found<T>> {
        self.found
    }

    /// How many moments were looked at.
    #[cfg(test)]
    pub(in crate::walk) const fn moments(&self) -> u32 {
        self.moments
    }

    /// Looks for less in the interval `span_s`, in which velocity and carried way change by at most `bend`.
    pub(in crate::walk) fn over(&mut self, span_s: (f32, f32), bend: f32, of: T, sample: &impl Fn(f32) -> Sample) {
        let mut left = self.look(span_s.0, of, sample);
        if span_s.1 <= span_s.0 || !span_s.1.is_finite() {
            return;
        }
        let mut ends = Vec::<Sample, HALVINGS>::new();
        let _ = ends.push(self.look(span_s.1, of, sample));
        while let Some(&right) = ends.last() {
            let least_m = lower_bound(&left, &right, bend);
            let middle_s = left.t_s + (right.t_s - left.t_s) / 2.0;
            if least_m < self.floor_m - WITHIN_M {
                let room = !ends.is_full() && self.moments < MOMENTS && middle_s > left.t_s && middle_s < right.t_s;
                if room {
                    let _ = ends.push(self.look(middle_s, of, sample));
                    continue;
                }
                self.note(middle_s, least_m, of);
            }
            left = right;
            ends.pop();
        }
    }

    /// Looks for the first moment in `span_s` at which the distance is `limit_m` or less, unless an earlier one is known.
    /// Half a millisecond that may hold one counts as one.
    pub(in crate::walk) fn first(
        &mut self,
        span_s: (f32, f32),
        (bend, limit_m): (f32, f32),
        of: T,
        sample: &impl Fn(f32) -> Sample,
    ) {
        let to_s = self.found.as_ref().map_or(span_s.1, |first| span_s.1.min(first.t_s));
        let to_s = if to_s.is_finite() { to_s } else { span_s.0 };
        let mut left = sample(span_s.0);
        let mut ends = Vec::<Sample, HALVINGS>::new();
        if span_s.0 < to_s {
            let _ = ends.push(sample(to_s));
        }
        while left.value_m > limit_m {
            let Some(&right) = ends.last() else { return };
            let least_m = lower_bound(&left, &right, bend);
            let middle_s = left.t_s + (right.t_s - left.t_s) / 2.0;
            if least_m > limit_m {
                left = right;
                ends.pop();
            } else if ends.is_full() || right.t_s - left.t_s < 5e-4 {
                left.value_m = least_m;
            } else {
                let _ = ends.push(sample(middle_s));
            }
        }
        if self.found.as_ref().is_none_or(|first| left.t_s < first.t_s) {
            self.found = Some(Found { t_s: left.t_s, value_m: left.value_m, of });
        }
    }

    fn look(&mut self, t_s: f32, of: T, sample: &impl Fn(f32) -> Sample) -> Sample {
        let seen = sample(t_s);
        self.moments += 1;
        self.note(t_s, seen.value_m, of);
        seen
    }

    fn note(&mut self, t_s: f32, value_m: f32, of: T) {
        self.floor_m = self.floor_m.min(value_m);
        let better = self.found.as_ref().is_none_or(|best| {
            best.value_m > self.floor_m + WITHIN_M || (value_m <= self.floor_m + WITHIN_M && t_s < best.t_s)
        });
        if better {
            self.found = Some(Found { t_s, value_m, of });
        }
    }
}

/// The least that the distance can be between two moments.
fn lower_bound(a: &Sample, b: &Sample, bend: f32) -> f32 {
    let h = b.t_s - a.t_s;
    let (way, turn) = (b.from - a.from, b.ahead - a.ahead);
    let on_chord = match (a.facing, b.facing) {
        (Facing::Convex(out_a), Facing::Convex(out_b)) => {
            // What is carried ahead comes nearer by as much of its way as points outwards, which is convex in it, too.
            let slope = |out: StageVector| out.dot(way) - (out.dot(b.ahead).max(0.0) - out.dot(a.ahead).max(0.0));
            above_tangents((a.value_m, slope(out_a)), (b.value_m, slope(out_b)))
        }
        (Facing::Ring { outer_m, inner_m, out }, Facing::Ring { outer_m: to_m, inner_m: in_m, out: out_b }) => {
            // Outside, a ring is a disc; in its hole the distance is the least at an end of the chord.
            let whole_m = above_tangents((outer_m, out.dot(way)), (to_m, out_b.dot(way))).max(inner_m.min(in_m));
            whole_m.max(by_the_way(a, b, way, turn))
        }
        _ => by_the_way(a, b, way, turn),
    };
    on_chord - bend * h * h / 8.0
}

/// The least of a convex function between two ends with these values and slopes over the whole interval.
fn above_tangents((from, first): (f32, f32), (to, last): (f32, f32)) -> f32 {
    if first >= 0.0 {
        from
    } else if last <= 0.0 {
        to
    } else {
        from + first * ((to - last - from) / (first - last))
    }
}

/// Nothing comes nearer by more than it moves.
fn by_the_way(a: &Sample, b: &Sample, way: StageVector, turn: StageVector) -> f32 {
    (a.value_m + b.value_m - way.length() - turn.length()) / 2.0
}
