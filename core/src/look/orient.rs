//! The load-in picture: it shows where every panel is and which way it lies, and is symmetrical nowhere.
//!
//! Panel borders, slanted stripes that run on from panel to panel but cross no two neighbours alike,
//! panel numbers (1 in the SR-DS corner, on towards SL, then upstage), letters in the floor's corners,
//! an arrow downstage and a ruler of one metre. A panel that is turned breaks its stripe and shows its
//! number turned; swapped panels break the order and the stripes.

use crate::floor::Block;
use crate::geom::{StagePoint, StageVector, clip};
use crate::limits;
use crate::paint::{Scene, SceneFull};
use crate::show::Show;

use super::glyphs;
use super::ink;
use super::item::item;
use super::labels::{self, Lay, Size};
use super::sizes::Sizes;
use super::view::View;

/// Length of the ruler, metres.
pub const RULER_M: f32 = 1.0;
/// Distance between stripes, in panel widths: not a whole number, so that neighbours differ.
pub const STRIPE_PANELS: f32 = 0.87;
/// Sideways run of a stripe for each metre upstage.
pub const STRIPE_SLOPE: f32 = 0.37;
/// Most stripes of one block; wider blocks get them farther apart.
pub const MOST_STRIPES: f32 = 48.0;

const UPSTAGE: StageVector = StageVector::new(0.0, 1.0);

/// Draws the picture for the blocks that `view` asks for.
pub(super) fn draw(scene: &mut Scene<'_>, sizes: &Sizes, show: &Show, view: &View) -> Result<(), SceneFull> {
    let mine = |b: &&Block| view.canvas.is_none_or(|c| c == b.canvas);
    let every = stride(show.blocks.iter().filter(mine).map(Block::panels), view.panel_numbers);
    for block in show.blocks.iter().filter(mine) {
        borders(scene, sizes, block, view.level)?;
        stripes(scene, sizes, block, view.level)?;
    }
    for block in show.blocks.iter().filter(mine) {
        numbers(scene, sizes, block, (every, view))?;
    }
    for block in show.blocks.iter().filter(mine).take(1) {
        signs(scene, sizes, block, view)?;
    }
    Ok(())
}

/// Draws small numbered crosses at survey points, in their order.
///
/// # Errors
/// [`SceneFull`] when the scene has no room.
pub fn survey_points(scene: &mut Scene<'_>, sizes: &Sizes, points: &[StagePoint]) -> Result<(), SceneFull> {
    let (reach, half) = (0.10, sizes.half_m() * 0.5);
    for (i, &p) in points.iter().enumerate() {
        let at = |x: f32, y: f32| p + StageVector::new(x, y);
        item(scene, ink::EDGE, sizes.keyline_m, |scene, pass| {
            let (r, h) = (reach + pass.grow_m, half + pass.grow_m);
            scene.polygon(&[at(-r, -h), at(-h, -h), at(-h, -r), at(h, -r), at(h, -h), at(r, -h)])?;
            scene.polygon(&[at(-r, -h), at(r, -h), at(r, h), at(-r, h)])?;
            scene.polygon(&[at(-h, h), at(h, h), at(h, r), at(-h, r)])
        })?;
        let size = Size { width_m: labels::WIDTH_M * 0.6, depth_m: labels::DEPTH_M * 0.5 };
        let lay = Lay { at: at(0.16, -0.12), up: UPSTAGE, size };
        labels::draw(scene, Digits::of(i as u32 + 1).text(), ink::EDGE, &lay)?;
    }
    Ok(())
}

/// Every how many columns and rows a panel is numbered, so that at most `most` are over all blocks.
pub fn stride(blocks: impl Iterator<Item = (u16, u16)> + Clone, most: u16) -> u16 {
    let numbered = |every: u16| -> u32 {
        let share = |(columns, rows): (u16, u16)| u32::from(columns.div_ceil(every)) * u32::from(rows.div_ceil(every));
        blocks.clone().map(share).sum()
    };
    // Beyond the longest side of a canvas every block has one number, and no larger step helps.
    (1..=limits::CANVAS_SIDE_PX).find(|&e| numbered(e) <= u32::from(most)).unwrap_or(limits::CANVAS_SIDE_PX)
}

