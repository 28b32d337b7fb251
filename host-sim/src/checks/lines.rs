//! The ways people walk, drawn or straight, against props at rest, furniture and the floor's edge.

use underfoot_core::geom::{StagePoint, segment};
use underfoot_core::props::physical;
use underfoot_core::show::PersonId;

use super::board::{Board, distance};
use super::cast::{Cast, Stand, There};
use crate::findings::{Figure, Finding, FindingId, Report, Severity, Unit, text};

/// Distance between the points of a way that are looked at, metres: no figure is off by more than half of it.
const STEP_M: f32 = 0.01;
/// Length of a way's end on which it may touch the furniture that it leads to, metres.
const LAST_STEP_M: f32 = 1.0;

/// One person's way in one cue.
struct Way {
    /// "line A-C" or "straight way A to C".
    name: String,
    points: Vec<StagePoint>,
    /// List and index of what the show file says about it.
    source: (&'static str, usize),
    person: PersonId,
}

pub(super) fn check(board: &Board<'_>, report: &mut Report) {
    let (mut drawn, mut straight) = (0, 0);
    for cast in &board.cast {
        for stand in &cast.people {
            let Some(way) = way_of(board, stand) else { continue };
            if stand.line.is_some() {
                drawn += 1
            } else {
                straight += 1
            }
            for there in &cast.props {
                past_prop(board, report, cast, &way, there);
            }
            past_furniture(board, report, cast, &way);
            if stand.line.is_some() {
                over_edge(board, report, cast, &way);
                corridor(board, report, cast, stand);
            }
        }
    }
    report.checked.push(format!("{drawn} drawn and {straight} straight ways past props at rest, furniture and edges"));
}

fn way_of(board: &Board<'_>, stand: &Stand) -> Option<Way> {
    let show = board.show();
    let mark = |id: Option<underfoot_core::show::MarkId>| id.and_then(|m| show.marks.get(m.index()));
    if let Some(line) = stand.line.and_then(|l| show.lines.get(l.index()).map(|line| (l.index(), line))) {
        let points = show.points_of(line.1).iter().map(|p| p.at).collect();
        let name = format!("line {}", line.1.name);
        return Some(Way { name, points, source: ("lines", line.0), person: stand.person });
    }
    let (from, to) = (mark(stand.from)?, mark(stand.mark)?);
    if from.at == to.at {
        return None;
    }
    let name = format!("the straight way {} to {}", from.name, to.name);
    Some(Way { name, points: vec![from.at, to.at], source: ("cue_places", stand.index), person: stand.person })
}

/// Points along a polyline, both ends among them.
fn along(points: &[StagePoint]) -> Vec<StagePoint> {
    let mut all = Vec::new();
    for pair in points.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        let steps = (a.distance(b) / STEP_M).ceil().max(1.0) as usize;
        all.extend((0..steps).map(|i| a + (b - a) * (i as f32 / steps as f32)));
    }
    all.extend(points.last());
    all
}

/// The place where `measure` is least, with its value, and whether that is short of both ends.
fn least(points: &[StagePoint], measure: impl Fn(StagePoint) -> f32) -> Option<(StagePoint, f32, bool)> {
    let all = along(points);
    let values = all.iter().map(|&p| measure(p)).enumerate();
    let (at, value) = values.min_by(|a, b| a.1.total_cmp(&b.1))?;
    Some((all[at], value, at > 0 && at + 1 < all.len()))
}

