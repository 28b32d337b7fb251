//! In-shot zones: the outline of the floor where a person's pictures work.
//!
//! A thin line in the person's colour with small signs of the person's shape on it, so that it is not told by
//! colour alone. It is about pictures only: what else lies inside the outline it does not know.

use crate::geom::StagePoint;
use crate::paint::{Scene, SceneFull};
use crate::show::Who;

use super::frame::Frame;
use super::ink;
use super::item::{Pass, item};
use super::path::Path;
use super::sheet::Sheet;
use super::sizes::Sizes;

/// Width of the outline in shares of a line's width.
pub const THIN: f32 = 0.4;
/// From the middle of a sign to its corners, in line widths.
const SIGN: f32 = 0.9;
/// Distance between signs that is aimed at, metres.
const SPACING_M: f32 = 0.75;
/// An outline shorter than this has no signs, metres.
const SHORT_M: f32 = 0.6;

/// Draws the rings of one zone: its outline and its holes, each a closed line.
///
/// # Errors
/// [`SceneFull`] when the scene has no room, or a ring has more corners than one outline may have.
pub fn draw<'p>(
    scene: &mut Scene<'_>,
    sizes: &Sizes,
    rings: impl Iterator<Item = &'p [StagePoint]> + Clone,
    who: Who,
    level: u8,
) -> Result<(), SceneFull> {
    let scene = &mut Sheet::whole(scene);
    item(scene, ink::of(who).dimmed(level), sizes.keyline_m, |scene, pass| {
        for ring in rings.clone() {
            let path = Path::new(ring, true, sizes.tolerance_m)?;
            path.band(scene, sizes.half_m() * THIN + pass.grow_m)?;
            signs(scene, sizes, &path, who, pass)?;
        }
        Ok(())
    })
}

fn signs(scene: &mut Sheet<'_, '_>, sizes: &Sizes, path: &Path, who: Who, pass: Pass) -> Result<(), SceneFull> {
    let length = path.length_m();
    if length < SHORT_M {
        return Ok(());
    }
    let count = libm::fmaxf(libm::roundf(length / SPACING_M), 3.0);
    for i in 0..count as u16 {
        let frame = path.station(length * (f32::from(i) + 0.5) / count);
        sign(scene, &frame, who, SIGN * sizes.line_m, pass.grow_m)?;
    }
    Ok(())
}

/// A small filled sign in the shape of `who`, every side moved out by `grow` metres.
fn sign(scene: &mut Sheet<'_, '_>, frame: &Frame, who: Who, size: f32, grow: f32) -> Result<(), SceneFull> {
    match who {
        Who::WhiteCircle => scene.disc(frame.origin, size + grow),
        Who::AmberSquare => {
            let r = size * 0.9 + grow;
            scene.polygon(&[frame.at(-r, -r), frame.at(r, -r), frame.at(r, r), frame.at(-r, r)])
        }
        Who::CyanTriangle => {
            // Its sides are half its tip's distance from the middle.
            let tip = size * 1.3 + 2.0 * grow;
            let (base, half) = (-tip * 0.5, tip * 0.866);
            scene.polygon(&[frame.at(base, -half), frame.at(tip, 0.0), frame.at(base, half)])
        }
        Who::MagentaDiamond => {
            // Longer than wide, as round marks: its sides move out by more than its tips.
            let (long, wide) = (size * 1.5 + grow * 1.8, size + grow * 1.2);
            scene.polygon(&[frame.at(-long, 0.0), frame.at(0.0, -wide), frame.at(long, 0.0), frame.at(0.0, wide)])
        }
    }
}
