//! The LED surfaces behind people: floor and walls, and where a line of sight leaves them.
//!
//! Where an extension is drawn beyond the LED surfaces, a person whose outline leaves them loses what
//! sticks out. A show with walls has its set drawn on beyond them, everywhere; without walls an extension is
//! drawn only where a prop has such a part.

use super::body::Body;
use super::framing::Side;
use super::sight::{Case, case_at};
use super::solids::Solid;
use crate::geom::{StagePoint, StagePoint3, polygon, segment};
use crate::show::{Layer, Show, Wall};

/// Seams no wider than this are closed: the floor and the joined ends of walls reach so far, metres.
pub const SEAM_M: f32 = 0.03;
/// Lines of sight count from this share of the way to the point: feet stand on the floor itself.
const FIRST: f32 = 1.0 - 1e-4;
/// By so much the outline of a person is larger than the person.
pub const OUTLINE: f32 = 1.02;
/// Points looked at on the upper edge of an outline, and on each side.
const SAMPLES: u8 = 13;

/// The LED surfaces of a show.
#[derive(Clone, Copy, Debug)]
pub struct Surfaces<'s> {
    floor: &'s [StagePoint],
    walls: &'s [Wall],
    /// True when a set is drawn on beyond the LED surfaces: the show has walls.
    pub drawn: bool,
}

/// Where a line of sight meets an LED surface.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Backing {
    /// Index of the wall; `None` for the floor.
    pub wall: Option<u8>,
    /// The place on the surface.
    pub place: StagePoint3,
}

/// Where a line of sight passes a wall's plane, on the wall or beyond it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Passing {
    /// Index of the wall.
    pub wall: u8,
    /// The place on the wall's plane.
    pub place: StagePoint3,
    /// The wall's upper edge, metres.
    pub top_m: f32,
    /// How far the place is above the upper edge, metres; negative: so much below it.
    pub above_m: f32,
    /// How far the place is past the nearer end of the wall, metres; negative: so much inside.
    pub past_m: f32,
    /// The side of the picture on which that end lies.
    pub end: Side,
}

/// A point of a person's outline that no LED surface backs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OffWall {
    /// Where the backing ends, as seen in the picture.
    pub side: Side,
    /// The point of the outline.
    pub point: StagePoint3,
    /// Where the line of sight passes the nearest wall; `None` when it passes no wall's plane.
    pub passing: Option<Passing>,
}

impl OffWall {
    /// How far the line of sight misses the wall, metres; 0 when it passes no wall's plane.
    pub fn over_m(&self) -> f32 {
        self.passing.map_or(0.0, |p| p.miss_m())
    }
}

impl Passing {
    /// How far the place is off the wall, metres; negative: so much inside it.
    pub const fn miss_m(&self) -> f32 {
        self.above_m.max(self.past_m)
    }

    /// The side of the picture on which the place is off the wall by most.
    fn side(&self) -> Side {
        if self.above_m >= self.past_m { Side::Top } else { self.end }
    }
}

impl<'s> Surfaces<'s> {
    /// The floor and the walls of a show.
    pub fn of(show: &'s Show) -> Self {
        Self { floor: &show.floor.vertices, walls: &show.walls, drawn: !show.walls.is_empty() }
    }

