//! What crew keep out of: camera wedges, and the ways of a jib's head and tail.
//!
//! Long and short dashes in turn, unlike anything that is drawn for talent, and the camera's name. They are about
//! pictures and a planned move: nobody is measured.

use crate::geom::{StagePoint, StageVector};
use crate::paint::{Scene, SceneFull};

use super::ink;
use super::item::item;
use super::labels::{self, Lay, Size};
use super::path::Path;
use super::sheet::Sheet;
use super::sizes::Sizes;

/// Width of the line in shares of a line's width.
pub const THIN: f32 = 0.5;
/// Long dash, gap, short dash, gap, metres.
const PATTERN: [(f32, f32); 2] = [(0.30, 0.12), (0.07, 0.12)];
/// Distance from which the name is read, metres.
const READER_M: f32 = 3.0;

/// Draws a line of long and short dashes round an area, or along a way.
///
/// # Errors
/// [`SceneFull`] when the scene has no room, or the line has more corners than one may have.
pub fn draw(
    scene: &mut Scene<'_>,
    sizes: &Sizes,
    (points, closed): (&[StagePoint], bool),
    level: u8,
) -> Result<(), SceneFull> {
    let scene = &mut Sheet::whole(scene);
    let path = Path::new(points, closed, sizes.tolerance_m)?;
    item(scene, ink::EDGE.dimmed(level), sizes.keyline_m, |scene, pass| {
        path.dashed(scene, (sizes.half_m() * THIN + pass.grow_m, pass.grow_m), &PATTERN)
    })
}

/// Writes a camera's name about `at`; `up` is the unit vector away from the reader.
///
/// # Errors
/// [`SceneFull`] when the scene has no room.
pub fn name(
    scene: &mut Scene<'_>,
    sizes: &Sizes,
    words: &str,
    (at, up): (StagePoint, StageVector),
    level: u8,
) -> Result<(), SceneFull> {
    let lay = Lay { at, up, size: Size::for_reader(sizes, READER_M) };
    labels::draw(&mut Sheet::whole(scene), words, ink::EDGE.dimmed(level), &lay)
}
