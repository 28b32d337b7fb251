//! People whose outline leaves the LED surfaces where the set is drawn on beyond them.

use underfoot_core::cameras::framing::Side;
use underfoot_core::cameras::surfaces::PastFloor;
use underfoot_core::cameras::{OffWall, Passing};
use underfoot_core::geom::{StagePoint, StageVector, polygon, segment};

use super::book::Judged;
use super::desk::Desk;
use super::fault::{Fault, Kind};
use super::fixes;
use crate::findings::{Figure, Finding, FindingId, Report, Severity, Unit};

/// Measures one pair and reports where its outline leaves the walls.
pub(super) fn report(desk: &Desk<'_, '_>, report: &mut Report, judged: &Judged, faults: &[Fault]) {
    measure(desk, report, judged);
    let verdict = &judged.verdict;
    let Some(off) = &verdict.off_wall else { return };
    if let Some(fault) = faults.iter().find(|f| f.kind == Kind::OffWall) {
        report.add(finding(desk, fault, off, verdict.head));
    }
}

/// Measures one pair.
pub(super) fn measure(desk: &Desk<'_, '_>, report: &mut Report, judged: &Judged) {
    let verdict = &judged.verdict;
    let cue = Some(desk.cue_number(&judged.pair));
    if let Some(head) = verdict.head {
        let words = desk.pair_words(&judged.pair);
        let wall = wall_name(desk, &head);
        let over = Figure::at_most(head.place.z, head.top_m, Unit::Metres);
        report.measure(FindingId::OffWall, cue, format!("{words}: head backs onto wall {wall}, height"), over);
        let past = Figure::at_most(head.past_m, 0.0, Unit::Metres);
        report.measure(FindingId::OffWall, cue, format!("{words}: head past the end of wall {wall}"), past);
    }
}

fn wall_name(desk: &Desk<'_, '_>, passing: &Passing) -> String {
    desk.board.show().walls.get(usize::from(passing.wall)).map(|w| w.name.to_string()).unwrap_or_default()
}

/// Which end of the wall a place is past: "SR".
fn end(desk: &Desk<'_, '_>, passing: &Passing) -> &'static str {
    let Some(wall) = desk.board.show().walls.get(usize::from(passing.wall)) else { return "" };
    let place = passing.place.on_floor();
    let at_from = place.distance(wall.from) < place.distance(wall.to);
    side_of(if at_from { wall.from - wall.to } else { wall.to - wall.from })
}

/// The stage side to which a way leads.
fn side_of(way: StageVector) -> &'static str {
    match (way.x.abs() > way.y.abs(), way.x < 0.0, way.y < 0.0) {
        (true, true, _) => "SR",
        (true, false, _) => "SL",
        (false, _, true) => "DS",
        (false, _, false) => "US",
    }
}

/// Where the line of sight misses the floor, if that is by less than it misses a wall.
pub(super) fn past_floor(off: &OffWall) -> Option<PastFloor> {
    off.past_floor.filter(|floor| off.passing.is_none_or(|wall| floor.past_m < wall.miss_m()))
}

/// The edge of the floor beyond which a place lies: "SR".
fn edge(desk: &Desk<'_, '_>, place: StagePoint) -> &'static str {
    let sides = polygon::sides(&desk.board.show().floor.vertices);
    let nearest = sides.map(|(a, b)| segment::nearest(place, a, b));
    let nearest = nearest.min_by(|a, b| a.distance(place).total_cmp(&b.distance(place)));
    nearest.map_or("", |p| side_of(place - p))
}

/// What is missed, in words and by how much.
fn missed(desk: &Desk<'_, '_>, off: &OffWall, head: Option<Passing>) -> (String, Option<Figure>) {
    if let Some(floor) = past_floor(off) {
        let edge = edge(desk, floor.place);
        return (format!("past the {edge} edge of the floor"), Some(Figure::at_most(floor.past_m, 0.0, Unit::Metres)));
    }
    let Some(passing) = off.passing else { return ("past every LED surface".into(), None) };
    // The head's own figure, or the middle's, where that is off the wall, too, and not the outline's edge only.
    let middle = head.filter(|h| h.wall == passing.wall);
    if off.side == Side::Top {
        let top = middle.filter(|h| h.above_m > 0.0).unwrap_or(passing);
        let figure = Figure::at_most(top.place.z, top.top_m, Unit::Metres);
        return (format!("above the top of wall {}", wall_name(desk, &top)), Some(figure));
    }
    let past = middle.filter(|h| h.past_m > 0.0).unwrap_or(passing);
    let (end, wall) = (end(desk, &past), wall_name(desk, &past));
    (format!("past the {end} end of wall {wall}"), Some(Figure::at_most(past.past_m, 0.0, Unit::Metres)))
}

/// The finding about one fault.
pub(super) fn finding(desk: &Desk<'_, '_>, fault: &Fault, off: &OffWall, head: Option<Passing>) -> Finding {
    let (what, figure) = missed(desk, off, head);
    let what = format!("on mark {} backs {what}", desk.mark_name(fault.pair.mark));
    let mut finding = desk.finding(fault, desk.shot_name(fault.pair.shot), what);
    finding.figure = figure;
    if fault.severity != Severity::Note {
        finding.fix = desk.board.tried(|| fixes::words(desk, fault));
    }
    finding
}
