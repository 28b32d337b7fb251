//! Planned lines that found no way, and what opens one.

use underfoot_core::geom::StagePoint;
use underfoot_core::props::Limit;
use underfoot_core::show::{LineId, MarkId, PropId, Show};
use underfoot_core::walk::{Path, WalkError};

use crate::checks::board::Board;
use crate::checks::change::Change;
use crate::checks::near::{fan, shift_words};
use crate::findings::{Figure, Finding, FindingId, Report, Severity, Unit, text};
use crate::project::{NoWayAt, plan_line};

/// Places that are tried for what is in the way: rings, the distance between them in metres, directions.
const FAN: (u16, f32, u16) = (20, 0.1, 16);

pub(super) fn check(board: &Board<'_>, report: &mut Report) {
    for barred in &board.project.no_way {
        let Some(line) = board.show().lines.get(barred.line.index()) else { continue };
        let (clause, missing_m, at) = words(board, barred);
        let mut finding = Finding::new(
            FindingId::NoWay,
            Severity::Stop,
            line.name.to_string(),
            format!("line {} {clause}", line.name),
        );
        finding.figure = (missing_m > 0.0).then(|| Figure::at_least(-missing_m, 0.0, Unit::Metres));
        finding.cue = barred.cues.first().map(|cue| board.number(cue.index()));
        finding.who = walker(board, barred.line);
        finding.place = at;
        finding.things = limits(&barred.error).filter_map(|limit| name(board, limit)).collect();
        finding.fix = board.tried(|| fix(board, barred));
        report.add(board.at_line(finding, "lines", barred.line.index()));
    }
    let planned = board.show().lines.iter().filter(|line| line.planned).count();
    if planned > 0 {
        report.checked.push(format!("{planned} planned lines"));
    }
}

/// What bars the way, by how much, and where.
fn words(board: &Board<'_>, barred: &NoWayAt) -> (String, f32, Option<StagePoint>) {
    let name = |limit| name(board, limit).unwrap_or_else(|| "the floor's edge".into());
    match &barred.error {
        WalkError::NoWay(no_way) => {
            let [one, two] = no_way.between.map(name);
            let between = if one == two { format!("past {one}") } else { format!("between {one} and {two}, too near") };
            (format!("has no way {between}"), no_way.missing_m, Some(no_way.at))
        }
        WalkError::Stop { stop, limit, missing_m } => {
            let at = stop_at(board.show(), barred.line, *stop);
            let place = at.map_or(String::new(), |p| format!(" at {}", text::place(p.x, p.y)));
            (format!("stops{place} in {}", name(*limit)), *missing_m, at)
        }
        WalkError::Full { capacity, .. } => {
            (format!("goes round more than the {capacity} things that a plan takes"), 0.0, None)
        }
        _ => ("cannot be planned: its points or the floor cannot be used".into(), 0.0, None),
    }
}

fn limits(error: &WalkError) -> impl Iterator<Item = Limit> + use<> {
    let (one, two) = match error {
        WalkError::NoWay(no_way) => (Some(no_way.between[0]), Some(no_way.between[1])),
        WalkError::Stop { limit, .. } => (Some(*limit), None),
        _ => (None, None),
    };
    one.into_iter().chain(two.filter(|two| Some(*two) != one))
}

fn name(board: &Board<'_>, limit: Limit) -> Option<String> {
    limit.name(board.show()).map(ToString::to_string)
}

/// The first person whom a cue sends along the line, or whom the file names.
fn walker(board: &Board<'_>, line: LineId) -> Option<String> {
    let sent = board.show().cue_places.iter().find(|place| place.line == Some(line)).map(|place| place.person);
    let named = board.project.line_wishes.get(line.index()).and_then(|wish| wish.person);
    sent.or(named).map(|person| board.person_name(person))
}

/// A stop of a planned line: one of its sharp points.
fn stop_at(show: &Show, line: LineId, stop: u8) -> Option<StagePoint> {
    Path::new(show.points_of(show.lines.get(line.index())?)).stops().nth(usize::from(stop))
}

/// The smallest move of a prop that bars the way, or of the mark that is in something, with which planning finds one.
fn fix(board: &Board<'_>, barred: &NoWayAt) -> String {
    let props = limits(&barred.error).filter_map(|limit| match limit {
        Limit::Part { prop, .. } => Some(prop),
        _ => None,
    });
    let moves = props.filter_map(|prop| move_prop(board, barred.line, prop)).chain(move_stop(board, barred));
    let nearest = moves.min_by(|a, b| a.0.total_cmp(&b.0));
    let (rings, step_m, _) = FAN;
    let tried_m = f32::from(rings) * step_m;
    nearest.map_or_else(
        || format!("none found: tried what is in the way up to {tried_m:.1} m away; set another stop, or take it out of the cue"),
        |(_, words)| words,
    )
}

fn move_prop(board: &Board<'_>, line: LineId, prop: PropId) -> Option<(f32, String)> {
    let from = board.show().props.get(prop.index())?.at;
    let to = places(from).find(|&to| opens(board, line, &Change::Prop { prop, by: to - from }))?;
    Some((from.distance(to), shift_words(&board.prop_name(prop), from, to)))
}

fn move_stop(board: &Board<'_>, barred: &NoWayAt) -> Option<(f32, String)> {
    let WalkError::Stop { stop, .. } = barred.error else { return None };
    let from = stop_at(board.show(), barred.line, stop)?;
    let (i, mark) = board.show().marks.iter().enumerate().find(|(_, mark)| mark.at == from)?;
    let mark_id = MarkId(i as u8);
    let to = places(from).find(|&to| opens(board, barred.line, &Change::Mark { mark: mark_id, to }))?;
    Some((from.distance(to), shift_words(&format!("mark {}", mark.name), from, to)))
}

fn places(from: StagePoint) -> impl Iterator<Item = StagePoint> {
    let (rings, step_m, directions) = FAN;
    fan(from, rings, step_m, directions)
}

/// Plans the line again on a changed copy of the show.
fn opens(board: &Board<'_>, line: LineId, change: &Change) -> bool {
    let wish = board.project.line_wishes.get(line.index()).copied().unwrap_or_default();
    change.applied(board.show()).is_some_and(|changed| plan_line(&changed, line, &wish).is_ok())
}
