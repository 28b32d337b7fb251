//! People whose outline leaves the LED surfaces.
//!
//! Where an extension is drawn beyond the LED surfaces, a person whose outline leaves them loses what
//! sticks out. A show with walls has its set drawn on beyond them, everywhere; without walls an extension is
//! drawn only where a prop has such a part.

use super::body::Body;
use super::framing::Side;
use super::sight::{Case, case_at};
use super::solids::Solid;
use super::surfaces::{Passing, PastFloor, Surfaces};
use crate::geom::StagePoint3;
use crate::show::Layer;

/// By so much the outline of a person is larger than the person.
pub const OUTLINE: f32 = 1.02;
/// Points looked at on the upper edge of an outline, and on each side.
const SAMPLES: u8 = 13;

/// A point of a person's outline that no LED surface backs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OffWall {
    /// Where the backing ends, as seen in the picture.
    pub side: Side,
    /// The point of the outline.
    pub point: StagePoint3,
    /// Where the line of sight passes the nearest wall; `None` when it passes no wall's plane.
    pub passing: Option<Passing>,
    /// Where it comes down beyond the floor; `None` when it does not come down.
    pub past_floor: Option<PastFloor>,
}

impl OffWall {
    fn at(centre: StagePoint3, point: StagePoint3, surfaces: &Surfaces<'_>) -> Self {
        let (passing, past_floor) = (surfaces.passing(centre, point), surfaces.past_floor(centre, point));
        let side = match (passing, past_floor) {
            (Some(wall), Some(floor)) if floor.past_m < wall.miss_m() => floor.side,
            (Some(wall), _) => wall.side(),
            (None, Some(floor)) => floor.side,
            (None, None) => Side::Top,
        };
        Self { side, point, passing, past_floor }
    }

    /// How far the line of sight misses the nearest surface, metres; 0 when it goes nowhere near any.
    pub fn over_m(&self) -> f32 {
        let wall_m = self.passing.map(|p| p.miss_m());
        wall_m.into_iter().chain(self.past_floor.map(|f| f.past_m)).reduce(f32::min).unwrap_or(0.0)
    }
}

/// The point of a person's outline that is off the LED surfaces by most, where an extension is drawn.
///
/// The outline is 2 % larger than the person: 1.02 r to each side and 1.02 h up from what carries the person;
/// its upper edge and its sides are looked at. `seen` says which points the picture shows: what lies outside
/// the frame cannot be lost. `None` when all of it is backed.
pub fn off_wall(
    centre: StagePoint3,
    body: &Body,
    surfaces: &Surfaces<'_>,
    solids: &[Solid],
    seen: impl Fn(StagePoint3) -> bool,
) -> Option<OffWall> {
    let upright = body.upright(centre)?;
    let (half_m, high_m) = (body.radius_m * OUTLINE, body.height_m * OUTLINE);
    let last = f32::from(SAMPLES - 1);
    let steps = move || (0..SAMPLES).map(move |i| f32::from(i) / last);
    let top = steps().map(|s| (half_m * (2.0 * s - 1.0), high_m));
    let sides = steps().flat_map(|s| [(-half_m, high_m * s), (half_m, high_m * s)]);
    let points = top.chain(sides).map(|(u_m, v_m)| upright.point(u_m, body.base_m + v_m));
    let lost = points.filter(|&q| is_drawn(centre, q, surfaces, solids) && seen(q));
    let off = lost.filter(|&q| !surfaces.is_backed(centre, q)).map(|q| OffWall::at(centre, q, surfaces));
    off.max_by(|a, b| a.over_m().total_cmp(&b.over_m()))
}

/// True when an extension is drawn behind the point.
fn is_drawn(centre: StagePoint3, q: StagePoint3, surfaces: &Surfaces<'_>, solids: &[Solid]) -> bool {
    let behind = |solid: &Solid| matches!(case_at(centre, q, solid), Case::Farther | Case::Both);
    surfaces.drawn || solids.iter().any(|solid| solid.layer == Layer::Extension && behind(solid))
}
