//! How people get there, for plans on a monitor and on paper: corridors of walk lines, the time each walk takes, entries
//! that are crossed one way only, raised sides that nobody may cross.

use underfoot_core::geom::{StageVector, polygon, segment};
use underfoot_core::look::numbers::LEAST_STEP_M;
use underfoot_core::look::{Sizes, marks, placed};
use underfoot_core::props::ground::band_m;
use underfoot_core::show::{Cue, CuePlace, Entry, Passage, Show};
use underfoot_core::walk::{Path, Schedule, closed_sides};

use super::pictures::Brief;
use crate::project::Project;
use crate::render::Over;
use crate::render::frame::{Label, Line};

/// From a mark's shape to the words beyond it, metres.
const BEYOND_M: f32 = 0.08;

/// Adds what a plan of `cue` shows of ways.
pub(super) fn add(project: &Project, cue: &Cue, brief: &mut Brief) {
    let show = &project.show;
    let before = brief.over.len();
    let walked = show.places_in(cue).iter().filter(|place| way(project, place, brief).is_some()).count();
    let one_way = show.entries.iter().filter_map(|entry| arrow(show, entry));
    brief.over.extend(one_way);
    closed_sides(show, &mut |from, to| brief.over.push(Over::ClosedSide { from, to }));
    let has = |of: fn(&Over) -> bool| brief.over.iter().skip(before).any(of);
    let numbers = format!("numbers downstage: one each {} m from the centre line", show.look.numbers_m);
    let words = [
        (
            walked > 0,
            "thin lines: room that each walk needs; seconds: from the call to standing there, at their own pace",
        ),
        (has(|o| matches!(o, Over::OneWay { .. })), "two arrow heads: this way only"),
        (has(|o| matches!(o, Over::ClosedSide { .. })), "ticks beside a step: nobody crosses there"),
        (show.look.numbers_m >= LEAST_STEP_M, numbers.as_str()),
    ];
    let said: Vec<&str> = words.iter().filter(|(is, _)| *is).map(|(_, words)| *words).collect();
    if !said.is_empty() {
        brief.lines.push(Line::plain(said.join("; ")));
    }
}

/// Adds the corridor of one walk, and its time at its end.
fn way(project: &Project, place: &CuePlace, brief: &mut Brief) -> Option<()> {
    let show = &project.show;
    let line = show.lines.get(place.line?.index())?;
    let person = show.people.get(place.person.index())?;
    let class = show.classes.get(person.class.index())?;
    let path = Path::new(show.points_of(line));
    let (points, half_m) = (path.points().to_vec(), line.corridor_m / 2.0);
    brief.over.push(Over::Corridor { points, half_m, who: person.who });
    let seconds = Schedule::of(path, show, project.timing(place.line, Some(class), class.pace_mps)).total_s();
    let end = path.at(path.length_m());
    let mark = placed::mark(show, place);
    let reach_m = mark.map_or(0.0, |m| marks::support_m(m, person.who, Sizes::of(show).line_m, end.way));
    let at = mark.map_or(end.at, |m| m.at) + end.way * (reach_m + BEYOND_M);
    let line = Line { who: Some(person.who), words: format!("{} {seconds:.1} s", person.name) };
    brief.labels.push(Label { at, way: end.way, large: true, line });
    Some(())
}

/// The arrow in an entry that is crossed one way only.
fn arrow(show: &Show, entry: &Entry) -> Option<Over> {
    let (i, (a, b)) = polygon::nearest_side(&show.floor.vertices, entry.at)?;
    let edge = show.floor.edges.get(i)?;
    let inwards: StageVector = (b - a).unit()?.perp();
    let way = match entry.passage {
        Passage::Both => return None,
        Passage::In => inwards,
        Passage::Out => -inwards,
    };
    Some(Over::OneWay { at: segment::nearest(entry.at, a, b) + inwards * (band_m(&show.floor, *edge) / 2.0), way })
}
