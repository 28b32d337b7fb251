//! People whose outline leaves the LED surfaces where the set is drawn on beyond them.

use underfoot_core::cameras::framing::Side;
use underfoot_core::cameras::{OffWall, Passing};

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
    let (end, other) =
        if place.distance(wall.from) < place.distance(wall.to) { (wall.from, wall.to) } else { (wall.to, wall.from) };
    let out = end - other;
    match (out.x.abs() > out.y.abs(), out.x < 0.0, out.y < 0.0) {
        (true, true, _) => "SR",
        (true, false, _) => "SL",
        (false, _, true) => "DS",
        (false, _, false) => "US",
    }
}

/// The finding about one fault.
pub(super) fn finding(desk: &Desk<'_, '_>, fault: &Fault, off: &OffWall, head: Option<Passing>) -> Finding {
    let mark = desk.mark_name(fault.pair.mark);
    let (what, figure) = match off.passing {
        None => (format!("on mark {mark} backs past every LED surface"), None),
        Some(passing) if off.side == Side::Top => {
            // The head's own figure, where it is the head that sticks out.
            let top = head.filter(|h| h.wall == passing.wall && h.above_m > 0.0).unwrap_or(passing);
            let what = format!("on mark {mark} backs above the top of wall {}", wall_name(desk, &top));
            (what, Some(Figure::at_most(top.place.z, top.top_m, Unit::Metres)))
        }
        Some(passing) => {
            // The middle of the person, where that is past the end, too.
            let middle = head.filter(|h| h.wall == passing.wall && h.past_m > 0.0).unwrap_or(passing);
            let what = format!(
                "on mark {mark} backs past the {} end of wall {}",
                end(desk, &middle),
                wall_name(desk, &middle)
            );
            (what, Some(Figure::at_most(middle.past_m, 0.0, Unit::Metres)))
        }
    };
    let mut finding = desk.finding(fault, desk.shot_name(fault.pair.shot), what);
    finding.figure = figure;
    if fault.severity != Severity::Note {
        finding.fix = Some(fixes::words(desk, fault));
    }
    finding
}
