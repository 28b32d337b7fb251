//! Turns the tables of a file into the core's lists: names to indices, sizes to maps, shapes to
//! vertices. It goes on after a fault, so that a file with five slips needs one run, not five.

mod blocks;
mod cameras;
mod cues;
mod desk;
mod lines;
mod marks;
mod motions;
mod outline;
mod parts;
mod people;
mod physicals;
mod planned;
mod props;
mod resolver;
mod stage;
mod survey;
mod tiles;

use std::path::PathBuf;

use super::errors::LoadErrors;
use super::model::Project;
use super::raw::RawFile;
use super::source::Document;
use resolver::Resolver;

/// Reads a file that stands beside the show file: its full name and its text.
pub(super) type ReadBeside<'a> = &'a dyn Fn(&str) -> Result<(String, String), LoadErrors>;

/// Names of the core's lists that have places.
pub(super) const LISTS: [&str; 25] = [
    "show",
    "look",
    "floor",
    "canvases",
    "blocks",
    "tile_faults",
    "entries",
    "walls",
    "physicals",
    "survey",
    "classes",
    "people",
    "props",
    "parts",
    "motions",
    "motion_keys",
    "cameras",
    "shots",
    "shot_keys",
    "marks",
    "lines",
    "cues",
    "cue_props",
    "cue_places",
    "waivers",
];

/// Builds the project, or reports every fault.
pub(super) fn resolve(document: &Document, raw: &RawFile, beside: ReadBeside<'_>) -> Result<Project, LoadErrors> {
    let mut r = Resolver::new(document, raw);
    r.head(raw);
    r.stage(raw);
    r.people(raw);
    r.props(raw);
    r.cameras(raw);
    r.marks(raw);
    r.lines(raw);
    r.cues(raw);
    let survey = r.survey(&raw.survey, beside);
    let waivers = r.waivers(raw);
    let timecode_from = r.control(raw);
    if r.errors.is_empty() {
        r.last_door();
    }
    // Planning relies on a show that has passed the door, and what it puts there has to pass as well.
    let no_way = if r.errors.is_empty() { r.plan_lines() } else { Vec::new() };
    if r.errors.is_empty() {
        r.last_door();
    }
    if !r.errors.is_empty() {
        return Err(LoadErrors::new(r.errors));
    }
    Ok(Project {
        path: PathBuf::from(&document.name),
        source: document.text.clone(),
        survey,
        waivers,
        notes: desk::notes(raw),
        naming: desk::naming(raw),
        light: desk::light(raw),
        timecode_from,
        limits: desk::limits(raw),
        rig_height_m: raw.floor.rig_height_m.map(|h| h.get()),
        cell_mm: raw.floor.cell_mm.get(),
        show: r.show,
        places: r.places,
        cameras: r.cameras,
        part_names: r.part_names,
        motion_names: r.motion_names,
        line_turns_s: r.line_turns_s,
        line_wishes: r.line_wishes,
        no_way,
        floor_blocks: r.floor_blocks,
    })
}
