//! Lines along any points: whole, or in a pattern of dashes.

use heapless::Vec;

use crate::geom::{StagePoint, StageVector};
use crate::paint::SceneFull;

use super::frame::Frame;
use super::sheet::Sheet;

/// Most points of a path that is drawn; nearly straight runs count as one.
pub(super) const POINTS: usize = 512;
/// A corner's tip reaches at most this many half widths from the line.
const MITRE: f32 = 2.0;

/// Points along a line; a closed one goes on from the last to the first.
#[derive(Clone, Debug)]
pub(super) struct Path {
    points: Vec<StagePoint, POINTS>,
    closed: bool,
}

impl Path {
    /// A path through `points`, without those within `tolerance_m` of the way between their neighbours.
    pub(super) fn new(points: &[StagePoint], closed: bool, tolerance_m: f32) -> Result<Self, SceneFull> {
        let mut kept: Vec<StagePoint, POINTS> = Vec::new();
        let mut rest = points;
        while let [first, tail @ ..] = rest {
            kept.push(*first).map_err(|_| SceneFull { list: "points of a path", capacity: POINTS })?;
            rest = tail.get(straight(*first, tail, tolerance_m)..).unwrap_or(&[]);
        }
        // The way home passes the last point, too.
        if let (true, [first, .., before, last]) = (closed, kept.as_slice())
            && straight(*before, &[*last, *first], tolerance_m) > 0
        {
            kept.pop();
        }
        Ok(Self { points: kept, closed })
    }

    fn sides(&self) -> usize {
        if self.closed { self.points.len() } else { self.points.len().saturating_sub(1) }
    }

    fn point(&self, i: usize) -> StagePoint {
        self.points.get(i % self.points.len().max(1)).copied().unwrap_or_default()
    }

    fn way(&self, i: usize) -> StageVector {
        (self.point(i + 1) - self.point(i)).unit().unwrap_or_default()
    }

    /// Length, metres.
    pub(super) fn length_m(&self) -> f32 {
        (0..self.sides()).map(|i| self.point(i).distance(self.point(i + 1))).sum()
    }

    /// The place `along_m` metres from the first point and the way on from there.
    pub(super) fn station(&self, along_m: f32) -> Frame {
        let mut rest = along_m;
        for i in 0..self.sides() {
            let side_m = self.point(i).distance(self.point(i + 1));
            if rest <= side_m || i + 1 == self.sides() {
                return Frame::along(self.point(i) + self.way(i) * rest, self.way(i));
            }
            rest -= side_m;
        }
        Frame::along(self.point(0), StageVector::new(1.0, 0.0))
    }

    /// The whole path, `half_m` to each side, its corners mitred.
    pub(super) fn band(&self, scene: &mut Sheet<'_, '_>, half_m: f32) -> Result<(), SceneFull> {
        (0..self.sides()).try_for_each(|i| {
            let (p, q) = (self.point(i), self.point(i + 1));
            let (a, b) = (self.mitre(i) * half_m, self.mitre(i + 1) * half_m);
            scene.polygon(&[p - a, q - b, q + b, p + a])
        })
    }

    /// The displacement of point i when the line moves a metre to its left.
    fn mitre(&self, i: usize) -> StageVector {
        let n = self.points.len().max(1);
        let first = !self.closed && i == 0;
        let last = !self.closed && i + 1 >= n;
        let before = if first { self.way(i) } else { self.way(i + n - 1) };
        let after = if last { before } else { self.way(i) };
        (before.perp() + after.perp()) * (1.0 / libm::fmaxf(1.0 + before.dot(after), 2.0 / (MITRE * MITRE)))
    }

    /// Dashes and gaps in turn, metres, again and again; the pattern is stretched so that it ends evenly.
    pub(super) fn dashed(
        &self,
        scene: &mut Sheet<'_, '_>,
        (half_m, grow_m): (f32, f32),
        pattern: &[(f32, f32)],
    ) -> Result<(), SceneFull> {
        let (length, period) = (self.length_m(), pattern.iter().map(|(dash, gap)| dash + gap).sum::<f32>());
        if !(length > 0.0 && period > 0.0) {
            return Ok(());
        }
        let count = libm::fmaxf(libm::roundf(length / period), 1.0);
        let stretch = length / (count * period);
        let mut at = 0.0;
        for _ in 0..count as u16 {
            for &(dash, gap) in pattern {
                self.piece(scene, (at - grow_m, at + dash * stretch + grow_m), half_m)?;
                at += (dash + gap) * stretch;
            }
        }
        Ok(())
    }

    /// The stretch of the path between two distances from its first point.
    fn piece(&self, scene: &mut Sheet<'_, '_>, (from_m, to_m): (f32, f32), half_m: f32) -> Result<(), SceneFull> {
        let mut start_m = 0.0;
        for i in 0..self.sides() {
            let side_m = self.point(i).distance(self.point(i + 1));
            let frame = Frame::along(self.point(i), self.way(i));
            let (a, b) = (libm::fmaxf(from_m - start_m, 0.0), libm::fminf(to_m - start_m, side_m));
            if a < b {
                scene.polygon(&[
                    frame.at(a, -half_m),
                    frame.at(b, -half_m),
                    frame.at(b, half_m),
                    frame.at(a, half_m),
                ])?;
            }
            start_m += side_m;
        }
        Ok(())
    }
}

/// How many of `tail`'s points can be left out after `from`: all that the way to the next kept one passes closely.
fn straight(from: StagePoint, tail: &[StagePoint], tolerance_m: f32) -> usize {
    let close = |to: StagePoint, between: &[StagePoint]| {
        let Some(way) = (to - from).unit() else { return false };
        between.iter().all(|&p| libm::fabsf(way.cross(p - from)) <= tolerance_m && way.dot(p - from) >= 0.0)
    };
    let mut skip = 0;
    while let (Some(&to), Some(between)) = (tail.get(skip + 1), tail.get(..=skip)) {
        if !close(to, between) {
            break;
        }
        skip += 1;
    }
    skip
}
