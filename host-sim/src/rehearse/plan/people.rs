//! Where the plan has everybody at a moment, as the page and the cameras want it.

use serde_json::{Value, json};
use underfoot_core::geom::StageVector;
use underfoot_core::show::{Mark, MarkId, Show};

use super::loops::point;
use super::words::{shape, who};
use crate::checks::{Step, Whereabouts, whereabouts};
use crate::project::Project;
use crate::render::shot::{Actor, actor_at};

/// Everybody of a cue who is on the floor or on the way from it, as cameras have them.
pub(in crate::rehearse) fn actors(project: &Project, cue: usize, t_s: f32) -> Vec<Actor> {
    let show = &project.show;
    let there = whereabouts(project, cue, t_s);
    let there = there.iter().filter(|person| !has_left(person));
    there.filter_map(|person| actor_at(show, &person.place, (person.at, spot(show, person)))).collect()
}

/// Everybody of a cue for the page.
pub(super) fn value(project: &Project, cue: usize, t_s: f32) -> Vec<Value> {
    whereabouts(project, cue, t_s).iter().filter_map(|person| one(&project.show, person)).collect()
}

/// Degrees counter-clockwise from stage left that somebody looks: along the way, and on a mark as it says.
pub(in crate::rehearse) fn facing_deg(show: &Show, person: &Whereabouts) -> f32 {
    let way = |way: StageVector| way.y.atan2(way.x).to_degrees().rem_euclid(360.0);
    let on_mark = |id: Option<MarkId>| mark(show, id).map(|mark| mark.facing_deg);
    match person.step {
        Step::Walks(ahead) => way(ahead),
        // Until the first step people stand as they stood.
        Step::Waits(ahead) => on_mark(person.from).unwrap_or_else(|| way(ahead)),
        Step::Rests => on_mark(person.place.mark).unwrap_or(0.0),
    }
}

/// True for who has gone off the floor.
pub(in crate::rehearse) fn has_left(person: &Whereabouts) -> bool {
    person.step == Step::Rests && person.place.mark.is_none()
}

/// What crew call the place: the mark, or the way to it.
fn spot<'p>(show: &'p Show, person: &'p Whereabouts) -> &'p str {
    match (person.step, mark(show, person.place.mark)) {
        (Step::Rests, Some(mark)) => &mark.name,
        _ => &person.way_name,
    }
}

fn mark(show: &Show, id: Option<MarkId>) -> Option<&Mark> {
    show.marks.get(id?.index())
}

fn one(show: &Show, there: &Whereabouts) -> Option<Value> {
    let person = show.people.get(there.place.person.index())?;
    let on = match there.step {
        _ if has_left(there) => "off",
        Step::Rests => "mark",
        Step::Waits(_) | Step::Walks(_) => "line",
    };
    Some(json!({
        "name": person.name.as_str(),
        "who": who(person.who),
        "shape": shape(person.who),
        "at": point(there.at),
        "facing_deg": facing_deg(show, there),
        "on": on,
        "walking": matches!(there.step, Step::Walks(_)),
        "mark": mark(show, there.place.mark).map(|mark| mark.name.as_str()),
        "line": there.place.line.and_then(|id| show.lines.get(id.index())).map(|line| line.name.as_str()),
        "way": there.way_name,
    }))
}
