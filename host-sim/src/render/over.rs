//! What a briefing picture shows over the floor's own look: in-shot outlines and what crew keep out of.

use underfoot_core::geom::{StagePoint, StageVector};
use underfoot_core::look::{Sizes, wedge, zone};
use underfoot_core::paint::Scene;
use underfoot_core::paint::color::scale;
use underfoot_core::show::{Show, Who};

use super::easel::TooMuch;

/// One thing over the floor's own look.
#[derive(Clone, Debug, PartialEq)]
pub enum Over {
    /// Where a person's pictures work: an outline and its holes.
    Zone {
        /// Its rings.
        rings: Vec<Vec<StagePoint>>,
        /// The person's colour and shape.
        who: Who,
    },
    /// A line that crew keep behind or off.
    Crew {
        /// Its points.
        points: Vec<StagePoint>,
        /// It goes round an area.
        closed: bool,
    },
    /// A camera's name.
    Name {
        /// The name.
        words: String,
        /// Its middle.
        at: StagePoint,
        /// Unit vector away from the reader.
        up: StageVector,
    },
}

/// Adds everything to a scene, on top of it.
///
/// # Errors
/// [`TooMuch`] when a list is full.
pub(super) fn add(scene: &mut Scene<'_>, show: &Show, over: &[Over], level: u8) -> Result<(), TooMuch> {
    let (sizes, level) = (Sizes::of(show), scale(level, show.look.brief_level));
    for thing in over {
        match thing {
            Over::Zone { rings, who } => zone::draw(scene, &sizes, rings.iter().map(Vec::as_slice), *who, level)?,
            Over::Crew { points, closed } => wedge::draw(scene, &sizes, (points, *closed), level)?,
            Over::Name { words, at, up } => wedge::name(scene, &sizes, words, (*at, *up), level)?,
        }
    }
    Ok(())
}
