//! Scenic footprints: soft pools of shadow under what stands on the floor, for pictures that are on air.
//!
//! With every camera hot nearly nothing can be hidden. A pool may be seen, because it belongs to the picture: it only
//! darkens the content, in three thin steps, so that it has the content's own colours and stays below a contrast of
//! 1.3 to 1.

use crate::paint::{Rgba, SceneFull};
use crate::props::Placement;
use crate::show::{Band, Cue, CueProp, Presence, Prop, Show};

use super::frame::Frame;
use super::props::{Outline, Ring, strongest};
use super::sheet::{Bounds, Sheet};
use super::sides::Sides;
use super::sizes::Sizes;

/// How far each step reaches beyond the footprint, metres; the widest lies lowest.
pub const STEPS_M: [f32; 3] = [0.16, 0.08, 0.0];
/// One step: black so thin that three of them darken by less than 1.3 to 1.
pub const INK: Rgba = Rgba { r: 0, g: 0, b: 0, a: 9 };
/// Radius of the dot that stands for a mark, metres.
pub const DOT_M: f32 = 0.10;

/// Draws pools under everything of `cue` that is in the picture, and dots at its marks.
pub(super) fn draw(scene: &mut Sheet<'_, '_>, sizes: &Sizes, show: &Show, cue: &Cue) -> Result<(), SceneFull> {
    let in_picture = |p: &&CueProp| p.presence != Presence::Coming || p.coming_ms > 0;
    for step_m in STEPS_M {
        // One shape for each step: where pools meet they are no darker.
        scene.begin(INK);
        for state in show.props_in(cue).iter().filter(in_picture) {
            let (prop, placement) = (show.props.get(state.prop.index()), Placement::after(show, cue, state.prop));
            if let (Some(prop), Some(placement)) = (prop, placement) {
                pool(scene, sizes, show, (prop, &Frame::turned(placement.at, placement.turn)), step_m)?;
            }
        }
        let marks = show.places_in(cue).iter().filter_map(|p| show.marks.get(p.mark?.index()));
        marks.into_iter().try_for_each(|mark| scene.disc(mark.at, DOT_M + step_m))?;
    }
    Ok(())
}

/// Adds one step of the pool under every part of a prop that people could meet.
fn pool(
    scene: &mut Sheet<'_, '_>,
    sizes: &Sizes,
    show: &Show,
    (prop, frame): (&Prop, &Frame),
    step_m: f32,
) -> Result<(), SceneFull> {
    for part in show.parts_of(prop).iter().filter(|p| strongest(p) != Band::Overhead) {
        match Outline::of(show, part, frame) {
            Outline::Disc { centre, radius_m, .. } => scene.disc(centre, radius_m + step_m)?,
            Outline::Ring(ring) => round(scene, sizes, &ring, step_m)?,
            Outline::Polygon(vertices) => {
                if scene.shows(&Bounds::of(&vertices).grown(2.0 * step_m)) {
                    Sides(&vertices).filled(scene, step_m)?;
                }
            }
        }
    }
    Ok(())
}

fn round(scene: &mut Sheet<'_, '_>, sizes: &Sizes, ring: &Ring, step_m: f32) -> Result<(), SceneFull> {
    if !ring.is_closed() {
        return scene.polygon_from(ring.edge(step_m, sizes.tolerance_m));
    }
    scene.disc(ring.centre, ring.outer_m + step_m)?;
    if ring.inner_m > step_m { scene.hole(ring.centre, ring.inner_m - step_m) } else { Ok(()) }
}
