//! The panels of the load-in picture: borders, stripes that run on, numbers.

use crate::floor::Block;
use crate::geom::{PixelPoint, StagePoint, StageVector, clip};
use crate::limits;
use crate::paint::SceneFull;

use super::digits::Digits;
use super::glyphs;
use super::ink;
use super::labels::{self, Lay, Size, UPSTAGE};
use super::sheet::Sheet;
use super::sizes::Sizes;
use super::view::View;

/// Distance between stripes, in panel widths: not a whole number, so that neighbours differ.
pub(super) const STRIPE_PANELS: f32 = 0.87;
/// Sideways run of a stripe for each metre upstage.
pub(super) const STRIPE_SLOPE: f32 = 0.37;
/// Most stripes of one block; wider blocks get them farther apart.
pub(super) const MOST_STRIPES: f32 = 48.0;

/// Every how many columns and rows a panel is numbered, so that at most `most` are over all blocks.
pub(super) fn stride(blocks: impl Iterator<Item = (u16, u16)> + Clone, most: u16) -> u16 {
    let numbered = |every: u16| -> u32 {
        let share = |(columns, rows): (u16, u16)| u32::from(columns.div_ceil(every)) * u32::from(rows.div_ceil(every));
        blocks.clone().map(share).sum()
    };
    // Beyond the longest side of a canvas every block has one number, and no larger step helps.
    (1..=limits::CANVAS_SIDE_PX).find(|&e| numbered(e) <= u32::from(most)).unwrap_or(limits::CANVAS_SIDE_PX)
}

/// Borders of all panels.
pub(super) fn borders(scene: &mut Sheet<'_, '_>, sizes: &Sizes, block: &Block, level: u8) -> Result<(), SceneFull> {
    let (columns, rows) = block.panels();
    let half_px = sizes.half_m() * 0.3 / libm::fmaxf(block.pitch_m(), 1e-6);
    let (l, t) = (f32::from(block.x_px), f32::from(block.y_px));
    let (r, b) = (block.right_px() as f32, block.bottom_px() as f32);
    scene.begin(ink::PROP.dimmed(level).dimmed(150));
    for column in 0..=columns {
        let x = l + f32::from(column) * f32::from(block.panel_width_px);
        rectangle(scene, block, (x - half_px, t), (x + half_px, b))?;
    }
    scene.begin(ink::PROP.dimmed(level).dimmed(150));
    for row in 0..=rows {
        let y = t + f32::from(row) * f32::from(block.panel_height_px);
        rectangle(scene, block, (l, y - half_px), (r, y + half_px))?;
    }
    Ok(())
}

/// A canvas rectangle as a shape of the stage, counter-clockwise from above.
fn rectangle(
    scene: &mut Sheet<'_, '_>,
    block: &Block,
    (l, t): (f32, f32),
    (r, b): (f32, f32),
) -> Result<(), SceneFull> {
    let corner = |x, y| block.map.to_stage(PixelPoint::new(x, y));
    wound(scene, [corner(l, b), corner(r, b), corner(r, t), corner(l, t)])
}

/// Adds a quadrilateral whichever way it was given.
fn wound(scene: &mut Sheet<'_, '_>, corners: [StagePoint; 4]) -> Result<(), SceneFull> {
    let [a, b, c, d] = corners;
    if (b - a).cross(c - a) < 0.0 { scene.polygon(&[a, d, c, b]) } else { scene.polygon(&corners) }
}

pub(super) fn stripes(scene: &mut Sheet<'_, '_>, sizes: &Sizes, block: &Block, level: u8) -> Result<(), SceneFull> {
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
    scene.begin(ink::EDGE.dimmed(level).dimmed(120));
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

pub(super) fn numbers(
    scene: &mut Sheet<'_, '_>,
    sizes: &Sizes,
    block: &Block,
    (every, view): (u16, &View),
) -> Result<(), SceneFull> {
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
    let corners =
        [(0.0, 0.0), (w, 0.0), (0.0, h), (w, h)].map(|(dx, dy)| block.map.to_stage(PixelPoint::new(x + dx, y + dy)));
    let least = |f: fn(StagePoint) -> f32| corners.iter().map(|&p| f(p)).fold(f32::INFINITY, libm::fminf);
    StagePoint::new(least(|p| p.x), least(|p| p.y))
}
