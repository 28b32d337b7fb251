//! People whom a shot is about and cuts, and people in none of a cue's shots.

use underfoot_core::cameras::framing::{Framed, Side};

use super::book::Judged;
use super::desk::Desk;
use super::fault::{Fault, Kind};
use super::fixes;
use crate::findings::{Figure, Finding, FindingId, Report, Severity, Unit};

/// Measures one pair and reports where the frame cuts.
pub(super) fn report(desk: &Desk<'_, '_>, report: &mut Report, judged: &Judged, faults: &[Fault]) {
    let Some(framed) = judged.verdict.framed else { return };
    let cue = Some(desk.cue_number(&judged.pair));
    for (side, what) in [(Side::Top, "head"), (Side::Bottom, "lower line"), (Side::Left, "sides")] {
        let (planned, worst) = figures(&framed, side);
        let what = format!("{}: {what}", desk.pair_words(&judged.pair));
        report.measure(FindingId::CutByFrame, cue, format!("{what} as planned"), planned);
        report.measure(FindingId::CutByFrame, cue, format!("{what} with the operator's tolerance"), worst);
    }
    for fault in faults {
        if let Kind::Cut(side) = fault.kind {
            report.add(cut(desk, fault, side, &framed));
        }
    }
}

/// A side's figure at the planned pose and the worst over the tolerance, both out of the middle of the picture.
fn figures(framed: &Framed, side: Side) -> (Figure, Figure) {
    let of = |head: f32, lower: f32, wide: f32| match side {
        Side::Top => head,
        Side::Bottom => -lower,
        Side::Left | Side::Right => wide,
    };
    let (worst, limits) = (&framed.worst, &framed.limits);
    let limit = of(limits.head, limits.lower, limits.side);
    // What is behind the camera is infinitely far out.
    let figure = |value: f32| Figure::at_most(value.clamp(-100.0, 100.0), limit, Unit::HalfFrames);
    let planned = of(framed.head, framed.lower, framed.side);
    (figure(planned), figure(of(worst.head, worst.lower, worst.side)))
}

fn cut(desk: &Desk<'_, '_>, fault: &Fault, side: Side, framed: &Framed) -> Finding {
    let (planned, worst) = figures(framed, side);
    let place = match side {
        Side::Top => "at the head",
        Side::Bottom => "at the lower line",
        Side::Left => "at the left edge",
        Side::Right => "at the right edge",
    };
    let by_tolerance = if planned.holds() { ", with the operator's tolerance" } else { "" };
    let what = format!("on mark {} is cut {place}{by_tolerance}", desk.mark_name(fault.pair.mark));
    let mut finding = desk.finding(fault, desk.shot_name(fault.pair.shot), what);
    finding.figure = Some(if planned.holds() { worst } else { planned });
    if fault.severity != Severity::Note {
        finding.fix = desk.board.tried(|| fixes::words(desk, fault));
    }
    finding
}

/// Notes who stands on a mark and is in none of the cue's shots.
pub(super) fn unseen(desk: &Desk<'_, '_>, report: &mut Report) {
    let mut last = None;
    for judged in desk.judged() {
        let key = (judged.pair.cue, judged.pair.person);
        let mine = desk.judged().iter().filter(|j| (j.pair.cue, j.pair.person) == key);
        if last.replace(key) == Some(key) || mine.into_iter().any(|j| j.verdict.is_about()) {
            continue;
        }
        let mut finding = Finding::new(FindingId::NotInShot, Severity::Note, "shots", "in none of the cue's shots");
        finding.who = Some(desk.board.person_name(judged.pair.person));
        finding.cue = Some(desk.cue_number(&judged.pair));
        finding.place = Some(judged.pair.body.at);
        finding.things.push(desk.mark_name(judged.pair.mark));
        report.add(desk.board.at_line(finding, "cues", judged.pair.cue));
    }
}
