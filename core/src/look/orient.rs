//! The load-in picture: it shows where every panel is and which way it lies, and is symmetrical nowhere.
//!
//! Panel borders, slanted stripes that run on from panel to panel but cross no two neighbours alike,
//! panel numbers (1 in the SR-DS corner, on towards SL, then upstage), letters in the floor's corners,
//! an arrow downstage and a ruler of one metre. A panel that is turned breaks its stripe and shows its
//! number turned; swapped panels break the order and the stripes.

use crate::floor::Block;
use crate::geom::{StagePoint, StageVector};
use crate::paint::{Scene, SceneFull};
use crate::show::Show;

use super::digits::Digits;
use super::ink;
use super::item::item;
use super::labels::{self, Lay, Size, UPSTAGE};
use super::panels::{borders, numbers, stride, stripes};
use super::sheet::{Bounds, Sheet};
use super::sizes::Sizes;
use super::view::View;

/// Length of the ruler, metres.
pub const RULER_M: f32 = 1.0;
/// Draws the picture of all blocks.
pub(super) fn draw(scene: &mut Sheet<'_, '_>, sizes: &Sizes, show: &Show, view: &View) -> Result<(), SceneFull> {
    let every = stride(show.blocks.iter().map(Block::panels), view.panel_numbers);
    for block in &show.blocks {
        if scene.shows(&Bounds::of(&block.corners()).grown(sizes.line_m)) {
            borders(scene, sizes, block, view.level)?;
            stripes(scene, sizes, block, view.level)?;
        }
    }
    for block in &show.blocks {
        numbers(scene, sizes, block, (every, view))?;
    }
    for block in show.blocks.iter().take(1) {
        signs(scene, sizes, (show, block), view)?;
    }
    Ok(())
}

/// Draws small numbered crosses at survey points, in their order.
///
/// # Errors
/// [`SceneFull`] when the scene has no room.
pub fn survey_points(scene: &mut Scene<'_>, sizes: &Sizes, points: &[StagePoint]) -> Result<(), SceneFull> {
    let scene = &mut Sheet::whole(scene);
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

/// Letters in the floor's corners; the arrow downstage and the ruler in the middle of a block.
fn signs(
    scene: &mut Sheet<'_, '_>,
    sizes: &Sizes,
    (show, block): (&Show, &Block),
    view: &View,
) -> Result<(), SceneFull> {
    let centre = centre_of(&block.corners());
    let panel_m = f32::from(block.panel_width_px.min(block.panel_height_px)) * block.pitch_m();
    letters(scene, sizes, show, (panel_m, view))?;
    arrow(scene, sizes, centre + StageVector::new(panel_m * 0.75, panel_m * 0.5), view)?;
    ruler(scene, sizes, centre - StageVector::new(panel_m, panel_m * 0.5), view)
}

fn centre_of(corners: &[StagePoint; 4]) -> StagePoint {
    let sum = corners.iter().fold(StageVector::default(), |sum, &c| sum + (c - StagePoint::default()));
    StagePoint::default() + sum * 0.25
}

/// The floor's vertex farthest to each side on the diagonals: SR-DS, SL-DS, SL-US, SR-US.
fn floor_corners(show: &Show) -> [StagePoint; 4] {
    [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)].map(|(x, y)| {
        let out = |p: &StagePoint| p.x * x + p.y * y;
        let farthest = show.floor.vertices.iter().max_by(|a, b| out(a).total_cmp(&out(b)));
        farthest.copied().unwrap_or_default()
    })
}

/// A at SR-DS, B at SL-DS, C at SL-US, D at SR-US, each in the outer half of its corner panel.
fn letters(
    scene: &mut Sheet<'_, '_>,
    sizes: &Sizes,
    show: &Show,
    (panel_m, view): (f32, &View),
) -> Result<(), SceneFull> {
    let centre = centre_of(&floor_corners(show));
    let full = Size::for_reader(sizes, 6.0);
    let width_m = libm::fminf(full.width_m * 1.4, panel_m * 0.3);
    let size = Size { width_m, depth_m: libm::fminf(full.depth_m * 1.4, panel_m * 0.4) };
    for corner in floor_corners(show) {
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
fn arrow(scene: &mut Sheet<'_, '_>, sizes: &Sizes, at: StagePoint, view: &View) -> Result<(), SceneFull> {
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
fn ruler(scene: &mut Sheet<'_, '_>, sizes: &Sizes, middle: StagePoint, view: &View) -> Result<(), SceneFull> {
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