fn past_prop(board: &Board<'_>, report: &mut Report, cast: &Cast, way: &Way, there: &There) {
    let regions: Vec<_> = there.places().flat_map(|at| board.regions(there.prop, at)).collect();
    let radius_m = board.radius_m(way.person);
    let Some((place, least_m, between)) = least(&way.points, |p| distance(&regions, p)) else { return };
    let gap_m = least_m - radius_m;
    if !gap_m.is_finite() {
        return;
    }
    let name = board.prop_name(there.prop);
    let kind = if gap_m < 0.0 { FindingId::LineThroughProp } else { FindingId::LineNearProp };
    let what = format!("{} on {} to {name}", board.person_name(way.person), way.name);
    let figure = Figure::at_least(gap_m, board.hard_m(), Unit::Metres);
    let missed = report.measure(kind, Some(cast.number), what, figure);
    // What is nearest at an end is the mark's own finding.
    let Some(figure) = missed.filter(|_| between) else { return };
    let from_centre_m = there.places().map(|at| polyline_distance(&way.points, at)).fold(f32::INFINITY, f32::min);
    let clause = if gap_m < 0.0 {
        format!("{} leads through {name}, {from_centre_m:.2} m from its centre", way.name)
    } else {
        format!("{} passes too close to {name}", way.name)
    };
    let severity = if gap_m < 0.0 { Severity::Stop } else { Severity::Fix };
    let mut finding = finding(board, cast, way, (kind, severity, &name, clause), place);
    finding.figure = Some(figure);
    finding.fix = Some(bend(board, cast, way, place));
    report.add(finding);
}

fn polyline_distance(points: &[StagePoint], p: StagePoint) -> f32 {
    points.windows(2).map(|w| segment::distance(p, w[0], w[1])).fold(f32::INFINITY, f32::min)
}

/// The nearest point through which the stretch at `place` clears every prop at rest and stays on the floor.
fn bend(board: &Board<'_>, cast: &Cast, way: &Way, place: StagePoint) -> String {
    let regions: Vec<_> = cast
        .props
        .iter()
        .flat_map(|t| t.swept(board.show()).into_iter().flat_map(|at| board.regions(t.prop, at)))
        .collect();
    let near = |pair: &&[StagePoint]| segment::distance(place, pair[0], pair[1]);
    let Some(stretch) = way.points.windows(2).min_by(|a, b| near(a).total_cmp(&near(b))) else { return String::new() };
    let needed_m = board.radius_m(way.person) + board.hard_m();
    // Where an end is itself too near a prop, the mark's own finding says so: the way must only get no nearer.
    let ends_m = stretch.iter().map(|&p| distance(&regions, p)).fold(f32::INFINITY, f32::min);
    let needed_m = needed_m.min(ends_m - 0.001);
    let leg = |a: StagePoint, b: StagePoint| along(&[a, b]).into_iter().all(|p| distance(&regions, p) >= needed_m);
    let (from, to) = (stretch[0], stretch[1]);
    let one = |via: StagePoint| board.is_inner(via) && leg(from, via) && leg(via, to);
    if let Some(via) = super::near::nearest_place(place, one) {
        return format!("walk by way of {}", text::place(via.x, via.y));
    }
    two_bends(board, place, (from, to), leg).map_or_else(
        || "move the prop, or walk before it comes (no two bends clear it)".into(),
        |(one, two)| format!("walk by way of {}, then {}", text::place(one.x, one.y), text::place(two.x, two.y)),
    )
}

/// The shortest way with two bends on a coarse fan of places round `place`.
fn two_bends(
    board: &Board<'_>,
    place: StagePoint,
    (from, to): (StagePoint, StagePoint),
    leg: impl Fn(StagePoint, StagePoint) -> bool,
) -> Option<(StagePoint, StagePoint)> {
    let fan: Vec<StagePoint> = super::near::fan(place, 15, 0.1, 24).filter(|p| board.is_inner(*p)).collect();
    let firsts: Vec<StagePoint> = fan.iter().copied().filter(|&p| leg(from, p)).collect();
    let seconds: Vec<StagePoint> = fan.into_iter().filter(|&p| leg(p, to)).collect();
    let length = |(p, q): &(StagePoint, StagePoint)| from.distance(*p) + p.distance(*q) + q.distance(to);
    let mut pairs: Vec<_> = firsts.iter().flat_map(|&p| seconds.iter().map(move |&q| (p, q))).collect();
    pairs.sort_by(|a, b| length(a).total_cmp(&length(b)));
    pairs.into_iter().find(|&(p, q)| leg(p, q))
}

