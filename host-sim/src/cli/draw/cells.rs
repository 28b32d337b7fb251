//! `underfoot draw --cells`: what the plan says of every place, as a picture and as JSON.

use std::path::{Path, PathBuf};

use underfoot_core::geom::StagePoint;
use underfoot_core::props::life::{Life, life_at};
use underfoot_core::props::{Placement, footprint, motion};
use underfoot_core::show::{Cue, Prop, Show, Who};

use super::Plan;
use super::pictures::{make, stem};
use crate::cli::Refusal;
use crate::cli::pack::pack_of;
use crate::cli::progress::Progress;
use crate::findings::cue_number;
use crate::occupancy::json::{self, About};
use crate::occupancy::picture::{Captions, draw};
use crate::occupancy::{Chart, Room};
use crate::project::Project;
use crate::render::png;

/// Props with no part wider than this each way from its middle are not named, metres.
const NARROW_M: f32 = 0.3;

/// When, and what beside the cells.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cells {
    /// Seconds after the start of each cue.
    pub at_s: f32,
    /// Free room, too.
    pub room: bool,
}

/// Writes a picture and a JSON file for each cue of the plan and returns their paths.
///
/// # Errors
/// [`Refusal`] when a map cannot be made or a file cannot be written.
pub fn write(project: &Project, plan: &Plan, wanted: Cells) -> Result<Vec<PathBuf>, Refusal> {
    make(&plan.folder)?;
    let show = &project.show;
    let code = pack_of(show).map(|(_, code)| code.to_string()).ok();
    let progress = Progress::new("charting", plan.views.len());
    let mut written = Vec::new();
    for &(mode, id) in &plan.views {
        let Some(cue) = id.and_then(|id| show.cues.get(id.index())) else { continue };
        let stem = format!("{}-cells{}", stem(show, mode, id), after(wanted.at_s));
        written.extend(one(project, cue, wanted, code.as_deref(), &plan.folder.join(stem))?);
        progress.step();
    }
    Ok(written)
}

/// The part of a file's name that says when; nothing at the start of the cue.
fn after(at_s: f32) -> String {
    if at_s > 0.0 { format!("-{at_s:.1}s") } else { String::new() }
}

fn one(project: &Project, cue: &Cue, wanted: Cells, code: Option<&str>, stem: &Path) -> Result<[PathBuf; 2], Refusal> {
    let show = &project.show;
    let chart = Chart::of(show, cue, wanted.at_s, project.cell_mm / 1000.0)?;
    let room = wanted.room.then(|| Room::of(&chart));
    let named = |end: &str| PathBuf::from(format!("{}.{end}", stem.display()));
    let [picture, data] = ["png", "json"].map(named);
    let captions = Captions {
        head: format!("{} \u{b7} {} \u{b7} cells of {} mm", show.title, code.unwrap_or("----"), project.cell_mm),
        cue: format!("cue {} {} \u{b7} after {:.1} s", cue_number(cue.number), cue.name, wanted.at_s),
        labels: labels(show, cue, wanted.at_s),
    };
    png::write(&picture, png::of_picture(&draw(&chart, room.as_ref(), &captions)))?;
    let about = About {
        show: show.title.to_string(),
        code: code.map(String::from),
        cue: (cue_number(cue.number), cue.name.to_string()),
        at_s: wanted.at_s,
    };
    let text = format!("{:#}\n", json::value(&about, &chart, room.as_ref()));
    std::fs::write(&data, text).map_err(|e| Refusal(format!("cannot write {}: {e}", data.display())))?;
    Ok([picture, data])
}

/// Marks of the cue and its props, where they are then; the marks first, for they are asked about.
fn labels(show: &Show, cue: &Cue, at_s: f32) -> Vec<(StagePoint, String, Option<Who>)> {
    let marks = show.places_in(cue).iter().filter_map(|place| {
        let mark = show.marks.get(place.mark?.index())?;
        let who = show.people.get(place.person.index()).map(|p| p.who);
        Some((mark.at, mark.name.to_string(), who))
    });
    let props = show.props_in(cue).iter().filter_map(|state| {
        let prop = show.props.get(state.prop.index()).filter(|prop| is_wide(show, prop))?;
        let name = &prop.name;
        let words = match life_at(show, state, at_s) {
            Life::Gone => return None,
            Life::Coming => format!("{name} coming"),
            Life::Live | Life::Leaving => name.to_string(),
        };
        Some((motion::at(show, cue, state, at_s)?.placement.at, words, None))
    });
    marks.chain(props).collect()
}

/// True for props that are wide enough to be named without hiding what they cover.
fn is_wide(show: &Show, prop: &Prop) -> bool {
    let resting = Placement::resting(prop);
    let areas = show.parts_of(prop).iter().filter_map(|part| footprint::of_part(show, part, &resting).ok());
    areas.map(|area| area.bounds().1).fold(0.0, f32::max) > NARROW_M
}
