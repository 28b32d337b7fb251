//! Whether people can be on their marks in the cue's time.

use super::going::Going;
use crate::checks::Effort;
use crate::checks::board::Board;
use crate::checks::change::Change;
use crate::findings::{Figure, Finding, FindingId, Report, Severity, Unit};

/// Walks shorter than this are a step aside, metres.
const STEP_M: f32 = 0.3;

pub(super) fn check(board: &Board<'_>, report: &mut Report, going: &Going) {
    let person = going.stand.person;
    let Some(needed_mps) = going.needed_mps(board) else { return };
    let length_m = going.path().length_m();
    let (Some(limit_s), true) = (going.limit_s(board), length_m >= STEP_M) else { return };
    let (cue, who) = (Some(board.number(going.cue)), board.person_name(person));
    let most = Figure::at_most(needed_mps, board.fastest_mps(person), Unit::MetresPerSecond);
    let missed = report.measure(FindingId::WalkLate, cue, format!("pace of {who} {}", going.words), most);
    let usual = Figure::at_most(going.usual_s(board), limit_s, Unit::Seconds);
    report.measure(FindingId::WalkLate, cue, format!("time of {who} {} at the usual pace", going.words), usual);
    let own = Figure { limit: board.pace_mps(person), ..most };
    let (severity, figure, clause) = match missed {
        Some(figure) => (Severity::Stop, figure, "cannot be there in time"),
        None if !own.holds() => (Severity::Note, own, "has to walk faster than usual"),
        None => return,
    };
    let what = format!("{clause} {}, {length_m:.2} m in {limit_s:.1} s", going.words);
    let about = if going.stand.line.is_some() { going.words.clone() } else { "straight ways".into() };
    let mut finding = Finding::new(FindingId::WalkLate, severity, about, what);
    finding.figure = Some(figure);
    finding.who = Some(who);
    finding.cue = cue;
    finding.place = going.points.last().map(|p| p.at);
    finding.things.extend(going.line_name(board));
    if severity == Severity::Stop && board.effort == Effort::Fixes {
        finding.fix = time_words(board, going);
    }
    report.add(board.at_line(finding, "cue_places", going.stand.index));
}

/// The shortest time, in steps of half a second, that is enough for everybody on their way in this cue.
fn time_words(board: &Board<'_>, going: &Going) -> Option<String> {
    let from_ms = (going.limit_s(board)? * 2.0).floor() as u32 * 500;
    let enough_ms = (1..240).map(|step| from_ms + step * 500).find(|&limit_ms| in_time(board, going, limit_ms))?;
    let usual_s = going.usual_s(board);
    Some(format!("set limit_s = {:.1} (at the usual pace it takes {usual_s:.1} s)", enough_ms as f32 / 1000.0))
}

/// Tries a longer time on a copy of the show.
fn in_time(board: &Board<'_>, going: &Going, limit_ms: u32) -> bool {
    let Some(changed) = board.with(&Change::Time { cue: going.cue, limit_ms }) else { return false };
    let board = Board::new(&changed);
    let mut all = super::going::everybody(&board, going.cue).into_iter();
    all.all(|g| g.needed_mps(&board).is_none_or(|pace_mps| pace_mps <= board.fastest_mps(g.stand.person)))
}
