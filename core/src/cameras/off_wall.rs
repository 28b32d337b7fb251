//! People whose outline leaves the LED surfaces.
//!
//! Where an extension is drawn beyond the LED surfaces, a person whose outline leaves them loses what
//! sticks out. A show with walls has its set drawn on beyond them, everywhere; without walls an extension is
//! drawn only where a prop has such a part.

use heapless::Vec;

use super::body::Body;
use super::framing::Side;
use super::sight::{Case, case_at};
use super::solids::Solid;
use super::surfaces::{Passing, PastFloor, Surfaces};
use crate::geom::StagePoint3;
use crate::limits;
use crate::show::Layer;

/// By so much the outline of a person is larger than the person.
pub const OUTLINE: f32 = 1.02;
/// Points looked at on the upper edge of an outline, and steps in which the picture's edge is looked for.
const SAMPLES: u8 = 13;
/// Halvings between two of them where the picture ends: 170 mm become 1.3 mm.
const HALVINGS: u8 = 7;
/// Heights at which something may begin or end to back a side: its ends, the walls', the floor's edges.
const BREAKS: usize = 2 + 2 * limits::WALLS + limits::FLOOR_VERTICES;
/// So far from such a height it is looked at, metres.
const EDGE_M: f32 = 1e-3;

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
/// its upper edge is looked at every 8 % of its length, its sides wherever what backs them changes. `seen` says which points the picture shows: what lies outside
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
    let mut worst: Option<OffWall> = None;
    let mut look = |q: StagePoint3| {
        if is_drawn(centre, q, surfaces, solids) && !surfaces.is_backed(centre, q) {
            let off = OffWall::at(centre, q, surfaces);
            worst = worst.filter(|w| w.over_m() >= off.over_m()).or(Some(off));
        }
    };
    if let Some(top) = Line(left, right).shown(&seen) {
        top.evenly(&mut look);
    }
    for side in [Line(corner(-half_m, body.base_m), left), Line(corner(half_m, body.base_m), right)] {
        let Some(side) = side.shown(&seen) else { continue };
        if !surfaces.drawn {
            side.evenly(&mut look);
        }
        side.between_breaks(centre, surfaces, &mut look);
    }
    worst
}

/// A straight piece of an outline.
#[derive(Clone, Copy, Debug)]
struct Line(StagePoint3, StagePoint3);

impl Line {
    fn at(&self, share: f32) -> StagePoint3 {
        let mix = |a: f32, b: f32| a + (b - a) * share;
        StagePoint3::new(mix(self.0.x, self.1.x), mix(self.0.y, self.1.y), mix(self.0.z, self.1.z))
    }

    fn sample(&self, i: u8) -> StagePoint3 {
        self.at(f32::from(i) / f32::from(SAMPLES - 1))
    }

    fn evenly(&self, look: &mut impl FnMut(StagePoint3)) {
        (0..SAMPLES).for_each(|i| look(self.sample(i)));
    }

    /// What the picture has of it, to about a millimetre: one stretch, as pictures are convex.
    fn shown(&self, seen: &impl Fn(StagePoint3) -> bool) -> Option<Self> {
        let shows = |i: &u8| seen(self.sample(*i));
        let (first, last) = ((0..SAMPLES).find(shows)?, (0..SAMPLES).rev().find(shows)?);
        let end = |inside: u8, outside: Option<u8>| {
            outside.map_or(self.sample(inside), |out| last_seen(seen, self.sample(inside), self.sample(out)))
        };
        Some(Self(end(first, first.checked_sub(1)), end(last, Some(last + 1).filter(|i| *i < SAMPLES))))
    }

    /// For an upright line: looks at ends and middle of each stretch in which one thing backs it, or nothing.
    fn between_breaks(&self, centre: StagePoint3, surfaces: &Surfaces<'_>, look: &mut impl FnMut(StagePoint3)) {
        let (low_m, high_m) = (self.0.z, self.1.z);
        let mut heights = Vec::<f32, BREAKS>::new();
        heights.extend([low_m, high_m]);
        surfaces.breaks(centre, self.0.on_floor(), &mut |z_m| {
            if low_m < z_m && z_m < high_m {
                heights.push(z_m).unwrap_or(());
            }
        });
        heights.sort_unstable_by(f32::total_cmp);
        for (&a, &b) in heights.iter().zip(heights.iter().skip(1)) {
            let inset_m = EDGE_M.min((b - a) / 2.0);
            for z_m in [a + inset_m, (a + b) / 2.0, b - inset_m] {
                look(self.0.on_floor().at_height(z_m));
            }
        }
    }
}

/// The last point on the way from one that is seen to one that is not, to about a millimetre.
fn last_seen(seen: &impl Fn(StagePoint3) -> bool, mut inside: StagePoint3, mut outside: StagePoint3) -> StagePoint3 {
    for _ in 0..HALVINGS {
        let middle = Line(inside, outside).at(0.5);
        if seen(middle) { inside = middle } else { outside = middle }
    }
    inside
}

/// True when an extension is drawn behind the point.
fn is_drawn(centre: StagePoint3, q: StagePoint3, surfaces: &Surfaces<'_>, solids: &[Solid]) -> bool {
    let behind = |solid: &Solid| matches!(case_at(centre, q, solid), Case::Farther | Case::Both);
    surfaces.drawn || solids.iter().any(|solid| solid.layer == Layer::Extension && behind(solid))
}
