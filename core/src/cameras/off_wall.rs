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
/// Halvings between two of them where the picture ends: 170 mm become 1.3 mm.
const HALVINGS: u8 = 7;

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
    let (half_m, high_m) = (body.radius_m * OUTLINE, body.base_m + body.height_m * OUTLINE);
    let corner = |u_m: f32, z_m: f32| upright.point(u_m, z_m);
    let (left, right) = (corner(-half_m, high_m), corner(half_m, high_m));
    let lines = [(left, right), (corner(-half_m, body.base_m), left), (corner(half_m, body.base_m), right)];
    let steps =
        lines.into_iter().flat_map(|line| (0..SAMPLES).map(move |i| (at(line, i), at(line, (i + 1).min(SAMPLES - 1)))));
    // Where the picture's edge cuts the outline, the last point that is seen is as good as a corner.
    let points = steps.flat_map(|(here, next)| match (seen(here), seen(next)) {
        (true, true) => [Some(here), None],
        (true, false) => [Some(here), Some(last_seen(&seen, here, next))],
        (false, true) => [None, Some(last_seen(&seen, next, here))],
        (false, false) => [None, None],
    });
    let lost = points.flatten().filter(|&q| is_drawn(centre, q, surfaces, solids) && !surfaces.is_backed(centre, q));
    lost.map(|q| OffWall::at(centre, q, surfaces)).max_by(|a, b| a.over_m().total_cmp(&b.over_m()))
}

/// Point `i` of [`SAMPLES`] on a line.
fn at((from, to): (StagePoint3, StagePoint3), i: u8) -> StagePoint3 {
    between(from, to, f32::from(i) / f32::from(SAMPLES - 1))
}

/// The place at a share of the way.
fn between(from: StagePoint3, to: StagePoint3, share: f32) -> StagePoint3 {
    let mix = |a: f32, b: f32| a + (b - a) * share;
    StagePoint3::new(mix(from.x, to.x), mix(from.y, to.y), mix(from.z, to.z))
}

/// The last point on the way from one that is seen to one that is not, to about a millimetre.
fn last_seen(seen: &impl Fn(StagePoint3) -> bool, mut inside: StagePoint3, mut outside: StagePoint3) -> StagePoint3 {
    for _ in 0..HALVINGS {
        let middle = between(inside, outside, 0.5);
        if seen(middle) { inside = middle } else { outside = middle }
    }
    inside
}

/// True when an extension is drawn behind the point.
fn is_drawn(centre: StagePoint3, q: StagePoint3, surfaces: &Surfaces<'_>, solids: &[Solid]) -> bool {
    let behind = |solid: &Solid| matches!(case_at(centre, q, solid), Case::Farther | Case::Both);
    surfaces.drawn || solids.iter().any(|solid| solid.layer == Layer::Extension && behind(solid))
}
