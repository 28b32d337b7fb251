//! Labels: up to a few characters on a dark plate, stretched along the reader's sight line.

use heapless::Vec;

use crate::geom::{StagePoint, StageVector, polygon};
use crate::limits;
use crate::paint::{Rgba, SceneFull};
use crate::show::{LinePoint, Show};

use super::glyphs;
use super::ink;
use super::sheet::{Bounds, Sheet};
use super::sizes::Sizes;
use super::stroke::{self, Grid};

/// Least width of a character, metres.
pub const WIDTH_M: f32 = 0.12;
/// Least depth of a character along the sight line, metres.
pub const DEPTH_M: f32 = 0.20;
/// Greatest depth of a character, metres: farther readers come closer.
pub const DEPTH_MOST_M: f32 = 0.45;
/// Least width of a stroke, metres.
pub const STROKE_M: f32 = 0.025;
/// Least width of a stroke, pixels.
pub const STROKE_PX: f32 = 3.0;
/// Angle of a letter's depth at the reader's eye: 20 minutes of arc, the preferred size of
/// ISO 9241-3, in radians.
pub const READ_ANGLE: f32 = 20.0 / 60.0 * (core::f32::consts::PI / 180.0);
/// Distance from which somebody who walks up has to read a label, metres.
pub const APPROACH_M: f32 = 4.0;
/// Eye height of a reader, metres.
pub const EYE_M: f32 = 1.6;

/// A reader who looks upstage.
pub(super) const UPSTAGE: StageVector = StageVector::new(0.0, 1.0);

/// Floor depth that fills [`READ_ANGLE`] for an eye `eye_m` high and `away_m` away on the floor, metres.
///
/// A short stretch d of floor at that distance shows `d * sin(gaze) / range` of arc, the sine being
/// eye height over range: d = angle * range^2 / eye height.
pub fn depth_needed_m(away_m: f32, eye_m: f32) -> f32 {
    READ_ANGLE * (away_m * away_m + eye_m * eye_m) / eye_m
}

/// How one label lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Lay {
    /// The middle of its plate.
    pub(super) at: StagePoint,
    /// Unit vector away from the reader.
    pub(super) up: StageVector,
    /// Size of a character, metres.
    pub(super) size: Size,
}

/// Size of one character, metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Size {
    /// Across the sight line.
    pub width_m: f32,
    /// Along the sight line.
    pub depth_m: f32,
}

impl Size {
    /// The size for a reader `away_m` away.
    pub fn for_reader(sizes: &Sizes, away_m: f32) -> Self {
        let stroke = libm::fmaxf(STROKE_M, STROKE_PX * sizes.pitch_m);
        let width_m = libm::fmaxf(WIDTH_M, stroke * glyphs::WIDTH);
        let least = libm::fmaxf(DEPTH_M, stroke * glyphs::HEIGHT);
        let needed = libm::fminf(depth_needed_m(away_m, EYE_M), DEPTH_MOST_M);
        Self { width_m, depth_m: libm::fmaxf(least, needed) }
    }

    /// Width of `count` characters in a row, metres.
    pub fn row_m(&self, count: usize) -> f32 {
        let units = glyphs::WIDTH + glyphs::ADVANCE * count.saturating_sub(1) as f32;
        self.width_m / glyphs::WIDTH * units
    }

    /// Half the width and half the depth of the plate below `count` characters, metres.
    pub fn half_plate(&self, count: usize) -> (f32, f32) {
        (self.row_m(count) * 0.5 + self.margin_m(), self.depth_m * 0.5 + self.margin_m())
    }

    /// Dark margin of the plate round the characters, metres.
    pub fn margin_m(&self) -> f32 {
        self.width_m / glyphs::WIDTH
    }
}

/// Discs that the labels of one picture keep off: called marks and labels already placed.
pub(super) type Taken = Vec<(StagePoint, f32), { 2 * limits::MARKS }>;

/// A mark that gets a label.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wanted<'a> {
    /// The mark's point.
    pub(super) mark: StagePoint,
    /// Number of characters.
    pub(super) count: usize,
    /// The way the reader comes; `None` for one who stands downstage.
    pub(super) approach: Option<&'a [LinePoint]>,
}

