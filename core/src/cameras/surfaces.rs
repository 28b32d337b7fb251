//! The LED surfaces behind people: floor and walls, and where a line of sight meets or passes them.

use super::body::Body;
use super::framing::Side;
use crate::geom::{StagePoint, StagePoint3, StageVector, polygon, segment};
use crate::show::{Show, Wall};

/// Every surface reaches this far beyond its edges, metres: seams between them are closed by it, and nobody can
/// tell such a miss in a picture.
pub const SEAM_M: f32 = 0.03;
/// Lines of sight count from this share of the way to the point: feet stand on the floor itself.
const FIRST: f32 = 1.0 - 1e-4;

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
    /// How far the place is below the lower edge, metres; negative: so much above it.
    pub below_m: f32,
    /// How far the place is past the nearer end of the wall, metres; negative: so much inside.
    pub past_m: f32,
    /// The side of the picture on which that end lies.
    pub end: Side,
}

/// Where a line of sight comes down beyond the floor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PastFloor {
    /// The place on the floor's plane.
    pub place: StagePoint,
    /// How far it is off the floor, metres.
    pub past_m: f32,
    /// The side of the picture on which it is off.
    pub side: Side,
}

impl Passing {
    /// How far the place is off the wall, metres; negative: so much inside it.
    pub const fn miss_m(&self) -> f32 {
        self.above_m.max(self.past_m).max(self.below_m)
    }

    /// The side of the picture on which the place is off the wall by most.
    pub fn side(&self) -> Side {
        if self.past_m > self.above_m.max(self.below_m) {
            self.end
        } else if self.above_m >= self.below_m {
            Side::Top
        } else {
            Side::Bottom
        }
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

    /// True when an LED surface backs the point `q` seen from `centre`: sooner told than which one.
    pub fn is_backed(&self, centre: StagePoint3, q: StagePoint3) -> bool {
        (0..self.walls.len()).any(|i| self.on_wall(i, centre, q).is_some()) || self.on_floor(centre, q).is_some()
    }

    /// Where the line of sight from `centre` through `q` passes the plane of the wall that it meets or misses by
    /// least; `None` when no wall lies beyond `q`.
    pub fn passing(&self, centre: StagePoint3, q: StagePoint3) -> Option<Passing> {
        let all = (0..self.walls.len()).filter_map(|i| self.pass(i, centre, q).map(|(_, passing)| passing));
        all.min_by(|a, b| a.miss_m().max(0.0).total_cmp(&b.miss_m().max(0.0)))
    }

    /// Where the line of sight from `centre` through `q` meets the plane of the floor beyond its edge; `None` when
    /// it meets the floor, or not the plane.
    pub fn past_floor(&self, centre: StagePoint3, q: StagePoint3) -> Option<PastFloor> {
        let (_, place) = floor_plane(centre, q)?;
        let past_m = polygon::signed_distance(self.floor, place);
        let nearest = polygon::sides(self.floor)
            .map(|(a, b)| segment::nearest(place, a, b))
            .min_by(|a, b| place.distance(*a).total_cmp(&place.distance(*b)))?;
        let (way, back) = (q.on_floor() - centre.on_floor(), nearest - place);
        let (left, ahead) = (way.cross(back), way.dot(back));
        let side = if libm::fabsf(left) > libm::fabsf(ahead) {
            if left > 0.0 { Side::Right } else { Side::Left }
        } else if ahead < 0.0 {
            Side::Top
        } else {
            Side::Bottom
        };
        (past_m > SEAM_M).then_some(PastFloor { place, past_m, side })
    }

    /// Calls `each` with the heights on the upright line over `foot` at which what backs it may begin or end, metres,
    /// seen from `centre`: upper and lower edges of walls, and the edges of the floor.
    pub(super) fn breaks(&self, centre: StagePoint3, foot: StagePoint, each: &mut impl FnMut(f32)) {
        let (eye, way) = (centre.on_floor(), foot - centre.on_floor());
        let mut add = |from: StagePoint, along: StageVector, z_m: f32| {
            let lambda = (from - eye).cross(along) / way.cross(along);
            if lambda >= FIRST && lambda.is_finite() {
                each(centre.z + (z_m - centre.z) / lambda);
            }
        };
        for wall in self.walls {
            for z_m in [wall.bottom_m - SEAM_M, wall.top_m + SEAM_M] {
                add(wall.from, wall.to - wall.from, z_m);
            }
        }
        for (a, b) in polygon::sides(self.floor) {
            let outwards = -(b - a).unit().unwrap_or_default().perp();
            add(a + outwards * SEAM_M, b - a, 0.0);
        }
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
        let (above_m, below_m) = (place.z - wall.top_m, wall.bottom_m - place.z);
        let past_m = off_from.max(off_to);
        Some((lambda, Passing { wall: index as u8, place, top_m: wall.top_m, above_m, below_m, past_m, end }))
    }

    fn on_wall(&self, index: usize, centre: StagePoint3, q: StagePoint3) -> Option<(f32, Backing)> {
        let (lambda, passing) = self.pass(index, centre, q)?;
        let met = passing.miss_m() <= SEAM_M;
        met.then_some((lambda, Backing { wall: Some(index as u8), place: passing.place }))
    }

    fn on_floor(&self, centre: StagePoint3, q: StagePoint3) -> Option<(f32, Backing)> {
        let (lambda, place) = floor_plane(centre, q)?;
        (polygon::signed_distance(self.floor, place) <= SEAM_M)
            .then_some((lambda, Backing { wall: None, place: place.at_height(0.0) }))
    }
}

/// λ and place where the line of sight comes down to the floor's plane, at `q` or beyond.
fn floor_plane(centre: StagePoint3, q: StagePoint3) -> Option<(f32, StagePoint)> {
    let lambda = centre.z / (centre.z - q.z);
    let place = centre.on_floor() + (q.on_floor() - centre.on_floor()) * lambda;
    (lambda >= FIRST && place.is_finite()).then_some((lambda, place))
}

const fn opposite(side: Side) -> Side {
    match side {
        Side::Left => Side::Right,
        Side::Right => Side::Left,
        Side::Top => Side::Bottom,
        Side::Bottom => Side::Top,
    }
}
