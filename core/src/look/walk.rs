//! The walk outline: a thin line round every keep-out, where clearance ends and the way is free.
//!
//! A staging aid: it draws a plan and does not know who or what is really on the floor.

use crate::geom::Stretch;
use crate::paint::{Scene, SceneFull};
use crate::props::ground::Ground;
use crate::props::keepout::Limit;
use crate::props::outline::walk_outline;

use super::arc;
use super::frame::Frame;
use super::ink;
use super::item::item;
use super::sheet::Sheet;
use super::sizes::Sizes;

/// Width of the outline in shares of a line's width.
pub const THIN: f32 = 0.4;

/// Draws the boundary of all keep-outs of `ground`; the floor's own edges are drawn by [`super::edges`].
///
/// # Errors
/// [`SceneFull`] when the scene has no room; what is in it by then must not be painted.
pub fn draw(scene: &mut Scene<'_>, sizes: &Sizes, ground: &Ground<'_>, level: u8) -> Result<(), SceneFull> {
    let scene = &mut Sheet::whole(scene);
    item(scene, ink::PROP.dimmed(level), sizes.keyline_m, |scene, pass| {
        let half = sizes.half_m() * THIN + pass.grow_m;
        let mut done = Ok(());
        walk_outline(ground, &mut |limit, piece| {
            if done.is_ok() && matches!(limit, Limit::Part { .. } | Limit::Physical(_)) {
                done = stretch(scene, &piece, half, sizes.tolerance_m);
            }
        });
        done
    })
}

/// A band along one stretch, `half` on each side.
pub(super) fn stretch(
    scene: &mut Sheet<'_, '_>,
    piece: &Stretch,
    half: f32,
    tolerance_m: f32,
) -> Result<(), SceneFull> {
    match *piece {
        Stretch::Line { from, to } => {
            let Some(way) = (to - from).unit() else { return Ok(()) };
            let (frame, length) = (Frame::along(from, way), from.distance(to));
            scene.polygon(&[frame.at(0.0, -half), frame.at(length, -half), frame.at(length, half), frame.at(0.0, half)])
        }
        Stretch::Arc { centre, radius_m, start, sweep } => {
            let (a, b) = (start.to_radians(), start.to_radians() + sweep.to_radians());
            let ends = if a < b { (a, b) } else { (b, a) };
            arc::sector(scene, centre, (radius_m - half, radius_m + half), ends, tolerance_m)
        }
    }
}
