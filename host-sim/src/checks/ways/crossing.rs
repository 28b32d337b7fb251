//! People who pass each other on their way.

use underfoot_core::walk::{Apart, least_apart};

use super::going::Going;
use super::round;
use crate::checks::board::Board;
use crate::findings::{Figure, Finding, FindingId, Report, Severity, Unit, text};

/// Longest wait that is tried, seconds, and the step in which waits grow.
const WAITS: (u8, f32) = (24, 0.5);
/// What is nearest at an end of the way is the marks' own matter: on the way it is nearer by this at least, metres.
const NEARER_M: f32 = 0.001;

/// Two people who pass.
struct Pass<'g> {
    one: &'g Going,
    two: &'g Going,
    apart: Apart,
}

pub(super) fn check(board: &Board<'_>, report: &mut Report, all: &[Going]) {
    let least_m = board.project.limits.apart_m;
    let mut passes = Vec::new();
    for (i, one) in all.iter().enumerate() {
        for two in all.iter().skip(i + 1).filter(|two| one.walks() || two.walks()) {
            let Some(pass) = pass(board, one, two) else { continue };
            let figure = Figure::at_least(pass.apart.distance_m, least_m, Unit::Metres);
            let what = format!("{} past each other", names(board, &pass));
            if report.measure(FindingId::FormationCrossing, Some(board.number(one.cue)), what, figure).is_some() {
                passes.push(pass);
            }
        }
    }
    passes.sort_by(|a, b| a.apart.distance_m.total_cmp(&b.apart.distance_m));
    // A change is as bad as its worst pair.
    let touch = passes.iter().any(|p| p.apart.distance_m < board.bodies_m(p.one.stand.person, p.two.stand.person));
    let severity = if touch { Severity::Stop } else { Severity::Fix };
    for (i, pass) in passes.iter().enumerate() {
        let fix = (i == 0).then(|| board.tried(|| fix_words(board, all, pass))).flatten();
        report.add(finding(board, pass, severity, fix));
    }
}

fn finding(board: &Board<'_>, pass: &Pass<'_>, severity: Severity, fix: Option<String>) -> Finding {
    let what = "pass too close to each other on their way, centre to centre";
    let mut finding = Finding::new(FindingId::FormationCrossing, severity, "people", what);
    finding.figure = Some(Figure::at_least(pass.apart.distance_m, board.project.limits.apart_m, Unit::Metres));
    finding.who = Some(names(board, pass));
    finding.cue = Some(board.number(pass.one.cue));
    finding.moment_s = Some(pass.apart.at_s);
    finding.place = Some(pass.apart.a_at);
    finding.things.extend([pass.one, pass.two].map(|g| board.person_name(g.stand.person)));
    finding.things.extend([pass.one, pass.two].into_iter().filter_map(|g| g.line_name(board)));
    finding.fix = fix;
    board.at_line(finding, "cue_places", pass.one.stand.index)
}

fn names(board: &Board<'_>, pass: &Pass<'_>) -> String {
    format!("{} and {}", board.person_name(pass.one.stand.person), board.person_name(pass.two.stand.person))
}

/// How near two people come to each other, if they do on their way and not where they start or end.
fn pass<'g>(board: &Board<'_>, one: &'g Going, two: &'g Going) -> Option<Pass<'g>> {
    let (a, b) = (one.walker(board), two.walker(board));
    let end_s = one.ends_s(board).max(two.ends_s(board));
    let apart = least_apart(&a, &b, (0.0, end_s));
    let at_s = |t| a.place_at(t).distance(b.place_at(t));
    (apart.distance_m < at_s(0.0).min(at_s(end_s)) - NEARER_M).then_some(Pass { one, two, apart })
}

/// How near two people come to each other where they pass, but no more than there has to be, metres.
pub(super) fn passing_m(board: &Board<'_>, one: &Going, two: &Going) -> f32 {
    let enough_m = board.project.limits.apart_m;
    pass(board, one, two).map_or(enough_m, |p| p.apart.distance_m.min(enough_m))
}

/// The shortest wait, or else the nearest way round, with which one of the two passes the other with room, keeps clear
/// of everything, and comes no nearer to anybody else than enough, or than before.
fn fix_words(board: &Board<'_>, all: &[Going], pass: &Pass<'_>) -> String {
    let walkers = [(pass.two, pass.one, pass.apart.b_at), (pass.one, pass.two, pass.apart.a_at)];
    let walkers = || walkers.into_iter().filter(|(going, ..)| going.walks());
    let (steps, step_s) = WAITS;
    for wait_s in (1..=steps).map(|i| f32::from(i) * step_s) {
        for (who, whom, _) in walkers() {
            let waits = Going { start_s: who.start_s + wait_s, ..who.clone() };
            if round::is_clear(board, all, (who, &waits), whom) {
                return format!("let {} start {wait_s:.1} s later", board.person_name(who.stand.person));
            }
        }
    }
    for (who, whom, at) in walkers() {
        if let Some(via) = round::via(board, all, (who, whom), at) {
            return format!("lead {} by way of {}", who.way_name(), text::place(via.x, via.y));
        }
    }
    let longest_s = f32::from(steps) * step_s;
    format!("none found: tried waits of up to {longest_s:.0} s and one more point on the way; send fewer at a time")
}
