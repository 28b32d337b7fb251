//! The readings of one survey, and the doors they pass.

use super::SurveyError;
use super::vector::Triple;
use crate::geom::{StagePoint3, TrackingPoint};
use crate::limits;

/// One surveyed point: where it is on the stage and what the tracking system read there.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Reading {
    /// Its place on the stage.
    pub stage: StagePoint3,
    /// What was read.
    pub tracking: TrackingPoint,
}

/// Two points nearer than this are one point read twice, metres.
pub const DISTINCT_M: f32 = 0.05;
/// All points within this length say too little about a floor, metres.
pub const SPREAD_M: f32 = 0.5;
/// Points whose farthest distance from their longest line is below this share of it count as collinear.
pub const WIDTH_SHARE: f32 = 0.05;

/// Readings with one left out or two exchanged.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sample<'r> {
    pub(super) readings: &'r [Reading],
    pub(super) without: Option<usize>,
    pub(super) swapped: Option<(usize, usize)>,
}

impl<'r> Sample<'r> {
    pub(super) const fn all(readings: &'r [Reading]) -> Self {
        Self { readings, without: None, swapped: None }
    }

    /// Tracking and stage places of the readings that take part.
    pub(super) fn pairs(&self) -> impl Iterator<Item = (Triple, Triple)> + use<'r> {
        let sample = *self;
        let partner = move |i: usize| match sample.swapped {
            Some((a, b)) if i == a => b,
            Some((a, b)) if i == b => a,
            _ => i,
        };
        let taking_part = sample.readings.iter().enumerate().filter(move |&(i, _)| sample.without != Some(i));
        taking_part.filter_map(move |(i, reading)| {
            let read = sample.readings.get(partner(i))?;
            Some((read.tracking.into(), reading.stage.into()))
        })
    }

    /// Means of the tracking and of the stage places.
    pub(super) fn centres(&self) -> (Triple, Triple) {
        // Seen from the first reading the sums stay small.
        let Some((from0, to0)) = self.pairs().next() else { return Default::default() };
        let (mut from, mut to, mut count) = (Triple::default(), Triple::default(), 0.0);
        for (f, t) in self.pairs() {
            from = from.plus(f.minus(from0));
            to = to.plus(t.minus(to0));
            count += 1.0;
        }
        (from.times(1.0 / count).plus(from0), to.times(1.0 / count).plus(to0))
    }

    /// Refuses what no fit can be made of.
    pub(super) fn check(&self) -> Result<(), SurveyError> {
        let count = self.pairs().count();
        if count < 3 {
            return Err(SurveyError::TooFew { given: count as u8 });
        }
        if count > limits::SURVEY_POINTS {
            return Err(SurveyError::TooMany);
        }
        for (index, reading) in self.readings.iter().enumerate() {
            let reach = |v: f32| libm::fabsf(v) <= limits::STAGE_REACH_M;
            let (s, t) = (reading.stage, reading.tracking);
            if ![s.x, s.y, s.z].into_iter().chain([t.x, t.y, t.z]).all(reach) {
                return Err(SurveyError::NotFinite { index: index as u8 });
            }
        }
        self.check_distinct()?;
        spread(|| self.pairs().map(|(_, stage)| stage))?;
        spread(|| self.pairs().map(|(tracking, _)| tracking))
    }

    fn check_distinct(&self) -> Result<(), SurveyError> {
        for (first, a) in self.pairs().enumerate() {
            for (second, b) in self.pairs().enumerate().skip(first + 1) {
                if a.0.minus(b.0).length() < DISTINCT_M || a.1.minus(b.1).length() < DISTINCT_M {
                    return Err(SurveyError::Duplicate { first: first as u8, second: second as u8 });
                }
            }
        }
        Ok(())
    }
}

/// Checks that points span a plane.
fn spread<I: Iterator<Item = Triple>>(points: impl Fn() -> I) -> Result<(), SurveyError> {
    let (mut length, mut ends) = (0.0, (Triple::default(), Triple::default()));
    for a in points() {
        for b in points() {
            let between = b.minus(a).length();
            if between > length {
                (length, ends) = (between, (a, b));
            }
        }
    }
    if length < SPREAD_M {
        return Err(SurveyError::TooClose);
    }
    let along = ends.1.minus(ends.0);
    let off = |p: Triple| p.minus(ends.0).cross(along).length() / length;
    let width = points().map(off).fold(0.0, f32::max);
    if width < length * WIDTH_SHARE { Err(SurveyError::Collinear) } else { Ok(()) }
}
