//! The shortest way through a list of stops.

pub(in crate::walk) mod blocked;
pub(in crate::walk) mod check;
mod jaw;
pub(in crate::walk) mod search;
pub(in crate::walk) mod work;

use heapless::Vec;

use crate::geom::{StagePoint, StageVector};
use crate::props::Standing;
use crate::show::LinePoint;
use crate::walk::error::{Store, WalkError};
use crate::walk::obstacle::Solid;
use crate::walk::path::Path;
use crate::walk::route::check::check;
use crate::walk::route::search::Search;
use crate::walk::route::work::{GOAL, NONE, PlanWork, Shrink};
use crate::walk::tangent::{self, Round, TOUCH_M};
use crate::walk::terrain::gate::End;
use crate::walk::terrain::{Ground, Terrain};

/// A planned way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Route {
    /// Its length, metres.
    pub length_m: f32,
    /// Least room to spare along it and what limits it, as [`crate::walk::check`] finds it.
    pub least: Option<Standing>,
}

/// A corner is not written down when the way turns less than this on it, radians: over 30 m it strays 3e-6 m without.
const STRAIGHT_RAD: f32 = 1e-7;

/// Plans the shortest way through `stops` and writes it to `out`, which is emptied first.
///
/// The way between two stops is the globally shortest one that stays on the floor and out of every obstacle's
/// inside; touching is allowed. Stops are sharp points (`bend_m` 0), what was planned between them has a radius.
/// An arc of more than 90 degrees is several corners. Where a stop is inside an obstacle's room, but not in its
/// bare footprint, the legs that it ends take that room as only so wide.
///
/// # Errors
/// [`WalkError`]; `out` is then of no use.
pub fn shortest<const N: usize, const M: usize>(
    terrain: &Terrain<N>,
    stops: &[StagePoint],
    work: &mut PlanWork,
    out: &mut Vec<LinePoint, M>,
) -> Result<Route, WalkError> {
    out.clear();
    let [first, _, ..] = stops else { return Err(WalkError::TooFewStops) };
    for (i, &stop) in stops.iter().enumerate() {
        let end = match i {
            0 => End::Start,
            _ if i + 1 == stops.len() => End::Goal,
            _ => End::Between,
        };
        admit(terrain, i as u8, stop, end)?;
    }
    add(out, LinePoint::sharp(*first))?;
    let mut length_m = 0.0;
    for (leg, ends) in stops.windows(2).enumerate() {
        let &[from, to] = ends else { continue };
        length_m += plan_leg(terrain, leg as u8, (from, to), work, out)?;
    }
    Ok(Route { length_m, least: check(terrain, &Path::new(out)) })
}

/// Refuses a stop that is off the floor, at a closed edge, or inside a bare footprint.
fn admit<const N: usize>(terrain: &Terrain<N>, stop: u8, at: StagePoint, end: End) -> Result<(), WalkError> {
    if let Some((limit, missing_m)) = terrain.floor.refuses(at, end) {
        return Err(WalkError::Stop { stop, limit, missing_m });
    }
    for of in &terrain.obstacles {
        let inside_m = -(Solid { of, cut_m: 0.0 }.signed_distance(at)) - of.growth_m;
        if inside_m > TOUCH_M {
            return Err(WalkError::Stop { stop, limit: of.limit, missing_m: inside_m });
        }
    }
    Ok(())
}

fn plan_leg<const N: usize, const M: usize>(
    terrain: &Terrain<N>,
    leg: u8,
    (from, to): (StagePoint, StagePoint),
    work: &mut PlanWork,
    out: &mut Vec<LinePoint, M>,
) -> Result<f32, WalkError> {
    if from.distance(to) < 2.0 * TOUCH_M {
        add(out, LinePoint::sharp(to))?;
        return Ok(from.distance(to));
    }
    work.cut(&terrain.obstacles, &[from, to], (Shrink::Yielding, 0.0), None);
    let ground = Ground { floor: &terrain.floor, obstacles: &terrain.obstacles, cuts: &work.cuts };
    let mut search = Search::new(ground, &mut work.labels, from, to);
    let Some(goal) = search.run()? else {
        return Err(crate::walk::route::blocked::explain(terrain, leg, (from, to), work));
    };
    let length_m = search.labels.get(goal).map_or(0.0, |label| label.gone_m);
    write(&mut search, goal, out)?;
    add(out, LinePoint::sharp(to))?;
    Ok(length_m)
}

/// Writes the corners of the chain that ends at `goal`.
pub(in crate::walk) fn write<const M: usize>(
    search: &mut Search<'_>,
    goal: u16,
    out: &mut Vec<LinePoint, M>,
) -> Result<(), WalkError> {
    let mut here = search.labels.reverse(goal);
    let (mut round, mut arrived): (Round, Option<StageVector>) = (Round::point(search.from), None);
    while let Some(&label) = search.labels.get(here) {
        let (next_round, _) = search.round(label.place);
        if let Some(tangent) = tangent::between(&round, &next_round) {
            if let Some(before) = arrived {
                add_arc(&round, before, tangent.way, out)?;
            }
            arrived = Some(tangent.way);
        }
        round = next_round;
        if label.place.obstacle == GOAL || label.from == NONE {
            break;
        }
        here = label.from;
    }
    Ok(())
}

/// Adds the corners of an arc from direction `before` to direction `after`, each of 90 degrees at most.
fn add_arc<const M: usize>(
    round: &Round,
    before: StageVector,
    after: StageVector,
    out: &mut Vec<LinePoint, M>,
) -> Result<(), WalkError> {
    if libm::fabsf(before.cross(after)) < STRAIGHT_RAD && before.dot(after) > 0.0 {
        return Ok(());
    }
    let turn = round.turn(round.normal(before), round.normal(after));
    let count = libm::ceilf(turn / core::f32::consts::FRAC_PI_2 - 1e-4).max(1.0);
    let half = turn / (2.0 * count);
    let corner_m = round.radius_m / libm::cosf(half);
    let start = round.normal(before);
    for i in 0..count as u8 {
        let (angle, side) = (half * f32::from(2 * i + 1), start.perp() * round.sense);
        let out_from_centre = start * libm::cosf(angle) + side * libm::sinf(angle);
        add(out, LinePoint { at: round.centre + out_from_centre * corner_m, bend_m: round.radius_m })?;
    }
    Ok(())
}

fn add<const M: usize>(out: &mut Vec<LinePoint, M>, point: LinePoint) -> Result<(), WalkError> {
    out.push(point).map_err(|_| WalkError::Full { what: Store::Points, capacity: M })
}
