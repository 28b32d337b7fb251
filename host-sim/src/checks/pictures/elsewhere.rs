//! What the shots that a cue does not intend would show: measured, and the worst of each kind noted.

use super::backing;
use super::book::Judged;
use super::depth;
use super::desk::Desk;
use super::fault::{Fault, Kind};
use crate::findings::{Finding, Report, Severity};

/// Measures every pair, and notes the worst of each kind in each cue.
pub(super) fn report(desk: &Desk<'_, '_>, report: &mut Report, judged: &[Judged]) {
    let mut notes: Vec<Finding> = Vec::new();
    for one in judged.iter().filter(|j| j.verdict.is_about()) {
        depth::measure(desk, report, one);
        backing::measure(desk, report, one);
        for fault in desk.trials.book.faults(one) {
            let Some(mut note) = note(desk, one, &fault) else { continue };
            note.about = "shots that the cue does not intend".into();
            match notes.iter_mut().find(|n| (n.id, n.cue) == (note.id, note.cue)) {
                Some(kept) if missed(kept) < missed(&note) => *kept = note,
                Some(_) => {}
                None => notes.push(note),
            }
        }
    }
    notes.into_iter().for_each(|note| report.add(note));
}

fn note(desk: &Desk<'_, '_>, judged: &Judged, fault: &Fault) -> Option<Finding> {
    let fault = Fault { severity: Severity::Note, ..*fault };
    match fault.kind {
        // A shot that a cue does not intend frames whom it frames.
        Kind::Cut(_) => None,
        Kind::OffWall => judged.verdict.off_wall.map(|off| backing::finding(desk, &fault, &off, judged.verdict.head)),
        _ => depth::worst_of(judged, fault.kind).map(|worst| depth::finding(desk, &fault, &worst)),
    }
}

fn missed(note: &Finding) -> f32 {
    note.figure.map_or(0.0, |f| f.miss())
}
