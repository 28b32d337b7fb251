//! People, marks, props, walk lines, cameras and shots as the show has them.

use serde_json::{Value, json};
use underfoot_core::props::{Placement, footprint};
use underfoot_core::show::{Band, CameraKind, LineId, Part, PersonId, Prop, ShotKind, Show};
use underfoot_core::walk::{Path, Schedule};

use super::line;
use super::loops::{self, metres, point, point3, points};
use super::words;
use crate::project::Project;

/// Farthest that a drawn bend of a walk line may be off, metres.
const FLAT_M: f32 = 0.005;

/// What people handle.
pub(super) fn value(project: &Project) -> Vec<(&'static str, Value)> {
    let show = &project.show;
    vec![
        ("people", (0..show.people.len()).filter_map(|i| person(project, i)).collect()),
        ("marks", (0..show.marks.len()).filter_map(|i| mark(project, i)).collect()),
        ("props", show.props.iter().enumerate().map(|(i, prop)| prop_value(project, i, prop)).collect()),
        ("lines", (0..show.lines.len()).filter_map(|i| walk_line(project, i)).collect()),
        ("cameras", (0..show.cameras.len()).filter_map(|i| camera(project, i)).collect()),
        ("shots", (0..show.shots.len()).filter_map(|i| shot(project, i)).collect()),
    ]
}

fn person(project: &Project, i: usize) -> Option<Value> {
    let person = project.show.people.get(i)?;
    let class = project.show.classes.get(person.class.index())?;
    Some(json!({
        "name": person.name.as_str(),
        "role": class.name.as_str(),
        "who": words::who(person.who),
        "shape": words::shape(person.who),
        "height_m": metres(class.height_m),
        "eye_m": metres(class.eye_m),
        "radius_m": metres(class.radius_m),
        "pace_mps": metres(class.pace_mps),
        "seated": class.chair_m.is_some(),
        "chair_m": class.chair_m.map(|(width_m, length_m)| [metres(width_m), metres(length_m)]),
        "line": line(project, "people", i),
    }))
}

fn mark(project: &Project, i: usize) -> Option<Value> {
    let mark = project.show.marks.get(i)?;
    Some(json!({
        "name": mark.name.as_str(),
        "label": mark.label.as_str(),
        "kind": words::mark(mark.kind),
        "at": point(mark.at),
        "facing_deg": metres(mark.facing_deg),
        "person": name_of(&project.show, mark.person),
        "who": words::who(mark.who),
        "shape": words::shape(mark.who),
        "line": line(project, "marks", i),
    }))
}

fn name_of(show: &Show, person: Option<PersonId>) -> Option<&str> {
    show.people.get(person?.index()).map(|person| person.name.as_str())
}

fn prop_value(project: &Project, i: usize, prop: &Prop) -> Value {
    let first = usize::from(prop.parts.first);
    let parts = project.show.parts_of(prop).iter().enumerate();
    json!({
        "name": prop.name.as_str(),
        "at": point(prop.at),
        "heading_deg": metres(prop.turn_deg),
        "parts": parts.map(|(part, data)| part_value(project, prop, (first + part, data))).collect::<Vec<_>>(),
        "line": line(project, "props", i),
    })
}

fn part_value(project: &Project, prop: &Prop, (i, part): (usize, &Part)) -> Value {
    let bands = [Band::Contact, Band::Body, Band::Overhead].into_iter().filter(|band| part.reaches(*band));
    let region = footprint::of_part(&project.show, part, &Placement::resting(prop));
    json!({
        "name": project.part_names.get(i).map_or("", String::as_str),
        "layer": words::layer(part.layer),
        "transparent": part.transparent,
        "z0": metres(part.bottom_m),
        "z1": metres(part.top_m),
        "band": bands.map(words::band).collect::<Vec<_>>(),
        "outline": region.map_or(json!([]), |region| loops::value(&loops::loops(&region))),
    })
}

/// A walk line; its time is that of who walks it first, from the call to standing there, at their own pace.
fn walk_line(project: &Project, i: usize) -> Option<Value> {
    let (show, id) = (&project.show, LineId(i as u8));
    let walk = show.lines.get(i)?;
    let path = Path::new(show.points_of(walk));
    let along = path.stretches().flat_map(|stretch| stretch.points(FLAT_M).into_iter().flatten());
    let mut drawn: Vec<_> = along.collect();
    drawn.dedup_by(|a, b| a.distance(*b) < 1e-4);
    let walker = show.cue_places.iter().find(|place| place.line == Some(id)).map(|place| place.person);
    let walker = walker.or_else(|| project.line_wishes.get(i)?.person);
    let class = walker.and_then(|person| show.classes.get(show.people.get(person.index())?.class.index()));
    let time_s = class.map(|class| Schedule::of(path, show, project.timing(Some(id), Some(class), class.pace_mps)));
    Some(json!({
        "name": walk.name.as_str(),
        "points": points(&drawn),
        "stops": points(&path.stops().collect::<Vec<_>>()),
        "length_m": metres(path.length_m()),
        "time_s": time_s.map(|schedule| metres(schedule.total_s())),
        "corridor_m": metres(walk.corridor_m),
        "dots": words::dots(walk.dots),
        "who": words::who(walk.who),
        "shape": words::shape(walk.who),
        "person": name_of(show, walker),
        "line": line(project, "lines", i),
    }))
}

fn camera(project: &Project, i: usize) -> Option<Value> {
    let show = &project.show;
    let (camera, details) = (show.cameras.get(i)?, project.cameras.get(i)?);
    let shots = || show.shots.iter().filter(|shot| shot.camera.index() == i);
    let first = shots().find_map(|shot| shot.keys.of(&show.shot_keys).first()).map(|key| key.from);
    let base = match camera.kind {
        CameraKind::Jib { base, .. } => Some(base),
        _ => None,
    };
    Some(json!({
        "name": camera.name.as_str(),
        "kind": words::camera(&camera.kind),
        "mount": words::mount(details.mount),
        "at": details.at.or(first).or(base).map(point3),
        "recorded": camera.recorded,
        "shots": shots().map(|shot| shot.name.as_str()).collect::<Vec<_>>(),
        "line": line(project, "cameras", i),
    }))
}

fn shot(project: &Project, i: usize) -> Option<Value> {
    let show = &project.show;
    let shot = show.shots.get(i)?;
    let keys = shot.keys.of(&show.shot_keys).iter().enumerate().map(|(nth, key)| {
        json!({
            "at_s": if shot.kind == ShotKind::Range { nth as f64 } else { metres(key.at_s) },
            "from": point3(key.from),
            "look": point3(key.look),
            "focal_mm": metres(key.focal_mm),
        })
    });
    Some(json!({
        "name": shot.name.as_str(),
        "camera": show.cameras.get(shot.camera.index()).map(|camera| camera.name.as_str()),
        "kind": words::shot(shot.kind),
        "keys": keys.collect::<Vec<_>>(),
        "lower_line": words::lower(shot.lower_line),
        "line": line(project, "shots", i),
    }))
}
