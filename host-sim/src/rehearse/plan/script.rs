//! The running order: what each cue has, and how long it is at work.

use serde_json::{Value, json};
use underfoot_core::props::motion;
use underfoot_core::show::{Cue, CuePlace, CueProp};

use super::line;
use super::loops::metres;
use super::words;
use crate::checks::all_there_s;
use crate::findings::cue_number;
use crate::project::Project;
use crate::rehearse::pictures::asked::mode_word;

/// All cues.
pub(super) fn value(project: &Project) -> Vec<(&'static str, Value)> {
    let cues = project.show.cues.iter().enumerate();
    vec![("cues", cues.map(|(i, cue)| one(project, i, cue)).collect())]
}

/// When everything that ends in a cue has ended, seconds after it began: moves, walks, announcements. What goes round
/// for ever does not count.
pub(in crate::rehearse) fn lasts_s(project: &Project, index: usize, cue: &Cue) -> f32 {
    let show = &project.show;
    let states = show.props_in(cue).iter();
    let ends = states.flat_map(|state| motion::lasts_s(show, state).into_iter().chain(motion::appears_s(state)));
    ends.fold(all_there_s(project, index), f32::max)
}

fn one(project: &Project, index: usize, cue: &Cue) -> Value {
    let show = &project.show;
    let limit = (cue.time_limit_ms > 0).then(|| metres(cue.time_limit_ms as f32 / 1000.0));
    let shots = show.shots_in(cue).iter().filter_map(|id| show.shots.get(id.index()));
    json!({
        "number": cue_number(cue.number),
        "name": cue.name.as_str(),
        "mode": mode_word(cue.mode),
        "limit_s": limit,
        "props": show.props_in(cue).iter().filter_map(|state| prop(project, state)).collect::<Vec<_>>(),
        "places": show.places_in(cue).iter().filter_map(|at| place(project, at)).collect::<Vec<_>>(),
        "shots": shots.map(|shot| shot.name.as_str()).collect::<Vec<_>>(),
        "lasts_s": metres(lasts_s(project, index, cue)),
        "line": line(project, "cues", index),
    })
}

fn prop(project: &Project, state: &CueProp) -> Option<Value> {
    let prop = project.show.props.get(state.prop.index())?;
    Some(json!({
        "prop": prop.name.as_str(),
        "state": words::presence(state.presence),
        "coming_s": metres(state.coming_ms as f32 / 1000.0),
        "motion": state.motion.and_then(|id| project.motion_names.get(id.index())),
    }))
}

fn place(project: &Project, at: &CuePlace) -> Option<Value> {
    let show = &project.show;
    Some(json!({
        "person": show.people.get(at.person.index())?.name.as_str(),
        "mark": at.mark.and_then(|id| show.marks.get(id.index())).map(|mark| mark.name.as_str()),
        "line": at.line.and_then(|id| show.lines.get(id.index())).map(|line| line.name.as_str()),
    }))
}
