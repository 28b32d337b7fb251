//! Marks that work, but leave a person less room than a zone wants round everybody.

use underfoot_core::zones::Bound;

use super::super::watch::Watch;
use super::book::counts;
use super::desk::Desk;
use super::pair::Pair;
use super::zone::{bound_words, is_same};
use crate::findings::{Figure, Finding, FindingId, Report, Severity, Unit};

/// Measures the room to spare round every mark whose pictures work, and notes where there is too little.
pub(super) fn report(desk: &Desk<'_, '_>, report: &mut Report, watch: Watch<'_>) {
    let phase = watch.phase(4, desk.judged().len());
    let mut looked: Vec<&Pair> = Vec::new();
    for one in desk.judged() {
        phase.step();
        let pair = &one.pair;
        if !one.verdict.is_about() || looked.iter().any(|seen| is_same(seen, pair)) || is_at_fault(desk, pair) {
            continue;
        }
        looked.push(pair);
        if let Some(Ok((spare_m, bound))) = desk.looks().judging(pair, |judge| judge.spare(pair.body.at)) {
            note(desk, report, pair, (spare_m, bound));
        }
    }
}

/// True when something is wrong with the person of a pair in any picture of its cue.
fn is_at_fault(desk: &Desk<'_, '_>, pair: &Pair) -> bool {
    let same = desk.judged().iter().filter(|j| is_same(&j.pair, pair));
    same.flat_map(|j| desk.trials.book.faults(j)).any(|fault| counts(&fault))
}

fn note(desk: &Desk<'_, '_>, report: &mut Report, pair: &Pair, (spare_m, bound): (f32, Option<Bound>)) {
    let mark = desk.mark_name(pair.mark);
    let who = desk.board.person_name(pair.person);
    let shrink_m = underfoot_core::zones::SHRINK_M + desk.board.allowance_m();
    let figure = Figure::at_least(spare_m, shrink_m, Unit::Metres);
    let what = format!("{who} on mark {mark}: room to spare round the mark");
    let missed = report.measure(FindingId::MarkTight, Some(desk.cue_number(pair)), what, figure);
    let (Some(figure), Some(bound)) = (missed, bound) else { return };
    let what = format!("mark {mark} has little room to spare in its pictures, {}", bound_words(desk, &bound, &[bound]));
    let mut finding = Finding::new(FindingId::MarkTight, Severity::Note, "in-shot zones", what);
    finding.figure = Some(figure);
    finding.who = Some(who);
    finding.cue = Some(desk.cue_number(pair));
    finding.place = Some(pair.body.at);
    finding.things.push(mark);
    report.add(desk.board.at_line(finding, "marks", pair.mark.index()));
}
