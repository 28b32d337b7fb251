//! A way round people: one more point on a way, tried against everything that a way is held against.

use underfoot_core::geom::{Region, Rounded, StagePoint, segment};
use underfoot_core::props::physical;
use underfoot_core::show::LinePoint;

use super::beside;
use super::crossing;
use super::going::Going;
use super::meets::meets_none;
use super::raised;
use crate::checks::board::{Board, distance};
use crate::checks::near::fan;

/// Less than this is missing by rounding only, metres.
const ROUNDING_M: f32 = 0.001;
/// Places that are tried: rings, the distance between them in metres, directions.
const FAN: (u16, f32, u16) = (20, 0.1, 24);

/// The nearest place to `at` by way of which `who` passes `whom` with room.
pub(super) fn via(
    board: &Board<'_>,
    all: &[Going],
    (who, whom): (&Going, &Going),
    at: StagePoint,
) -> Option<StagePoint> {
    let (rings, step_m, directions) = FAN;
    fan(at, rings, step_m, directions).find(|&via| {
        let tried = who.by_way_of(at, via);
        board.is_inner(via) && is_clear(board, all, (who, &tried), whom)
    })
}

/// True when `who` is in time going as `now`, passes `whom` with room, and comes too near to nothing, and no nearer to
/// anybody else than before.
pub(super) fn is_clear(board: &Board<'_>, all: &[Going], (who, now): (&Going, &Going), whom: &Going) -> bool {
    let person = who.stand.person;
    let enough_m = board.project.limits.apart_m;
    let in_time = now.needed_mps(board).is_none_or(|mps| mps <= board.fastest_mps(person));
    let mut others = all.iter().filter(|g| g.stand.person != person);
    let keeps = |other: &Going| {
        let is_meant = other.stand.person == whom.stand.person;
        let before_m = if is_meant { enough_m } else { crossing::passing_m(board, who, other) };
        crossing::passing_m(board, now, other) >= before_m
    };
    in_time && keeps(whom) && others.all(keeps) && past_all(board, now) && meets_none(board, now)
}

/// True when the way keeps the room that it needs, or is nowhere nearer than at its ends.
pub(super) fn past_all(board: &Board<'_>, going: &Going) -> bool {
    let radius_m = board.radius_m(going.stand.person);
    let keeps = |needed_m: f32, regions: &[Region]| {
        let ends = [going.points.first(), going.points.last()].into_iter().flatten();
        let ends_m = ends.map(|p| distance(regions, p.at)).fold(f32::INFINITY, f32::min);
        beside::nearest(&going.points, regions).is_none_or(|n| n.distance_m >= needed_m.min(ends_m) - ROUNDING_M)
    };
    let props = board.cast.get(going.cue).map(|cast| cast.props.as_slice()).unwrap_or_default();
    let mut still = props.iter().filter_map(|t| Some(board.regions(t.prop, t.rests_at()?)));
    let things = board.show().physicals.iter().filter(|p| physical::stops_people(p.kind));
    let areas = things.filter_map(|p| Rounded::new(physical::rectangle(p).ok()?, 0.0).ok());
    let mut areas = areas.map(Region::Rounded);
    still.all(|regions| keeps(radius_m + board.hard_m(), &regions))
        && areas.all(|area| keeps(radius_m, &[area]))
        && raised::crosses_none(board, going)
}

impl Going {
    /// The same with one more point, on the leg that is nearest to `at`.
    fn by_way_of(&self, at: StagePoint, via: StagePoint) -> Self {
        let legs = self.points.windows(2).enumerate();
        let far = |leg: &(usize, &[LinePoint])| match leg.1 {
            [a, b] => segment::distance(at, a.at, b.at),
            _ => f32::INFINITY,
        };
        let leg = legs.min_by(|a, b| far(a).total_cmp(&far(b))).map_or(0, |(i, _)| i);
        let mut points = self.points.clone();
        points.insert((leg + 1).min(points.len()), LinePoint::sharp(via));
        Self { points, ..self.clone() }
    }
}
