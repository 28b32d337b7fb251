//! Walk lines: dots or chevrons at even steps along given points.

use crate::geom::StagePoint;
use crate::paint::{Rgba, SceneFull};
use crate::show::{Dots, Line, LinePoint};
use crate::walk::{Path, Spot};

use super::frame::Frame;
use super::item::{Pass, item};
use super::sheet::Sheet;
use super::sizes::Sizes;

/// Places every `spacing_m` of arc length along a path, the first one `start_m` from its beginning.
pub(super) fn steps(path: Path<'_>, spacing_m: f32, start_m: f32) -> impl Iterator<Item = Spot> {
    path.stretches()
        .scan(start_m, move |next, stretch| {
            let (length, offset) = (stretch.length(), *next);
            let reach = if spacing_m > 0.0 { libm::floorf((length - offset) / spacing_m) } else { -1.0 };
            let count = if reach < 0.0 { 0 } else { reach as u32 + 1 };
            *next = offset + spacing_m * count as f32 - length;
            Some((0..count).map(move |k| {
                let share = (offset + spacing_m * k as f32) / length;
                Spot { at: stretch.point(share), way: stretch.heading(share) }
            }))
        })
        .flatten()
}

/// Draws a line's dots but those on the marks at its ends, each a place and its reach in metres.
///
/// `drift` moves chevrons on by that many 256ths of their spacing.
pub(super) fn draw(
    scene: &mut Sheet<'_, '_>,
    sizes: &Sizes,
    (line, points): (&Line, &[LinePoint]),
    (ink, drift, later): (Rgba, u8, bool),
    ends: [Option<(StagePoint, f32)>; 2],
) -> Result<(), SceneFull> {
    let start = line.spacing_m * f32::from(drift) / 256.0;
    let clear = |s: &Spot| ends.iter().flatten().all(|&(at, reach_m)| s.at.distance(at) >= reach_m + line.dot_m);
    item(scene, ink, sizes.keyline_m, |scene, pass| {
        steps(Path::new(points), line.spacing_m, start).filter(clear).try_for_each(|s| dot(scene, line, s, pass, later))
    })
}

/// One dot; for later it is hollow, or a smaller chevron.
fn dot(scene: &mut Sheet<'_, '_>, line: &Line, step: Spot, pass: Pass, later: bool) -> Result<(), SceneFull> {
    match line.dots {
        Dots::Discs => {
            scene.disc(step.at, line.dot_m * 0.5 + pass.grow_m)?;
            if later && !pass.keyline { scene.hole(step.at, line.dot_m * 0.3) } else { Ok(()) }
        }
        Dots::Chevrons => {
            let size = if later { line.dot_m * 0.6 } else { line.dot_m };
            chevron(scene, &Frame::along(step.at, step.way), size, pass.grow_m)
        }
    }
}

/// A chevron `size` long and as wide, its arms leaning 45 degrees, every side moved out by `grow`.
fn chevron(scene: &mut Sheet<'_, '_>, frame: &Frame, size: f32, grow: f32) -> Result<(), SceneFull> {
    let half = size * 0.5;
    // A leaning side moved out by `grow` moves its crossing with the axis by sqrt 2 of it.
    let slant = grow * core::f32::consts::SQRT_2;
    let side = half + grow;
    let (tip, notch) = (half + slant, -slant);
    scene.polygon_from([
        frame.at(tip, 0.0),
        frame.at(tip - side, side),
        frame.at(notch - side, side),
        frame.at(notch, 0.0),
        frame.at(notch - side, -side),
        frame.at(tip - side, -side),
    ])
}
