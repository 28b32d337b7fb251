//! Somebody's way to a mark: props at rest, furniture, raised sides and the floor's edges beside it.

use super::{Asked, Figure, Room, THINGS, Tell, Way, what};
use crate::geom::{Region, Rounded, StagePoint};
use crate::limits;
use crate::link::{Need, What};
use crate::props::ground::band_m;
use crate::props::{Limit, footprint, physical};
use crate::show::{CuePlace, Edge, FloorOutline, LinePoint};
use crate::walk::{Narrowest, Path, Terrain, narrowest, narrowest_until};

/// Length of a way's end on which it may touch the furniture that it leads to, metres (common practice).
const LAST_STEP_M: f32 = 1.0;
/// What is nearest within this of an end is the mark's own figure, metres.
const END_M: f32 = 0.02;
/// Less than this is missing by rounding only, metres.
const ROUNDING_M: f32 = 0.001;

pub(super) fn check(asked: &Asked<'_>, place: &CuePlace, way: Way, room: &mut Room, tell: Tell<'_>) {
    let Room { terrain, points, .. } = room;
    if points.len() < 2 {
        return;
    }
    props(asked, place, (terrain, points), way.need, tell);
    raised(asked, place, (terrain, points), way.need, tell);
    if way.is_line {
        floor(asked, (terrain, points), way.need, tell);
    }
    furniture(asked, place, (terrain, points), way.need, tell);
}

/// Memory to put things in beside a way, and the way.
type Beside<'t> = (&'t mut Terrain<THINGS>, &'t [LinePoint]);

fn props(asked: &Asked<'_>, place: &CuePlace, (terrain, points): Beside<'_>, need: Need, tell: Tell<'_>) {
    let body_m = asked.body_m(place);
    for state in asked.show.props_in(asked.cue) {
        if terrain.lay(&endless(), &[]).is_err() {
            return;
        }
        let mut any = false;
        asked.still_parts(state, &mut |part, data, placement| {
            let region = footprint::of_part(asked.show, data, placement);
            let limit = Limit::Part { prop: state.prop, part };
            any |= region.is_ok_and(|region| terrain.push(limit, &region, 0.0).is_ok());
        });
        let path = Path::new(points);
        let Some(near) = narrowest(terrain, &path).filter(|near| any && is_between(&path, near)) else { continue };
        let figure = Figure { have_m: near.standing.margin_m - body_m, least_m: asked.hard_m(), slack_m: 0.0 };
        asked.measure(tell, (need, what(near.standing.limit)), figure);
    }
}

/// True for a place that is not at an end of the way.
fn is_between(path: &Path<'_>, near: &Narrowest) -> bool {
    let length_m = path.length_m();
    path.nearest(near.at).is_some_and(|(s_m, _)| s_m > END_M && s_m < length_m - END_M)
}

fn raised(asked: &Asked<'_>, place: &CuePlace, (terrain, points): Beside<'_>, need: Need, tell: Tell<'_>) {
    let Some(class) = asked.class_of(place) else { return };
    let body_m = asked.body_m(place);
    let laid = terrain.lay(&endless(), &[]).and_then(|()| terrain.add_raised(asked.show, class));
    let near = laid.ok().and_then(|()| narrowest(terrain, &Path::new(points)));
    if let Some(near) = near.filter(|near| matches!(near.standing.limit, Limit::Physical(_))) {
        let figure = Figure { have_m: near.standing.margin_m + body_m, least_m: body_m, slack_m: ROUNDING_M };
        asked.measure(tell, (need, what(near.standing.limit)), figure);
    }
}

/// A line leaves the floor, and runs in its bands, only at an entry.
fn floor(asked: &Asked<'_>, (terrain, points): Beside<'_>, need: Need, tell: Tell<'_>) {
    let floor = &asked.show.floor;
    let laid = terrain.lay(floor, &asked.show.entries);
    let Some(near) = laid.ok().and_then(|()| narrowest(terrain, &Path::new(points))) else { return };
    let edge = match near.standing.limit {
        Limit::Edge(side) => floor.edges.get(usize::from(side)).copied(),
        _ => None,
    };
    let least_m = edge.map_or(0.0, |edge| band_m(floor, edge));
    // Touching is allowed.
    let figure = Figure { have_m: least_m + near.standing.margin_m, least_m, slack_m: ROUNDING_M };
    asked.measure(tell, (need, what(near.standing.limit)), figure);
}

fn furniture(asked: &Asked<'_>, place: &CuePlace, (terrain, points): Beside<'_>, need: Need, tell: Tell<'_>) {
    let body_m = asked.body_m(place);
    let whole_m = Path::new(points).length_m();
    for (i, thing) in (0..).zip(&asked.show.physicals).filter(|(_, thing)| physical::stops_people(thing.kind)) {
        let Ok(area) = physical::rectangle(thing) else { continue };
        // Whoever ends at a sofa or a table walks up to it.
        let ends_there = points.last().is_some_and(|end| area.signed_distance(end.at) < body_m);
        let until_m = if ends_there { whole_m - LAST_STEP_M } else { whole_m };
        let Ok(area) = Rounded::new(area, 0.0).map(Region::Rounded) else { continue };
        let laid = terrain.lay(&endless(), &[]).and_then(|()| terrain.push(Limit::Physical(i), &area, 0.0));
        let path = Path::new(points);
        let near = laid.ok().and_then(|()| narrowest_until(terrain, &path, until_m));
        if let Some(near) = near.filter(|near| is_between(&path, near)) {
            let have_m = near.standing.margin_m - body_m;
            asked.measure(tell, (need, What::Physical(i)), Figure { have_m, ..Figure::default() });
        }
    }
}

/// A floor that ends nowhere near, so that only what is put on it counts.
fn endless() -> FloorOutline {
    let far_m = limits::STAGE_REACH_M;
    let mut floor = FloorOutline::default();
    for (x, y) in [(-far_m, -far_m), (far_m, -far_m), (far_m, far_m), (-far_m, far_m)] {
        // There is room for many more than four.
        let _ = floor.vertices.push(StagePoint::new(x, y));
        let _ = floor.edges.push(Edge::Level);
    }
    floor
}