fn past_furniture(board: &Board<'_>, report: &mut Report, cast: &Cast, way: &Way) {
    for thing in board.show().physicals.iter().filter(|p| physical::stops_people(p.kind)) {
        let Ok(area) = physical::rectangle(thing) else { continue };
        // Whoever ends at a sofa or a table walks up to it.
        let ends_there = way.points.last().filter(|end| area.signed_distance(**end) < board.radius_m(way.person));
        let last_step = |p: StagePoint| ends_there.is_some_and(|end| p.distance(*end) <= LAST_STEP_M);
        let found = least(&way.points, |p| if last_step(p) { f32::INFINITY } else { area.signed_distance(p) });
        let Some((place, least_m, between)) = found else { continue };
        let figure = Figure::at_least((least_m - board.radius_m(way.person)).min(1e3), 0.0, Unit::Metres);
        let what = format!("{} to {}", way.name, thing.name);
        let missed = report.measure(FindingId::LineBlocked, Some(cast.number), what, figure);
        if let Some(figure) = missed.filter(|_| between) {
            let clause = format!("{} runs into {}", way.name, thing.name);
            let subject = (FindingId::LineBlocked, Severity::Stop, thing.name.as_str(), clause);
            let mut finding = finding(board, cast, way, subject, place);
            finding.figure = Some(figure);
            finding.fix = Some(format!("lead it round {}, or move {}", thing.name, thing.name));
            report.add(finding);
        }
    }
}

/// A drawn line may leave the floor, and run in its edge band, only at an entry.
fn over_edge(board: &Board<'_>, report: &mut Report, cast: &Cast, way: &Way) {
    let band_m = board.show().floor.edge_band_m;
    let at_entry = |p: StagePoint| board.show().entries.iter().any(|e| p.distance(e.at) <= e.width_m / 2.0 + band_m);
    let room = |p: StagePoint| {
        if at_entry(p) {
            return f32::INFINITY;
        }
        if board.off_floor_m(p) > STEP_M { -board.off_floor_m(p) } else { board.to_drop_m(p) }
    };
    let Some((place, least_m, _)) = least(&way.points, room) else { return };
    let figure = Figure::at_least(least_m.min(1e3), band_m, Unit::Metres);
    let what = format!("{} to the floor's edge, entries apart", way.name);
    let Some(figure) = report.measure(FindingId::LineOffFloor, Some(cast.number), what, figure) else { return };
    let (severity, clause) = if least_m < 0.0 {
        (Severity::Stop, format!("{} leaves the floor where there is no entry", way.name))
    } else {
        (Severity::Fix, format!("{} runs in the edge band", way.name))
    };
    let mut finding = finding(board, cast, way, (FindingId::LineOffFloor, severity, "floor", clause), place);
    finding.figure = Some(figure);
    finding.fix = Some("keep it inside the band, or declare an entry there".into());
    report.add(finding);
}

fn corridor(board: &Board<'_>, report: &mut Report, cast: &Cast, stand: &Stand) {
    let Some((index, line)) = stand.line.and_then(|l| board.show().lines.get(l.index()).map(|line| (l.index(), line)))
    else {
        return;
    };
    let Some(class) = board.class_of(stand.person) else { return };
    let figure = Figure::at_least(line.corridor_m, class.walk_width_m, Unit::Metres);
    let what = format!("corridor of line {} for {}", line.name, class.name);
    if let Some(figure) = report.measure(FindingId::CorridorNarrow, Some(cast.number), what, figure) {
        let what = format!("the corridor of line {} is narrower than {} needs", line.name, class.name);
        let mut finding = Finding::new(FindingId::CorridorNarrow, Severity::Fix, line.name.to_string(), what);
        finding.figure = Some(figure);
        finding.who = Some(board.person_name(stand.person));
        finding.cue = Some(cast.number);
        finding.fix = Some(format!("set corridor_m = {:.2}", class.walk_width_m));
        report.add(board.at_line(finding, "lines", index));
    }
}

fn finding(
    board: &Board<'_>,
    cast: &Cast,
    way: &Way,
    (kind, severity, about, clause): (FindingId, Severity, &str, String),
    place: StagePoint,
) -> Finding {
    let mut finding = Finding::new(kind, severity, about, clause);
    finding.who = Some(board.person_name(way.person));
    finding.cue = Some(cast.number);
    finding.place = Some(place);
    finding.things.push(way.name.clone());
    board.at_line(finding, way.source.0, way.source.1)
}
