//! People on their marks against the props of each cue, where those stand still.

use underfoot_core::geom::{Convex, StagePoint, StageVector};
use underfoot_core::show::{Mark, MarkId, PersonId, PropId};
use underfoot_core::units::Angle;

use super::board::{Board, distance};
use super::cast::{Cast, Stand};
use super::clear::Room;
use super::ways::Met;
use crate::findings::{Figure, Finding, FindingId, Report, Severity, Unit, text};

pub(super) fn check(board: &Board<'_>, report: &mut Report, met: &Met) {
    let mut pairs = 0;
    for (cue, cast) in board.cast.iter().enumerate() {
        for stand in &cast.people {
            let Some((mark, id)) = mark_of(board, stand) else { continue };
            // Whom a prop runs into on its way has been named.
            for there in cast.props.iter().filter(|t| !met.contains(&(cue, stand.person, t.prop))) {
                let Some(rests_at) = there.rests_at() else { continue };
                let gap_m = gap_m(board, stand.person, mark, there.prop, rests_at);
                if gap_m.is_finite() {
                    pairs += 1;
                    pair(board, report, cast, (stand, mark, id), there.prop, gap_m);
                }
            }
        }
    }
    report.checked.push(format!("{pairs} pairs of a person on a mark and a prop at rest"));
}

fn mark_of<'p>(board: &Board<'p>, stand: &Stand) -> Option<(&'p Mark, MarkId)> {
    let id = stand.mark?;
    board.show().marks.get(id.index()).map(|mark| (mark, id))
}

fn pair(
    board: &Board<'_>,
    report: &mut Report,
    cast: &Cast,
    (stand, mark, id): (&Stand, &Mark, MarkId),
    prop: PropId,
    gap_m: f32,
) {
    let name = board.prop_name(prop);
    let what = format!("{} on mark {} to {name}", board.person_name(stand.person), mark.name);
    let hard = Figure::at_least(gap_m, board.hard_m(), Unit::Metres);
    let kind = if gap_m < 0.0 { FindingId::MarkInProp } else { FindingId::MarkNearProp };
    let missed = report.measure(kind, Some(cast.number), what, hard);
    let wished = Figure::at_least(gap_m, board.wished_m(), Unit::Metres);
    let (severity, figure, clause) = match missed {
        Some(figure) if gap_m < 0.0 => (Severity::Stop, figure, format!("on mark {} stands in {name}", mark.name)),
        Some(figure) => (Severity::Fix, figure, format!("on mark {} stands too close to {name}", mark.name)),
        None if !wished.holds() => (Severity::Note, wished, format!("on mark {} stands close to {name}", mark.name)),
        None => return,
    };
    let mut finding = Finding::new(kind, severity, name, clause);
    finding.figure = Some(figure);
    finding.who = Some(board.person_name(stand.person));
    finding.cue = Some(cast.number);
    finding.place = Some(mark.at);
    finding.things.push(mark.name.to_string());
    if severity != Severity::Note {
        finding.fix = board.tried(|| clear_of_all(board, id, mark));
    }
    report.add(board.at_line(finding, "marks", id.index()));
}

/// Free space between a person on a mark and a prop at a place, metres; infinite when the prop has no part
/// that a body could meet.
fn gap_m(board: &Board<'_>, person: PersonId, mark: &Mark, prop: PropId, place: StagePoint) -> f32 {
    let regions = board.regions(prop, place);
    match board.class_of(person).and_then(|c| c.chair_m) {
        Some(chair) => chair_area(mark, chair).map_or(f32::INFINITY, |area| {
            // A chair wholly inside a solid prop touches none of its outline.
            let inside = regions.iter().map(|r| r.signed_distance(mark.at)).fold(f32::INFINITY, f32::min);
            let gap = regions.iter().map(|r| r.gap_to(&area)).fold(f32::INFINITY, f32::min);
            if inside < 0.0 { gap.min(inside) } else { gap }
        }),
        None => distance(&regions, mark.at) - board.radius_m(person),
    }
}

fn chair_area(mark: &Mark, (width_m, length_m): (f32, f32)) -> Option<Convex> {
    Convex::rectangle(mark.at, length_m, width_m, Angle::from_degrees(mark.facing_deg)).ok()
}

/// The smallest move of the mark that clears every prop in every cue that uses it, tried with the same sums.
fn clear_of_all(board: &Board<'_>, id: MarkId, mark: &Mark) -> String {
    let room = Room::of(board, id);
    nearest_place(mark.at, |p| room.is_clear(p)).map_or_else(
        || "move the prop (no place within 3 m clears the mark)".into(),
        |p| move_words(&mark.name, mark.at, p),
    )
}

/// The nearest place at which `fits` holds, up to 3 m away.
pub(super) fn nearest_place(from: StagePoint, fits: impl Fn(StagePoint) -> bool) -> Option<StagePoint> {
    fan(from, 60, 0.05, 32).find(|&p| fits(p))
}

/// Places round `from`, the nearest first: rings `step_m` apart, some directions each, on the 10 mm grid, as
/// people measure them.
pub(super) fn fan(from: StagePoint, rings: u16, step_m: f32, directions: u16) -> impl Iterator<Item = StagePoint> {
    let round = |v: f32| (v * 100.0).round() / 100.0;
    (1..=rings).flat_map(move |ring| {
        (0..directions).map(move |step| {
            let (sin, cos) = Angle::from_degrees(f32::from(step) * 360.0 / f32::from(directions)).sin_cos();
            let p = from + StageVector::new(cos, sin) * (f32::from(ring) * step_m);
            StagePoint::new(round(p.x), round(p.y))
        })
    })
}

/// "move mark C 0.20 m SL and 0.05 m DS, to 0.95 m SL, 0.80 m DS of the centre".
pub(super) fn move_words(name: &str, from: StagePoint, to: StagePoint) -> String {
    shift_words(&format!("mark {name}"), from, to)
}

/// The same for anything: "move WATCH 0.20 m SL (to ...)".
pub(super) fn shift_words(what: &str, from: StagePoint, to: StagePoint) -> String {
    let (dx, dy) = (to.x - from.x, to.y - from.y);
    let mut ways = Vec::new();
    if dx.abs() >= 0.005 {
        ways.push(format!("{:.2} m {}", dx.abs(), if dx < 0.0 { "SR" } else { "SL" }));
    }
    if dy.abs() >= 0.005 {
        ways.push(format!("{:.2} m {}", dy.abs(), if dy < 0.0 { "DS" } else { "US" }));
    }
    format!("move {what} {} (to {})", ways.join(" and "), text::place(to.x, to.y))
}