    /// The LED surface that backs the point `q` seen from `centre`: the first that the line of sight meets at
    /// `q` or beyond. Things that stand on the floor are not looked at, and a wall counts from either side.
    pub fn backs(&self, centre: StagePoint3, q: StagePoint3) -> Option<Backing> {
        let walls = (0..self.walls.len()).filter_map(|i| self.on_wall(i, centre, q));
        let met = walls.chain(self.on_floor(centre, q));
        met.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, backing)| backing)
    }

    /// Where the line of sight from `centre` through `q` passes the plane of the wall that it meets or misses by
    /// least; `None` when no wall lies beyond `q`.
    pub fn passing(&self, centre: StagePoint3, q: StagePoint3) -> Option<Passing> {
        let all = (0..self.walls.len()).filter_map(|i| self.pass(i, centre, q).map(|(_, passing)| passing));
        all.min_by(|a, b| a.miss_m().max(0.0).total_cmp(&b.miss_m().max(0.0)))
    }

    /// Where the top of a head backs onto a wall's plane.
    pub fn head_backs_on(&self, centre: StagePoint3, body: &Body) -> Option<Passing> {
        self.passing(centre, body.at.at_height(body.top_m()))
    }

    /// λ and place where the line of sight passes a wall's plane.
    fn pass(&self, index: usize, centre: StagePoint3, q: StagePoint3) -> Option<(f32, Passing)> {
        let wall = self.walls.get(index)?;
        let (eye, way) = (centre.on_floor(), q.on_floor() - centre.on_floor());
        let along = (wall.to - wall.from).unit()?;
        let lambda = (wall.from - eye).cross(along) / way.cross(along);
        if !(lambda >= FIRST && lambda.is_finite()) {
            return None;
        }
        let on_plan = eye + way * lambda;
        let place = on_plan.at_height(centre.z + (q.z - centre.z) * lambda);
        let (off_from, off_to) = ((wall.from - on_plan).dot(along), (on_plan - wall.to).dot(along));
        let end = if off_from > off_to { wall.from } else { wall.to };
        let side = if way.cross(end - eye) > 0.0 { Side::Right } else { Side::Left };
        // Past an end the picture's side is the one to which the place has gone from it.
        let end = if off_from.max(off_to) > 0.0 { side } else { opposite(side) };
        let (above_m, past_m) = (place.z - wall.top_m, off_from.max(off_to));
        Some((lambda, Passing { wall: index as u8, place, top_m: wall.top_m, above_m, past_m, end }))
    }

    fn on_wall(&self, index: usize, centre: StagePoint3, q: StagePoint3) -> Option<(f32, Backing)> {
        let (lambda, passing) = self.pass(index, centre, q)?;
        let wall = self.walls.get(index)?;
        let foot_m = if wall.bottom_m <= SEAM_M { wall.bottom_m - SEAM_M } else { wall.bottom_m };
        let inside_height = passing.above_m <= 0.0 && passing.place.z >= foot_m;
        let along = wall.to - wall.from;
        let nearer_end =
            if along.dot(passing.place.on_floor() - wall.from) <= along.dot(along) / 2.0 { wall.from } else { wall.to };
        let reach_m = if passing.past_m > 0.0 && self.is_joined(index, nearer_end) { SEAM_M } else { 0.0 };
        let backing = Backing { wall: Some(index as u8), place: passing.place };
        (inside_height && passing.past_m <= reach_m).then_some((lambda, backing))
    }

    /// True when another wall ends or passes within two seams of `end`.
    fn is_joined(&self, index: usize, end: StagePoint) -> bool {
        let mut others = self.walls.iter().enumerate().filter(|(i, _)| *i != index);
        others.any(|(_, other)| segment::distance(end, other.from, other.to) <= 2.0 * SEAM_M)
    }

    fn on_floor(&self, centre: StagePoint3, q: StagePoint3) -> Option<(f32, Backing)> {
        let lambda = centre.z / (centre.z - q.z);
        if !(lambda >= FIRST && lambda.is_finite()) {
            return None;
        }
        let place = centre.on_floor() + (q.on_floor() - centre.on_floor()) * lambda;
        let inside = polygon::contains(self.floor, place) || polygon::boundary_distance(self.floor, place) <= SEAM_M;
        inside.then_some((lambda, Backing { wall: None, place: place.at_height(0.0) }))
    }
}

const fn opposite(side: Side) -> Side {
    match side {
        Side::Left => Side::Right,
        Side::Right => Side::Left,
        Side::Top => Side::Bottom,
        Side::Bottom => Side::Top,
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
    let off = lost.filter(|&q| surfaces.backs(centre, q).is_none()).map(|point| {
        let passing = surfaces.passing(centre, point);
        OffWall { side: passing.map_or(Side::Top, |p| p.side()), point, passing }
    });
    off.max_by(|a, b| a.over_m().total_cmp(&b.over_m()))
}

/// True when an extension is drawn behind the point.
fn is_drawn(centre: StagePoint3, q: StagePoint3, surfaces: &Surfaces<'_>, solids: &[Solid]) -> bool {
    let behind = |solid: &Solid| matches!(case_at(centre, q, solid), Case::Farther | Case::Both);
    surfaces.drawn || solids.iter().any(|solid| solid.layer == Layer::Extension && behind(solid))
}
