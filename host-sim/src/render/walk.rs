//! The line that a person of one class must not cross: round everything that stands in a cue.

use underfoot_core::limits;
use underfoot_core::look::{self, Sizes};
use underfoot_core::paint::Scene;
use underfoot_core::paint::color::scale;
use underfoot_core::props::keepout::{self, KeepOutError};
use underfoot_core::props::{Ground, Level, Reach};
use underfoot_core::show::{ClassId, Cue, Show};

use super::easel::TooMuch;

/// Parts and physical things that may stand in one cue.
const KEEPOUTS: usize = limits::PARTS + limits::PHYSICALS;

/// Adds the safe-walk outline of `cue` for `class` on top of a scene: hard clearances, every prop at rest.
///
/// # Errors
/// [`TooMuch`] when a list is full, or names the floor or the part whose shape has no outline.
pub(super) fn add(scene: &mut Scene<'_>, show: &Show, (cue, class): (&Cue, ClassId), level: u8) -> Result<(), TooMuch> {
    let Some(class) = show.classes.get(class.index()) else { return Ok(()) };
    let reach = Reach::of(show, class, Level::Hard);
    let keepouts = keepout::of_cue::<KEEPOUTS>(show, cue, &reach).map_err(|fault| match fault {
        KeepOutError::Full { capacity } => TooMuch { list: "keep-outs", capacity },
        KeepOutError::Shape { .. } => TooMuch { list: "footprints without a shape", capacity: 0 },
    })?;
    let ground = Ground::new(&show.floor, &show.entries, &keepouts)
        .map_err(|_| TooMuch { list: "floors without an inside", capacity: 0 })?;
    look::walk::draw(scene, &Sizes::of(show), &ground, scale(level, show.look.brief_level))?;
    Ok(())
}
