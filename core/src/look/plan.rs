//! What plans on paper and on a monitor show beside the floor's own look: corridors of walk lines, entries that are
//! crossed one way only, and raised sides that nobody may cross.

use crate::geom::{Region, StagePoint, StageVector};
use crate::paint::{Scene, SceneFull};
use crate::props::outline::union_outline;
use crate::show::Who;

use super::edges::TICK_M;
use super::frame::Frame;
use super::ink;
use super::item::item;
use super::props::HEAD_M;
use super::sheet::Sheet;
use super::sides::Sides;
use super::sizes::Sizes;
use super::walk;

/// Width of a corridor's border in shares of a line's width; at least two pixels.
pub const THIN: f32 = 0.25;
/// Drive of a corridor's border, of 255: it is less than the line it goes with.
pub const DIM: u8 = 170;
/// Distance between ticks of a closed side, metres.
pub const TICK_SPACING_M: f32 = 0.25;

/// Draws the border of all `regions` together, thin, in the colour of whoever walks there.
///
/// # Errors
/// [`SceneFull`] when the scene has no room.
pub fn corridor(
    scene: &mut Scene<'_>,
    sizes: &Sizes,
    regions: &[Region],
    (who, level): (Who, u8),
) -> Result<(), SceneFull> {
    let scene = &mut Sheet::whole(scene);
    item(scene, ink::of(who).dimmed(DIM).dimmed(level), sizes.keyline_m * 0.5, |scene, pass| {
        let half = libm::fmaxf(sizes.half_m() * THIN, sizes.pitch_m) + pass.grow_m;
        let mut done = Ok(());
        union_outline(regions, &mut |piece| {
            if done.is_ok() {
                done = walk::stretch(scene, &piece, half, sizes.tolerance_m);
            }
        });
        done
    })
}

/// Draws an arrow of two heads about `at` that points along the unit vector `way`.
///
/// # Errors
/// [`SceneFull`] when the scene has no room.
pub fn one_way(
    scene: &mut Scene<'_>,
    sizes: &Sizes,
    (at, way): (StagePoint, StageVector),
    level: u8,
) -> Result<(), SceneFull> {
    let scene = &mut Sheet::whole(scene);
    item(scene, ink::EDGE.dimmed(level), sizes.keyline_m, |scene, pass| {
        [-0.5, 0.5].into_iter().try_for_each(|shift: f32| {
            let frame = Frame::along(at + way * (shift * HEAD_M * 1.3), way);
            let (half, wing) = (HEAD_M * 0.5, HEAD_M * 0.55);
            Sides(&[frame.at(half, 0.0), frame.at(-half, wing), frame.at(-half, -wing)]).filled(scene, pass.grow_m)
        })
    })
}

/// Draws ticks on the lower side of a raised side that nobody may cross, which runs counter-clockwise round its thing
/// and has its step's outline already.
///
/// # Errors
/// [`SceneFull`] when the scene has no room.
pub fn closed_side(
    scene: &mut Scene<'_>,
    sizes: &Sizes,
    (from, to): (StagePoint, StagePoint),
    level: u8,
) -> Result<(), SceneFull> {
    let Some(way) = (to - from).unit() else { return Ok(()) };
    let scene = &mut Sheet::whole(scene);
    let (frame, length) = (Frame::along(from, way), from.distance(to));
    // The thing is on the left, and its outline lies on the right of its side.
    let root = -(sizes.line_m + sizes.keyline_m);
    let count = libm::fmaxf(libm::roundf(length / TICK_SPACING_M), 1.0);
    item(scene, ink::EDGE.dimmed(level), sizes.keyline_m, |scene, pass| {
        let (half, tip) = (sizes.half_m() * 0.6 + pass.grow_m, root - TICK_M - pass.grow_m);
        (0..count as u16).try_for_each(|i| {
            let at = length * (f32::from(i) + 0.5) / count;
            let (a, b) = (at - half, at + half);
            scene.polygon(&[frame.at(a, tip), frame.at(b, tip), frame.at(b, root), frame.at(a, root)])
        })
    })
}