/// Borders of all panels.
fn borders(scene: &mut Scene<'_>, sizes: &Sizes, block: &Block, level: u8) -> Result<(), SceneFull> {
    let (columns, rows) = block.panels();
    let half_px = sizes.half_m() * 0.3 / libm::fmaxf(block.pitch_m(), 1e-6);
    let (l, t) = (f32::from(block.x_px), f32::from(block.y_px));
    let (r, b) = (block.right_px() as f32, block.bottom_px() as f32);
    scene.begin(ink::PROP.dimmed(level).dimmed(150))?;
    for column in 0..=columns {
        let x = l + f32::from(column) * f32::from(block.panel_width_px);
        rectangle(scene, block, (x - half_px, t), (x + half_px, b))?;
    }
    scene.begin(ink::PROP.dimmed(level).dimmed(150))?;
    for row in 0..=rows {
        let y = t + f32::from(row) * f32::from(block.panel_height_px);
        rectangle(scene, block, (l, y - half_px), (r, y + half_px))?;
    }
    Ok(())
}

/// A canvas rectangle as a shape of the stage, counter-clockwise from above.
fn rectangle(scene: &mut Scene<'_>, block: &Block, (l, t): (f32, f32), (r, b): (f32, f32)) -> Result<(), SceneFull> {
    let corner = |x, y| block.map.to_stage(crate::geom::PixelPoint::new(x, y));
    wound(scene, [corner(l, b), corner(r, b), corner(r, t), corner(l, t)])
}

/// Adds a quadrilateral whichever way it was given.
fn wound(scene: &mut Scene<'_>, corners: [StagePoint; 4]) -> Result<(), SceneFull> {
    let [a, b, c, d] = corners;
    if (b - a).cross(c - a) < 0.0 { scene.polygon(&[a, d, c, b]) } else { scene.polygon(&corners) }
}

fn stripes(scene: &mut Scene<'_>, sizes: &Sizes, block: &Block, level: u8) -> Result<(), SceneFull> {
    let corners = block.corners();
    let low = |f: fn(StagePoint) -> f32| corners.iter().map(|&p| f(p)).fold(f32::INFINITY, libm::fminf);
    let high = |f: fn(StagePoint) -> f32| corners.iter().map(|&p| f(p)).fold(f32::NEG_INFINITY, libm::fmaxf);
    let (west, east, south, north) = (low(|p| p.x), high(|p| p.x), low(|p| p.y), high(|p| p.y));
    let panel = f32::from(block.panel_width_px) * block.pitch_m();
    let run = STRIPE_SLOPE * (north - south);
    let step = libm::fmaxf(panel * STRIPE_PANELS, (east - west + run) / MOST_STRIPES);
    let half = sizes.half_m() * 0.5;
    let mut window = corners;
    if (window[1] - window[0]).cross(window[2] - window[0]) < 0.0 {
        window.reverse();
    }
    scene.begin(ink::EDGE.dimmed(level).dimmed(120))?;
    let mut x = west - run + step * 0.31;
    while x < east {
        let at = |dx: f32, y: f32| StagePoint::new(x + dx + STRIPE_SLOPE * (y - south), y);
        let band = [at(-half, south), at(half, south), at(half, north), at(-half, north)];
        // A stripe that cannot be clipped would only be a stripe too few.
        if let Ok(inside) = clip::clip::<8>(&band, &window) {
            scene.polygon(&inside)?;
        }
        x += step;
    }
    Ok(())
}

