//! Along the border of the shrunken set: the line at one distance from the fence.
//!
//! The set that is left after shrinking lies outside of every side's *reach*, all that is nearer to it than the
//! shrink. The walker goes along the reach of one side (a line beside it, an arc about its end), enters the reach
//! of another, and goes on along that one, always with the zone on its left.

use super::Bound;
use super::fence::{Fence, FenceSide};
use crate::geom::{StagePoint, StageVector, segment};

/// How deep inside a reach counts as having entered it, metres. More than the depth of an arc's chords.
pub(super) const BITE_M: f32 = 1e-3;
/// Depth of an arc's chords under the arc, metres.
const SAGITTA_M: f32 = 5e-4;

/// What the walker goes along.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Track {
    /// The line beside a side.
    Beside(u16),
    /// An arc about the post where a side starts, and the side before it when the walker came from there.
    Round(u16, Option<u16>),
}

/// One straight step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Step {
    pub(super) from: StagePoint,
    pub(super) to: StagePoint,
    pub(super) bound: Bound,
}

/// Somebody who walks round the zone.
#[derive(Clone, Debug)]
pub(super) struct Walker<'f> {
    fence: &'f Fence,
    shrink_m: f32,
    turn: (f32, f32),
    at: StagePoint,
    track: Track,
}

impl<'f> Walker<'f> {
    /// Starts at a place at the distance `shrink_m` from the fence. `None` without a fence.
    pub(super) fn start(fence: &'f Fence, shrink_m: f32, at: StagePoint) -> Option<Self> {
        let angle = 2.0 * libm::acosf(1.0 - SAGITTA_M / shrink_m.max(2.0 * SAGITTA_M));
        let turn = (libm::sinf(angle), libm::cosf(angle));
        let index = fence.nearest(at).1;
        let track = track_on(fence, index, at)?;
        Some(Self { fence, shrink_m, turn, at, track })
    }

    pub(super) fn step(&mut self) -> Option<Step> {
        let from = self.at;
        let (goal, then, bound) = self.goal()?;
        let way = goal - from;
        let mut first: (f32, Option<u16>) = (f32::INFINITY, None);
        for (index, side) in self.fence.sides().filter(|(index, side)| !self.follows(*index, side)) {
            if let Some(share) = side.entry(from, way, self.shrink_m - BITE_M)
                && share < first.0
            {
                first = (share, Some(index));
            }
        }
        (self.at, self.track) = match first {
            (share, Some(index)) => {
                let at = from + way * share;
                (at, track_on(self.fence, index, at)?)
            }
            _ => (goal, then),
        };
        Some(Step { from, to: self.at, bound })
    }

    /// Where the track leads, on which track it goes on from there, and what bounds the zone on the way.
    fn goal(&self) -> Option<(StagePoint, Track, Bound)> {
        match self.track {
            Track::Beside(index) => {
                let side = self.fence.side(index)?;
                let goal = side.to + side.inwards() * self.shrink_m;
                // Past the end already where the fence bends a little towards the zone.
                let goal = if (goal - self.at).dot(side.along()) > 0.0 { goal } else { self.at };
                Some((goal, Track::Round(side.next, Some(index)), side.bound))
            }
            Track::Round(index, before) => {
                let side = self.fence.side(index)?;
                let (out, last) = (self.at - side.from, side.inwards());
                let (dot, bound) = (out.dot(last), self.nearer_bound(out, &side, before));
                let (sin, cos) = self.turn;
                if out.cross(last) >= 0.0 && dot > 0.0 {
                    return Some((self.at, Track::Beside(index), bound));
                }
                if dot >= cos * out.length() {
                    return Some((side.from + last * self.shrink_m, Track::Beside(index), bound));
                }
                let turned = (out * cos - out.perp() * sin).unit()?;
                Some((side.from + turned * self.shrink_m, self.track, bound))
            }
        }
    }

    /// Half of an arc belongs to the side before it.
    fn nearer_bound(&self, out: StageVector, side: &FenceSide, before: Option<u16>) -> Bound {
        let before = before.and_then(|index| self.fence.side(index));
        before.filter(|b| out.dot(b.inwards()) > out.dot(side.inwards())).map_or(side.bound, |b| b.bound)
    }

    /// True for the sides that the track itself belongs to.
    fn follows(&self, index: u16, side: &FenceSide) -> bool {
        match self.track {
            Track::Beside(own) => own == index,
            Track::Round(post, _) => post == index || side.next == post,
        }
    }
}

fn track_on(fence: &Fence, index: u16, at: StagePoint) -> Option<Track> {
    let side = fence.side(index)?;
    let share = segment::nearest_share(at, side.from, side.to);
    Some(if share <= 0.0 {
        Track::Round(index, None)
    } else if share >= 1.0 {
        Track::Round(side.next, Some(index))
    } else {
        Track::Beside(index)
    })
}

impl Step {
    pub(super) fn way(&self) -> StageVector {
        self.to - self.from
    }
}
