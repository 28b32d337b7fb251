//! A glyph's centre lines become bands of even width on the glyph's own grid.

use heapless::Vec;

use crate::geom::{StagePoint, StageVector};
use crate::paint::SceneFull;

use super::glyphs;
use super::sheet::Sheet;

/// Most points of one stroke.
const POINTS: usize = 16;
/// Half the width of a stroke, grid units.
const HALF: f32 = 0.5;
/// A corner's outer tip reaches at most this many half widths from its centre line.
const MITRE: f32 = 1.35;

/// Where a glyph's grid lies on the stage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Grid {
    /// Stage place of the grid's lower left corner.
    pub(super) origin: StagePoint,
    /// One unit to the reader's right.
    pub(super) right: StageVector,
    /// One unit away from the reader.
    pub(super) up: StageVector,
}

impl Grid {
    /// Stage place of a grid place.
    pub(super) fn at(&self, x: f32, y: f32) -> StagePoint {
        self.origin + self.right * x + self.up * y
    }
}

/// Adds the strokes of `c` to the current shape.
pub(super) fn glyph(scene: &mut Sheet<'_, '_>, c: char, grid: &Grid) -> Result<(), SceneFull> {
    glyphs::strokes(c).iter().try_for_each(|stroke| {
        let points = stroke.iter().map(|&p| glyphs::place(p)).map(|(x, y)| StagePoint::new(x, y));
        let line: Vec<StagePoint, POINTS> = points.take(POINTS).collect();
        match line.as_slice() {
            [first, rest @ .., last] if first == last && rest.len() > 1 => ring(scene, &line, grid),
            _ => band(scene, &line, grid),
        }
    })
}

/// The two borders of a line, right and left of it, with flat ends that reach half a width on.
fn band(scene: &mut Sheet<'_, '_>, line: &[StagePoint], grid: &Grid) -> Result<(), SceneFull> {
    let mut right: Vec<StagePoint, { 2 * POINTS }> = Vec::new();
    let mut left: Vec<StagePoint, { 2 * POINTS }> = Vec::new();
    for i in 0..line.len() {
        let (before, after) = (i.checked_sub(1).and_then(|k| way(line, k)), way(line, i));
        corner(&mut right, &mut left, line.get(i), (before, after));
    }
    outline(scene, right.iter().chain(left.iter().rev()), grid)
}

/// A closed loop: its outer border, and its inner border the other way round.
fn ring(scene: &mut Sheet<'_, '_>, line: &[StagePoint], grid: &Grid) -> Result<(), SceneFull> {
    let mut right: Vec<StagePoint, { 2 * POINTS }> = Vec::new();
    let mut left: Vec<StagePoint, { 2 * POINTS }> = Vec::new();
    let sides = line.len().saturating_sub(1);
    for i in 0..sides {
        let before = way(line, if i == 0 { sides.saturating_sub(1) } else { i - 1 });
        corner(&mut right, &mut left, line.get(i), (before, way(line, i)));
    }
    // The alphabet writes its loops counter-clockwise, so their right border is the outer one.
    outline(scene, right.iter(), grid)?;
    outline(scene, left.iter().rev(), grid)
}

fn way(line: &[StagePoint], i: usize) -> Option<StageVector> {
    let (p, q) = (line.get(i)?, line.get(i + 1)?);
    (*q - *p).unit()
}

/// Adds the border points at one point of a line: mitred, the outer side cut off where it is sharp.
fn corner<const N: usize>(
    right: &mut Vec<StagePoint, N>,
    left: &mut Vec<StagePoint, N>,
    at: Option<&StagePoint>,
    ways: (Option<StageVector>, Option<StageVector>),
) {
    let Some(&p) = at else { return };
    match ways {
        (Some(w), None) => ends(right, left, p + w * HALF, w),
        (None, Some(w)) => ends(right, left, p - w * HALF, w),
        (Some(before), Some(after)) => joint(right, left, p, before, after),
        (None, None) => {}
    }
}

fn ends<const N: usize>(right: &mut Vec<StagePoint, N>, left: &mut Vec<StagePoint, N>, p: StagePoint, w: StageVector) {
    keep(right, p - w.perp() * HALF);
    keep(left, p + w.perp() * HALF);
}

fn joint<const N: usize>(
    right: &mut Vec<StagePoint, N>,
    left: &mut Vec<StagePoint, N>,
    p: StagePoint,
    before: StageVector,
    after: StageVector,
) {
    let sum = before.perp() + after.perp();
    let mitre = sum * (HALF / libm::fmaxf(1.0 + before.dot(after), 0.1));
    let turns_left = before.cross(after) > 0.0;
    let (inner, outer) = if turns_left { (left, right) } else { (right, left) };
    let out = if turns_left { -1.0 } else { 1.0 };
    keep(inner, p - mitre * out);
    let length = mitre.length();
    if length <= HALF * MITRE {
        keep(outer, p + mitre * out);
        return;
    }
    // Cut the tip off square to the bisector, `MITRE` half widths out.
    let tip = mitre * (HALF * MITRE / length);
    let slope = libm::fmaxf(length * length - HALF * HALF, 1e-6);
    let reach = (length - HALF * MITRE) * HALF / libm::sqrtf(slope);
    let along = (after - before).perp().unit().unwrap_or_default() * reach;
    let along = if along.dot(before) > 0.0 { along } else { -along };
    keep(outer, p + tip * out - along);
    keep(outer, p + tip * out + along);
}

fn keep<const N: usize>(border: &mut Vec<StagePoint, N>, p: StagePoint) {
    // Twice the room of a line: every point adds at most two.
    let _ = border.push(p);
}

fn outline<'p>(
    scene: &mut Sheet<'_, '_>,
    border: impl Iterator<Item = &'p StagePoint>,
    grid: &Grid,
) -> Result<(), SceneFull> {
    scene.polygon_from(border.map(|p| grid.at(p.x, p.y)))
}