fn numbers(scene: &mut Scene<'_>, sizes: &Sizes, block: &Block, (every, view): (u16, &View)) -> Result<(), SceneFull> {
    let (columns, rows) = block.panels();
    let step = usize::from(every.max(1));
    let panel_m = f32::from(block.panel_width_px.min(block.panel_height_px)) * block.pitch_m();
    let size = number_size(sizes, panel_m);
    let ink = ink::TEXT.dimmed(view.level);
    for row in (0..rows).step_by(step) {
        for column in (0..columns).step_by(step) {
            let number = u32::from(row) * u32::from(columns) + u32::from(column) + 1;
            let digits = Digits::of(number);
            // Low in its panel on the SR side, so that letters and arrow find room beside it.
            let low = size.depth_m * 0.5 + size.margin_m() + panel_m * 0.06;
            let side = size.row_m(digits.text().len()) * 0.5 + size.margin_m() + panel_m * 0.06;
            let corner = panel_corner(block, column, row);
            let at = corner + StageVector::new(side, low);
            labels::draw(scene, digits.text(), ink, &Lay { at, up: UPSTAGE, size })?;
        }
    }
    Ok(())
}

/// Characters that fit three to a panel, as large as labels where the panel allows.
fn number_size(sizes: &Sizes, panel_m: f32) -> Size {
    let full = Size::for_reader(sizes, 0.0);
    let units = glyphs::WIDTH + 2.0 * glyphs::ADVANCE + 2.0;
    let width_m = libm::fminf(full.width_m, panel_m * 0.85 / units * glyphs::WIDTH);
    Size { width_m, depth_m: libm::fminf(full.depth_m, width_m * 1.5) }
}

/// The SR-DS corner of a panel counted from the block's SR-DS corner: its least x, then its least y.
fn panel_corner(block: &Block, column: u16, row: u16) -> StagePoint {
    let (_, rows) = block.panels();
    let from_top = rows.saturating_sub(row + 1);
    let x = f32::from(block.x_px) + f32::from(column) * f32::from(block.panel_width_px);
    let y = f32::from(block.y_px) + f32::from(from_top) * f32::from(block.panel_height_px);
    let (w, h) = (f32::from(block.panel_width_px), f32::from(block.panel_height_px));
    let corners = [(0.0, 0.0), (w, 0.0), (0.0, h), (w, h)]
        .map(|(dx, dy)| block.map.to_stage(crate::geom::PixelPoint::new(x + dx, y + dy)));
    let least = |f: fn(StagePoint) -> f32| corners.iter().map(|&p| f(p)).fold(f32::INFINITY, libm::fminf);
    StagePoint::new(least(|p| p.x), least(|p| p.y))
}

/// Corner letters, the arrow downstage and the ruler, placed by the first block.
fn signs(scene: &mut Scene<'_>, sizes: &Sizes, block: &Block, view: &View) -> Result<(), SceneFull> {
    let corners = block.corners();
    let middle = corners.iter().fold(StageVector::default(), |sum, &c| sum + (c - StagePoint::default())) * 0.25;
    let centre = StagePoint::default() + middle;
    let panel_m = f32::from(block.panel_width_px.min(block.panel_height_px)) * block.pitch_m();
    letters(scene, sizes, (block, centre, panel_m), view)?;
    arrow(scene, sizes, centre + StageVector::new(panel_m * 0.75, panel_m * 0.5), view)?;
    ruler(scene, sizes, centre - StageVector::new(panel_m, panel_m * 0.5), view)
}

