//! Ways past what stands still: props, furniture, the floor's edge.

use underfoot_core::geom::{Region, Rounded};
use underfoot_core::props::ground::band_m;
use underfoot_core::props::{Limit, physical};
use underfoot_core::show::{Edge, LineId, PropId};

use super::bends;
use super::beside::{self, Nearest};
use super::going::Going;
use super::meets::Met;
use crate::checks::board::Board;
use crate::checks::cast::There;
use crate::findings::{Figure, Finding, FindingId, Report, Severity, Unit};

/// Length of a way's end on which it may touch the furniture that it leads to, metres.
const LAST_STEP_M: f32 = 1.0;
/// What is nearest within this of an end is the mark's own finding, metres.
const END_M: f32 = 0.02;
/// Less than this is missing by rounding only, metres.
const ROUNDING_M: f32 = 0.001;
/// Least clear width for a wheelchair, metres: 36 inches in the 2010 ADA Standards, 403.5.1 (from memory).
const CHAIR_WIDTH_M: f32 = 0.915;

pub(super) fn check(board: &Board<'_>, report: &mut Report, going: &Going, met: &Met) {
    let Some(cast) = board.cast.get(going.cue) else { return };
    let mut near = Vec::new();
    for there in cast.props.iter().filter(|t| !met.contains(&(going.cue, going.stand.person, t.prop))) {
        near.extend(past_prop(board, report, going, there));
    }
    past_furniture(board, report, going);
    if going.stand.line.is_some() {
        over_edge(board, report, going);
        pinched(board, report, going, &near);
        corridor(board, report, going);
    }
}

/// Lines that no cue uses, past the props of every cue, each prop once.
pub(super) fn check_unused(board: &Board<'_>, report: &mut Report) {
    let show = board.show();
    let lines = (0..show.lines.len()).map(|i| LineId(i as u8));
    for line in lines.filter(|&line| !show.cue_places.iter().any(|place| place.line == Some(line))) {
        let mut seen: Vec<PropId> = Vec::new();
        for (cue, cast) in board.cast.iter().enumerate() {
            let Some(going) = Going::unused(board, cue, line).filter(Going::walks) else { continue };
            for there in &cast.props {
                if !seen.contains(&there.prop) && past_prop(board, report, &going, there).is_some() {
                    seen.push(there.prop);
                }
            }
        }
    }
}

/// Where a way comes nearest to a prop.
struct Near {
    prop: PropId,
    nearest: Nearest,
    is_reported: bool,
}

fn past_prop(board: &Board<'_>, report: &mut Report, going: &Going, there: &There) -> Option<Near> {
    let rests_at = there.rests_at()?;
    let regions = board.regions(there.prop, rests_at);
    let nearest = beside::nearest(&going.points, &regions)?;
    let gap_m = nearest.distance_m - board.radius_m(going.stand.person);
    let name = board.prop_name(there.prop);
    let kind = if gap_m < 0.0 { FindingId::LineThroughProp } else { FindingId::LineNearProp };
    let what = format!("{} {} to {name}", board.person_name(going.stand.person), going.words);
    let figure = Figure::at_least(gap_m, board.hard_m(), Unit::Metres);
    let missed = report.measure(kind, Some(board.number(going.cue)), what, figure);
    // What is nearest at an end is the mark's own finding.
    let Some(figure) = missed.filter(|_| is_between(going, &nearest)) else {
        return Some(Near { prop: there.prop, nearest, is_reported: missed.is_some() });
    };
    let clause = if gap_m < 0.0 {
        let from_centre_m = going.path().nearest(rests_at).map_or(0.0, |(_, m)| m);
        format!("{} leads through {name}, {from_centre_m:.2} m from its centre", going.way_name())
    } else {
        format!("{} passes too close to {name}", going.way_name())
    };
    let severity = if gap_m < 0.0 { Severity::Stop } else { Severity::Fix };
    let mut finding = going.finding(board, (kind, severity, name, clause), nearest.at);
    finding.figure = Some(figure);
    finding.fix = board.tried(|| bends::words(board, going));
    report.add(finding);
    Some(Near { prop: there.prop, nearest, is_reported: true })
}

fn is_between(going: &Going, nearest: &Nearest) -> bool {
    nearest.s_m > END_M && nearest.s_m < going.path().length_m() - END_M
}

