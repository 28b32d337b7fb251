//! Overlays and screen parts on the wrong side of people, and what is hidden.

use underfoot_core::cameras::sight::{self, Share, TORSO_LIMIT};

use super::book::Judged;
use super::desk::{Desk, bands, percent};
use super::fault::{Fault, Kind};
use super::fixes;
use super::verdict::Worst;
use crate::findings::{Figure, Finding, FindingId, Report, Severity, Unit};

/// Measures one pair and reports what is wrong with it.
pub(super) fn report(desk: &Desk<'_, '_>, report: &mut Report, judged: &Judged, faults: &[Fault]) {
    measure(desk, report, judged);
    for fault in faults {
        if let Some(worst) = worst_of(judged, fault.kind) {
            report.add(finding(desk, fault, &worst));
        }
    }
    if let Some(worst) = judged.verdict.followed.filter(|w| is_unseen(&w.share)) {
        report.add(followed(desk, judged, &worst));
    }
}

/// The worst moment of one kind.
pub(super) fn worst_of(judged: &Judged, kind: Kind) -> Option<Worst> {
    match kind {
        Kind::Painted(part) => judged.verdict.painters.iter().find(|w| w.part == part).copied(),
        Kind::Hidden(_) => judged.verdict.hidden,
        Kind::InFront(_) => judged.verdict.in_front,
        Kind::Cut(_) | Kind::OffWall => None,
    }
}

/// Measures one pair.
pub(super) fn measure(desk: &Desk<'_, '_>, report: &mut Report, judged: &Judged) {
    let (pair, verdict) = (&judged.pair, &judged.verdict);
    let cue = Some(desk.cue_number(pair));
    let words = desk.pair_words(pair);
    let share = |worst: &Option<Worst>| worst.map_or(Share::default(), |w| w.share);
    let mut one = |id, what: &str, value: f32, limit: f32| {
        let figure = Figure::at_most(percent(value), limit, Unit::Percent);
        report.measure(id, cue, format!("{words}: {what}"), figure);
    };
    let (painted, hidden, front) = (share(&verdict.painted), share(&verdict.hidden), share(&verdict.in_front));
    one(FindingId::PaintedOver, "painted over", painted.whole, percent(sight::BODY_LIMIT));
    one(FindingId::PaintedOver, "head painted over", painted.head, 0.0);
    one(FindingId::HiddenInShot, "head hidden", hidden.head, 0.0);
    one(FindingId::HiddenInShot, "torso hidden", hidden.torso, percent(TORSO_LIMIT));
    one(FindingId::HiddenInShot, "hidden, legs and all", hidden.whole, 100.0);
    one(FindingId::ShowsInFront, "shown in front", front.whole, percent(sight::BODY_LIMIT));
    one(FindingId::ShowsInFront, "head shown in front", front.head, 0.0);
    if let Some(behind) = behind(desk, judged) {
        one(FindingId::PaintedOver, "the same part behind, what nearer parts hide included", behind, 100.0);
    }
}

/// How much of the person the part that paints over them covers from behind, hidden or not.
fn behind(desk: &Desk<'_, '_>, judged: &Judged) -> Option<f32> {
    let worst = judged.verdict.painted?;
    let moments = desk.trials.book.album.moments_from(judged.pair.cue, worst.at_s);
    let solids = moments.first()?.planned.iter().filter(|s| (s.prop, s.part) == worst.part);
    let shares = solids.map(|s| sight::part_shares(worst.centre, &judged.pair.body, s).1.whole);
    shares.max_by(f32::total_cmp)
}

/// The finding about one fault.
pub(super) fn finding(desk: &Desk<'_, '_>, fault: &Fault, worst: &Worst) -> Finding {
    let (mark, part) = (desk.mark_name(fault.pair.mark), desk.part_words(worst.part));
    let (share, bands) = (&worst.share, bands(&worst.share));
    let what = match fault.kind {
        Kind::Painted(_) => format!("on mark {mark} is painted over by {part} ({bands})"),
        Kind::InFront(_) => format!("on mark {mark} shows in front of {part}, which is nearer ({bands})"),
        _ => format!("on mark {mark} is hidden to {:.0} % by {part} ({bands})", percent(share.whole)),
    };
    let figure = match fault.kind {
        Kind::Hidden(_) if share.head > 0.0 => Some((share.head, 0.0)),
        Kind::Hidden(_) if share.torso > TORSO_LIMIT => Some((share.torso, percent(TORSO_LIMIT))),
        Kind::Hidden(_) => None,
        _ if share.whole > sight::BODY_LIMIT => Some((share.whole, percent(sight::BODY_LIMIT))),
        _ => Some((share.head, 0.0)),
    };
    let mut finding = desk.finding(fault, desk.board.prop_name(worst.part.0), what);
    finding.figure = figure.map(|(value, limit)| Figure::at_most(percent(value), limit, Unit::Percent));
    finding.moment_s = desk.moment_s(&fault.pair, worst.part.0, worst.at_s);
    finding.things.push(part);
    if fault.severity != Severity::Note {
        finding.fix = desk.board.tried(|| fixes::words(desk, fault));
    }
    finding
}

fn is_unseen(share: &Share) -> bool {
    share.head > 0.0 || share.torso > TORSO_LIMIT
}

/// Where a prop that follows presence will be is not known, so that it gives a note at most.
fn followed(desk: &Desk<'_, '_>, judged: &Judged, worst: &Worst) -> Finding {
    let fault = Fault { pair: judged.pair, kind: Kind::Hidden(worst.part), severity: Severity::Note };
    let (mark, part) = (desk.mark_name(judged.pair.mark), desk.part_words(worst.part));
    let what = format!(
        "on mark {mark} is hidden by {part} where that rests before it follows presence ({})",
        bands(&worst.share)
    );
    let head = Figure::at_most(percent(worst.share.head), 0.0, Unit::Percent);
    let mut finding = desk.finding(&fault, "what follows presence".into(), what);
    finding.figure = Some(head).filter(|figure| !figure.holds());
    finding.things.push(part);
    finding
}