/// A at SR-DS, B at SL-DS, C at SL-US, D at SR-US, each in the outer half of its corner panel.
fn letters(
    scene: &mut Scene<'_>,
    sizes: &Sizes,
    (block, centre, panel_m): (&Block, StagePoint, f32),
    view: &View,
) -> Result<(), SceneFull> {
    let full = Size::for_reader(sizes, 6.0);
    let width_m = libm::fminf(full.width_m * 1.4, panel_m * 0.3);
    let size = Size { width_m, depth_m: libm::fminf(full.depth_m * 1.4, panel_m * 0.4) };
    for corner in block.corners() {
        let (east, north) = (corner.x > centre.x, corner.y > centre.y);
        let name = match (east, north) {
            (false, false) => "A",
            (true, false) => "B",
            (true, true) => "C",
            (false, true) => "D",
        };
        let x = if east { corner.x - panel_m * 0.24 } else { corner.x + panel_m * 0.76 };
        let y = if north { corner.y - panel_m * 0.28 } else { corner.y + panel_m * 0.72 };
        let lay = Lay { at: StagePoint::new(x, y), up: UPSTAGE, size };
        labels::draw(scene, name, ink::TEXT.dimmed(view.level), &lay)?;
    }
    Ok(())
}

/// An arrow that points downstage, with its letters beside it.
fn arrow(scene: &mut Scene<'_>, sizes: &Sizes, at: StagePoint, view: &View) -> Result<(), SceneFull> {
    let p = |x: f32, y: f32| at + StageVector::new(x, y);
    item(scene, ink::TEXT.dimmed(view.level), sizes.keyline_m, |scene, pass| {
        let g = pass.grow_m;
        let (half, wing, head, tail) = (sizes.line_m * 0.5 + g, 0.14 + 2.0 * g, -0.16 + g, 0.35 + g);
        let tip = -0.38 - 2.0 * g;
        scene.polygon(&[
            p(0.0, tip),
            p(wing, head),
            p(half, head),
            p(half, tail),
            p(-half, tail),
            p(-half, head),
            p(-wing, head),
        ])
    })?;
    let size = Size::for_reader(sizes, 0.0);
    let beside = sizes.line_m * 0.5 + size.row_m(2) * 0.5 + 2.0 * size.margin_m();
    labels::draw(scene, "DS", ink::TEXT.dimmed(view.level), &Lay { at: p(beside, 0.16), up: UPSTAGE, size })
}

/// One metre from SR to SL in ten fields, every other one lit; its left half thicker.
fn ruler(scene: &mut Scene<'_>, sizes: &Sizes, middle: StagePoint, view: &View) -> Result<(), SceneFull> {
    let at = |x: f32, y: f32| middle + StageVector::new(x - RULER_M * 0.5, y);
    let field = RULER_M / 10.0;
    item(scene, ink::TEXT.dimmed(view.level), sizes.keyline_m, |scene, pass| {
        let (half, g) = (sizes.half_m(), pass.grow_m);
        if pass.keyline {
            let (end, w) = (RULER_M + g, half + g);
            return scene.polygon(&[at(-g, -w), at(end, -w), at(end, w), at(-g, w)]);
        }
        (0..5).try_for_each(|i| {
            let (from, to) = (field * 2.0 * i as f32, field * (2.0 * i as f32 + 1.0));
            scene.polygon(&[at(from, -half), at(to, -half), at(to, half), at(from, half)])
        })
    })?;
    let size = Size::for_reader(sizes, 0.0);
    let above = sizes.half_m() + size.depth_m * 0.5 + 2.0 * size.margin_m();
    labels::draw(scene, "1M", ink::TEXT.dimmed(view.level), &Lay { at: at(RULER_M * 0.5, above), up: UPSTAGE, size })
}

/// A number as text, without a heap.
struct Digits {
    bytes: [u8; 10],
    first: usize,
}

impl Digits {
    fn of(mut number: u32) -> Self {
        let mut bytes = [b'0'; 10];
        let mut first = bytes.len();
        for (i, byte) in bytes.iter_mut().enumerate().rev() {
            *byte = b'0' + (number % 10) as u8;
            number /= 10;
            first = i;
            if number == 0 {
                break;
            }
        }
        Self { bytes, first }
    }

    fn text(&self) -> &str {
        self.bytes.get(self.first..).and_then(|b| core::str::from_utf8(b).ok()).unwrap_or("")
    }
}
