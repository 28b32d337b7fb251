//! Bands along the outline of a convex polygon: whole, in pieces, dashed, or at its corners only.

use heapless::Vec;

use crate::geom::{StagePoint, StageVector, polygon};
use crate::limits;
use crate::paint::SceneFull;

use super::dash::{self, Dashes};
use super::frame::Frame;
use super::sheet::Sheet;

/// Room for a polygon while it is being cut: each cut adds at most one vertex.
const ROOM: usize = 2 * limits::HULL_VERTICES + 2;

/// Holes smaller than this are not drawn, square metres.
const LEAST_HOLE_M2: f32 = 1e-5;

/// A convex polygon, counter-clockwise seen from above.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sides<'a>(pub(super) &'a [StagePoint]);

/// A place on an outline.
#[derive(Clone, Copy, Debug)]
pub(super) struct Station {
    /// The place.
    pub(super) at: StagePoint,
    /// Unit vector out of the outline.
    pub(super) out: StageVector,
}

impl Sides<'_> {
    fn vertex(&self, i: usize) -> StagePoint {
        self.0.get(i % self.0.len().max(1)).copied().unwrap_or_default()
    }

    /// Unit direction of the side from vertex i to the next.
    fn way(&self, i: usize) -> StageVector {
        (self.vertex(i + 1) - self.vertex(i)).unit().unwrap_or_default()
    }

    fn out(&self, i: usize) -> StageVector {
        -self.way(i).perp()
    }

    fn side_m(&self, i: usize) -> f32 {
        self.vertex(i).distance(self.vertex(i + 1))
    }

    pub(super) fn perimeter_m(&self) -> f32 {
        (0..self.0.len()).map(|i| self.side_m(i)).sum()
    }

    /// Displacement of vertex i when both its sides move out by one metre.
    fn mitre(&self, i: usize) -> StageVector {
        let before = self.out(i + self.0.len() - 1);
        let after = self.out(i);
        // Corners sharper than 60 degrees would throw their tip far out: hold it at twice the width.
        (before + after) * (1.0 / libm::fmaxf(1.0 + before.dot(after), 0.5))
    }

    /// The polygon with every side moved out by `by_m`.
    pub(super) fn outset(&self, by_m: f32) -> impl Iterator<Item = StagePoint> {
        (0..self.0.len()).map(move |i| self.vertex(i) + self.mitre(i) * by_m)
    }

    /// The polygon with every side moved in by `by_m`; empty when nothing is left.
    fn inset(&self, by_m: f32) -> Vec<StagePoint, ROOM> {
        let mut rest: Vec<StagePoint, ROOM> = self.0.iter().copied().take(limits::HULL_VERTICES).collect();
        for i in 0..self.0.len() {
            rest = keep_inside(&rest, self.vertex(i), self.out(i), -by_m);
        }
        if polygon::signed_area(&rest) < LEAST_HOLE_M2 {
            rest.clear();
        }
        rest
    }

    /// The whole outline, `half_m` on each side; filled when the polygon is too narrow for a hole.
    pub(super) fn band(&self, scene: &mut Sheet<'_, '_>, half_m: f32) -> Result<(), SceneFull> {
        scene.polygon_from(self.outset(half_m))?;
        let inner = self.inset(half_m);
        scene.polygon_from(inner.iter().rev().copied())
    }

    /// The area inside, every side moved out by `grow_m`.
    pub(super) fn filled(&self, scene: &mut Sheet<'_, '_>, grow_m: f32) -> Result<(), SceneFull> {
        scene.polygon_from(self.outset(grow_m))
    }

    /// Metres along the outline to the middle of side i.
    pub(super) fn middle_m(&self, i: usize) -> f32 {
        (0..i).map(|k| self.side_m(k)).sum::<f32>() + self.side_m(i) * 0.5
    }

    /// True when the outline leaves no room for a hole.
    pub(super) fn narrow(&self, half_m: f32) -> bool {
        self.inset(half_m).len() < 3
    }

    /// The place `along_m` metres counter-clockwise from vertex 0.
    pub(super) fn station(&self, along_m: f32) -> Station {
        let (i, rest) = self.locate(along_m);
        Station { at: self.vertex(i) + self.way(i) * rest, out: self.out(i) }
    }

    /// Side on which a place lies, counted past the last vertex when it is in a second round, and metres along it.
    fn locate(&self, along_m: f32) -> (usize, f32) {
        let (mut i, mut rest) = (0, along_m);
        while i + 1 < 2 * self.0.len() && rest > self.side_m(i) {
            rest -= self.side_m(i);
            i += 1;
        }
        (i, rest)
    }

    /// Metres along the outline to where the ray ahead from a place inside crosses it.
    pub(super) fn crossing_m(&self, ray: &Frame) -> f32 {
        let mut before = 0.0;
        for i in 0..self.0.len() {
            let (p, q) = (self.vertex(i) - ray.origin, self.vertex(i + 1) - ray.origin);
            let (a, b) = (ray.ahead.cross(p), ray.ahead.cross(q));
            if a <= 0.0 && b > 0.0 {
                return before + self.side_m(i) * (a / (a - b));
            }
            before += self.side_m(i);
        }
        0.0
    }

    /// The piece of outline from `from_m` to `to_m`, round corners where it must.
    pub(super) fn piece(
        &self,
        scene: &mut Sheet<'_, '_>,
        (from_m, to_m): (f32, f32),
        half_m: f32,
    ) -> Result<(), SceneFull> {
        let (first, _) = self.locate(from_m);
        let (last, _) = self.locate(to_m);
        let end = |m: f32| (self.station(m).at, self.station(m).out);
        let corners = (first + 1..=last).map(|i| (self.vertex(i), self.mitre(i % self.0.len().max(1))));
        let spine = core::iter::once(end(from_m)).chain(corners).chain(core::iter::once(end(to_m)));
        let spine: Vec<(StagePoint, StageVector), ROOM> = spine.take(ROOM).collect();
        let outer = spine.iter().map(|&(p, out)| p + out * half_m);
        let inner = spine.iter().rev().map(|&(p, out)| p - out * half_m);
        scene.polygon_from(outer.chain(inner))
    }

    /// Dashes with every corner covered; along the whole outline where the sides are short.
    pub(super) fn dashed(&self, scene: &mut Sheet<'_, '_>, half_m: f32) -> Result<(), SceneFull> {
        let short = (0..self.0.len()).any(|i| self.side_m(i) < dash::DASH_M + dash::GAP_M);
        let sides = if short { 1 } else { self.0.len() };
        let perimeter = self.perimeter_m();
        let (mut at, mut open, mut first) = (0.0, None, 0.0);
        for side in 0..sides {
            let length = if short { perimeter } else { self.side_m(side) };
            let dashes = Dashes::closed(length, if short { 4 } else { 1 });
            for k in 0..dashes.count {
                let gap = at + dashes.dash_m * 0.5 + dashes.period_m() * f32::from(k);
                match open {
                    Some(from) => self.piece(scene, (from, gap), half_m)?,
                    None => first = gap,
                }
                open = Some(gap + dashes.gap_m);
            }
            at += length;
        }
        open.map_or(Ok(()), |from| self.piece(scene, (from, perimeter + first), half_m))
    }

    /// The outline with an opening of `share` of each side, in its middle.
    pub(super) fn opened(&self, scene: &mut Sheet<'_, '_>, half_m: f32, share: f32) -> Result<(), SceneFull> {
        let keep = (1.0 - share) * 0.5;
        let mut corner = 0.0;
        for i in 0..self.0.len() {
            let next = corner + self.side_m(i);
            let reach = (self.side_m(i) * keep, self.side_m(i + 1) * keep);
            self.piece(scene, (next - reach.0, next + reach.1), half_m)?;
            corner = next;
        }
        Ok(())
    }

    /// Ticks of `tick_m` to both sides of every real corner; four pieces where the outline is round.
    pub(super) fn corners(&self, scene: &mut Sheet<'_, '_>, half_m: f32, tick_m: f32) -> Result<(), SceneFull> {
        let sharp = |i: usize| self.way(i).dot(self.way(i + 1)) < 0.866;
        let perimeter = self.perimeter_m();
        if (0..self.0.len()).filter(|&i| sharp(i)).count() < 3 {
            let quarter = perimeter * 0.25;
            return [0.5, 1.5, 2.5, 3.5]
                .iter()
                .try_for_each(|k| self.piece(scene, (quarter * k - tick_m, quarter * k + tick_m), half_m));
        }
        let mut corner = 0.0;
        for i in 0..self.0.len() {
            corner += self.side_m(i);
            let most = libm::fminf(self.side_m(i), self.side_m(i + 1)) / 3.0;
            let reach = libm::fminf(tick_m, most);
            if sharp(i) {
                self.piece(scene, (corner - reach, corner + reach), half_m)?;
            }
        }
        Ok(())
    }
}

/// The part of a convex polygon where `(p - on) · out <= limit_m`.
fn keep_inside(polygon: &[StagePoint], on: StagePoint, out: StageVector, limit_m: f32) -> Vec<StagePoint, ROOM> {
    let over = |p: StagePoint| (p - on).dot(out) - limit_m;
    let mut kept = Vec::new();
    let nexts = polygon.iter().skip(1).chain(polygon.first());
    for (&p, &q) in polygon.iter().zip(nexts) {
        let (a, b) = (over(p), over(q));
        if a <= 0.0 && kept.push(p).is_err() {
            break;
        }
        if (a < 0.0) != (b < 0.0) && a != 0.0 && b != 0.0 && kept.push(p + (q - p) * (a / (a - b))).is_err() {
            break;
        }
    }
    kept
}
