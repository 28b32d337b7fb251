//! One thing on the floor: its dark keyline first, then its light core, from one description.

use crate::paint::{Rgba, SceneFull};

use super::ink;
use super::sheet::Sheet;

/// Which of the two layers of a thing is being drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Pass {
    /// How much wider than the core each contour is, metres on each side; 0 for the core.
    pub(super) grow_m: f32,
    /// True for the keyline. It runs on below the gaps of a dashed core, so that dashes read on any content.
    pub(super) keyline: bool,
}

/// Draws a thing twice: in keyline ink, grown by `keyline_m`, and in `ink`.
pub(super) fn item<F>(scene: &mut Sheet<'_, '_>, ink: Rgba, keyline_m: f32, draw: F) -> Result<(), SceneFull>
where
    F: Fn(&mut Sheet<'_, '_>, Pass) -> Result<(), SceneFull>,
{
    scene.begin(ink::KEY);
    draw(scene, Pass { grow_m: keyline_m, keyline: true })?;
    scene.begin(ink);
    draw(scene, Pass { grow_m: 0.0, keyline: false })
}