/// Where a label lies beside its mark.
///
/// It reads from the last leg of the approach, or from downstage without one. It lies on the reader's
/// side of the mark if it can: on the floor and clear of everything in `taken`, to which it is added.
pub(super) fn beside(
    show: &Show,
    sizes: &Sizes,
    wanted: &Wanted<'_>,
    taken: &mut Taken,
    reach_m: impl Fn(StageVector) -> f32,
) -> Lay {
    let last = wanted.approach.and_then(|points| match points {
        [.., p, q] => (q.at - p.at).unit(),
        _ => None,
    });
    let up = last.unwrap_or(UPSTAGE);
    let size = Size::for_reader(sizes, if last.is_some() { APPROACH_M } else { from_downstage_m(show, wanted.mark) });
    let (w, d) = size.half_plate(wanted.count);
    let right = -up.perp();
    let lay = |(way, own): (StageVector, f32)| {
        let gap = reach_m(way) + sizes.keyline_m + size.margin_m();
        Lay { at: wanted.mark + way * (gap + own), up, size }
    };
    let sides = [(-up, d), (right, w), (-right, w), (up, d)].map(lay);
    let fits = |l: &&Lay| on_floor(show, l, (w, d));
    let free = |l: &&Lay| taken.iter().all(|&(at, reach)| at.distance(l.at) >= reach + libm::fminf(w, d));
    let first = sides.iter().find(|l| fits(l) && free(l)).or_else(|| sides.iter().find(fits));
    let chosen = first.copied().unwrap_or(lay((-up, d)));
    // A full list only means that later labels may touch this one.
    let _ = taken.push((chosen.at, libm::fmaxf(w, d)));
    chosen
}

fn on_floor(show: &Show, lay: &Lay, (w, d): (f32, f32)) -> bool {
    let right = -lay.up.perp();
    [(-w, -d), (w, -d), (w, d), (-w, d)]
        .iter()
        .all(|&(x, y)| polygon::contains(&show.floor.vertices, lay.at + right * x + lay.up * y))
}

/// A label in the middle of a thing, read from downstage.
pub(super) fn upon(show: &Show, sizes: &Sizes, at: StagePoint) -> Lay {
    Lay { at, up: UPSTAGE, size: Size::for_reader(sizes, from_downstage_m(show, at)) }
}

/// Distance of a reader who stands a metre off the downstage edge, metres.
fn from_downstage_m(show: &Show, at: StagePoint) -> f32 {
    let edge = show.floor.vertices.iter().map(|v| v.y).fold(at.y, libm::fminf);
    at.y - edge + 1.0
}

/// Draws `text` on its plate.
pub(super) fn draw(scene: &mut Sheet<'_, '_>, text: &str, ink: Rgba, lay: &Lay) -> Result<(), SceneFull> {
    plated(scene, text, ink, (lay, lay.size.half_plate(text.chars().count())))
}

/// Draws `text` on a plate that reaches half a width `w` and half a depth `d` from its middle, metres.
pub(super) fn plated(
    scene: &mut Sheet<'_, '_>,
    text: &str,
    ink: Rgba,
    (lay, (w, d)): (&Lay, (f32, f32)),
) -> Result<(), SceneFull> {
    let count = text.chars().count();
    if count == 0 {
        return Ok(());
    }
    let right = -lay.up.perp();
    let (half_w, half_d) = (lay.size.row_m(count) * 0.5, lay.size.depth_m * 0.5);
    let corner = |x: f32, y: f32| lay.at + right * x + lay.up * y;
    let plate = [corner(-w, -d), corner(w, -d), corner(w, d), corner(-w, d)];
    if !scene.shows(&Bounds::of(&plate)) {
        return Ok(());
    }
    scene.begin(ink::KEY);
    scene.polygon(&plate)?;
    scene.begin(ink);
    let unit = (lay.size.width_m / glyphs::WIDTH, lay.size.depth_m / glyphs::HEIGHT);
    for (i, c) in text.chars().enumerate() {
        let origin = corner(-half_w + unit.0 * glyphs::ADVANCE * i as f32, -half_d);
        stroke::glyph(scene, c, &Grid { origin, right: right * unit.0, up: lay.up * unit.1 })?;
    }
    Ok(())
}
