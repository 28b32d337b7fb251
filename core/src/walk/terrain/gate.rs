//! Entries: where and which way the floor's edge may be crossed.

use crate::geom::{StagePoint, polygon, segment};
use crate::show::{Entry, Passage};
use crate::walk::tangent::TOUCH_M;

/// An entry on its side of the floor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Gate {
    pub(super) side: u8,
    /// Where it begins and ends along the side, metres from the side's first vertex.
    pub(super) span_m: (f32, f32),
    passage: Passage,
}

/// Which way a stop at the edge is crossed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::walk) enum End {
    Start,
    Between,
    Goal,
}

impl Gate {
    pub(super) fn of(entry: &Entry, outline: &[StagePoint]) -> Option<Self> {
        let (i, (a, b)) = polygon::nearest_side(outline, entry.at)?;
        let middle_m = a.distance(segment::nearest(entry.at, a, b));
        let half_m = entry.width_m / 2.0;
        Some(Self { side: i as u8, span_m: (middle_m - half_m, middle_m + half_m), passage: entry.passage })
    }

    pub(super) fn has(&self, p: StagePoint, (a, b): (StagePoint, StagePoint)) -> bool {
        let along_m = (b - a).unit().map_or(0.0, |u| u.dot(p - a));
        along_m >= self.span_m.0 - TOUCH_M && along_m <= self.span_m.1 + TOUCH_M
    }

    pub(super) fn lets(&self, end: End) -> bool {
        match end {
            End::Start => self.passage != Passage::Out,
            End::Goal => self.passage != Passage::In,
            End::Between => true,
        }
    }
}
