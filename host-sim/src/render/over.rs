//! What a briefing picture shows over the floor's own look: in-shot outlines, what crew keep out of, and how people
//! get there.

use underfoot_core::geom::{Convex, GeomError, Region, Rounded, StagePoint, StageVector};
use underfoot_core::look::{Sizes, plan, wedge, zone};
use underfoot_core::paint::Scene;
use underfoot_core::paint::color::scale;
use underfoot_core::show::{LinePoint, Show, Who};
use underfoot_core::walk::Path;

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
    /// The room that a walk line needs.
    Corridor {
        /// The line's points.
        points: Vec<LinePoint>,
        /// Half its width, metres.
        half_m: f32,
        /// Who walks there.
        who: Who,
    },
    /// An entry that is crossed one way only.
    OneWay {
        /// Its middle.
        at: StagePoint,
        /// Which way, a unit vector.
        way: StageVector,
    },
    /// A raised side that nobody may cross, counter-clockwise round its thing.
    ClosedSide {
        /// Where it begins.
        from: StagePoint,
        /// Where it ends.
        to: StagePoint,
    },
}

/// Farthest that the corridor of a bend may be off, metres.
const CORRIDOR_M: f32 = 0.005;

/// Everything within `half_m` of a line, piece by piece.
fn corridor(points: &[LinePoint], half_m: f32) -> Result<Vec<Region>, GeomError> {
    let mut regions = Vec::new();
    for stretch in Path::new(points).stretches() {
        let along: Vec<StagePoint> = stretch.points(CORRIDOR_M)?.collect();
        for pair in along.windows(2) {
            regions.push(Region::Rounded(Rounded::new(Convex::segment(pair[0], pair[1])?, half_m)?));
        }
    }
    Ok(regions)
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
            Over::Corridor { points, half_m, who } => {
                // A line that has no corridor has no length either.
                let regions = corridor(points, *half_m).unwrap_or_default();
                plan::corridor(scene, &sizes, &regions, (*who, level))?;
            }
            Over::OneWay { at, way } => plan::one_way(scene, &sizes, (*at, *way), level)?,
            Over::ClosedSide { from, to } => plan::closed_side(scene, &sizes, (*from, *to), level)?,
        }
    }
    Ok(())
}