fn past_furniture(board: &Board<'_>, report: &mut Report, going: &Going) {
    let radius_m = board.radius_m(going.stand.person);
    for thing in board.show().physicals.iter().filter(|p| physical::stops_people(p.kind)) {
        let Ok(area) = physical::rectangle(thing) else { continue };
        // Whoever ends at a sofa or a table walks up to it.
        let ends_there = going.points.last().is_some_and(|end| area.signed_distance(end.at) < radius_m);
        let points = beside::without_end(&going.points, if ends_there { LAST_STEP_M } else { 0.0 });
        let Ok(area) = Rounded::new(area, 0.0).map(Region::Rounded) else { continue };
        let Some(nearest) = beside::nearest(&points, &[area]) else { continue };
        let figure = Figure::at_least(nearest.distance_m - radius_m, 0.0, Unit::Metres);
        let what = format!("{} to {}", going.way_name(), thing.name);
        let missed = report.measure(FindingId::LineBlocked, Some(board.number(going.cue)), what, figure);
        if let Some(figure) = missed.filter(|_| is_between(going, &nearest)) {
            let clause = format!("{} runs into {}", going.way_name(), thing.name);
            let subject = (FindingId::LineBlocked, Severity::Stop, thing.name.to_string(), clause);
            let mut finding = going.finding(board, subject, nearest.at);
            finding.figure = Some(figure);
            finding.fix = board.tried(|| bends::words(board, going));
            report.add(finding);
        }
    }
}

/// A drawn line may leave the floor, and run in its bands, only at an entry.
fn over_edge(board: &Board<'_>, report: &mut Report, going: &Going) {
    let (floor, entries) = (&board.show().floor, &board.show().entries);
    let Some(found) = beside::on_floor(&going.points, floor, entries) else { return };
    let margin_m = found.standing.margin_m;
    let edge = match found.standing.limit {
        Limit::Edge(side) => floor.edges.get(usize::from(side)).copied(),
        _ => None,
    };
    let needed_m = edge.map_or(0.0, |edge| band_m(floor, edge));
    let figure = Figure::at_least(needed_m + margin_m, needed_m, Unit::Metres);
    let what = format!("{} to the floor's edge, entries apart", going.way_name());
    // Touching is allowed; what is less than a millimetre is rounding.
    let missed = report.measure(FindingId::LineOffFloor, Some(board.number(going.cue)), what, figure);
    let Some(figure) = missed.filter(|f| f.miss() > ROUNDING_M) else { return };
    let (severity, clause) = match edge {
        Some(Edge::Wall) => (Severity::Fix, format!("{} runs too close to a wall", going.way_name())),
        Some(_) => (Severity::Fix, format!("{} runs in the edge band", going.way_name())),
        None => (Severity::Stop, format!("{} leaves the floor where there is no entry", going.way_name())),
    };
    let mut finding = going.finding(board, (FindingId::LineOffFloor, severity, "floor".into(), clause), found.at);
    finding.figure = Some(figure);
    finding.fix = Some("keep it inside the band, or declare an entry there".into());
    report.add(finding);
}

/// The free width along a line: twice the least distance to what stands beside it.
fn pinched(board: &Board<'_>, report: &mut Report, going: &Going, near: &[Near]) {
    let Some(line) = going.stand.line.and_then(|l| board.show().lines.get(l.index())) else { return };
    let beside = near.iter().filter(|n| is_between(going, &n.nearest));
    let Some(near) = beside.min_by(|a, b| a.nearest.distance_m.total_cmp(&b.nearest.distance_m)) else { return };
    let figure = Figure::at_least(2.0 * (near.nearest.distance_m - board.allowance_m()), line.corridor_m, Unit::Metres);
    let name = board.prop_name(near.prop);
    let what = format!("free width {} beside {name}", going.words);
    let missed = report.measure(FindingId::LinePinched, Some(board.number(going.cue)), what, figure);
    // What is too near for a body has been said.
    let Some(figure) = missed.filter(|f| f.miss() > ROUNDING_M && !near.is_reported) else { return };
    let is_chair = board.class_of(going.stand.person).is_some_and(|c| c.chair_m.is_some());
    let severity = if is_chair && figure.value < CHAIR_WIDTH_M { Severity::Fix } else { Severity::Note };
    let clause = format!("{} has less free width beside {name} than its corridor", going.way_name());
    let mut finding = going.finding(board, (FindingId::LinePinched, severity, name, clause), near.nearest.at);
    finding.figure = Some(figure);
    report.add(finding);
}

fn corridor(board: &Board<'_>, report: &mut Report, going: &Going) {
    let line = going.stand.line.and_then(|l| board.show().lines.get(l.index()).map(|line| (l.index(), line)));
    let (Some((index, line)), Some(class)) = (line, board.class_of(going.stand.person)) else { return };
    let figure = Figure::at_least(line.corridor_m, class.walk_width_m, Unit::Metres);
    let what = format!("corridor of line {} for {}", line.name, class.name);
    let Some(figure) = report.measure(FindingId::CorridorNarrow, Some(board.number(going.cue)), what, figure) else {
        return;
    };
    let what = format!("the corridor of line {} is narrower than {} needs", line.name, class.name);
    let mut finding = Finding::new(FindingId::CorridorNarrow, Severity::Fix, line.name.to_string(), what);
    finding.figure = Some(figure);
    finding.who = Some(board.person_name(going.stand.person));
    finding.cue = Some(board.number(going.cue));
    finding.fix = Some(format!("set corridor_m = {:.2}", class.walk_width_m));
    report.add(board.at_line(finding, "lines", index));
}
