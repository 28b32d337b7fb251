//! Marks whose pictures work nowhere on the floor.

use underfoot_core::cameras::framing::framing;
use underfoot_core::cameras::{Framing, Side, Solid, View};
use underfoot_core::geom::StagePoint;
use underfoot_core::limits;
use underfoot_core::props::{Ground, Level, Limit, Reach, keepout};
use underfoot_core::show::{MarkId, ShotId};
use underfoot_core::zones::{self, Bound, Judge, Outline, Zone, ZoneError, ZoneStore};

use super::super::Effort;
use super::super::watch::Watch;
use super::book::Judged;
use super::desk::Desk;
use super::fault::cut_fault;
use super::pair::Pair;
use super::places;
use crate::findings::{Finding, FindingId, Report, Severity};

/// Keep-outs of one cue.
const KEEPOUTS: usize = limits::PARTS + limits::PHYSICALS;
/// Distance between the places that are tried before a zone is traced, metres.
const COARSE_M: f32 = 0.25;

/// Looks for zones of marks that have a fault and no better place near.
pub(super) fn report(desk: &Desk<'_, '_>, report: &mut Report, watch: Watch<'_>) {
    let phase = watch.phase(3, desk.trials.before.len());
    let mut looked: Vec<(usize, MarkId)> = Vec::new();
    let mut traced = 0;
    for fault in &desk.trials.before {
        phase.step();
        let key = (fault.pair.cue, fault.pair.mark);
        if looked.contains(&key) || desk.trials.places.of(fault.pair.mark, None).is_some() {
            continue;
        }
        looked.push(key);
        traced += 1;
        let found = match fighting(desk, &fault.pair) {
            Some(Ok(fighting)) if !fighting.is_empty() => empty(desk, &fault.pair, &fighting),
            Some(Err(error)) => untraced(desk, &fault.pair, error),
            _ => continue,
        };
        // Without fixes nobody has looked for a better place yet.
        if desk.board.effort == Effort::Fixes || !places::has_better(desk, fault.pair.mark) {
            report.add(found);
        }
    }
    if traced > 0 {
        report.checked.push(format!("{traced} in-shot zones of marks with a fault"));
    }
}

/// What leaves no zone for the mark of a pair in its cue; nothing when there is one.
fn fighting(desk: &Desk<'_, '_>, pair: &Pair) -> Option<Result<Vec<Bound>, ZoneError>> {
    judging(desk, pair, |judge| {
        if holds_anywhere(judge) {
            return Ok(Vec::new());
        }
        let mut outline = Box::new(Outline::<{ limits::ZONE_POINTS }>::new());
        match zones::trace(judge, pair.body.at, &mut Box::new(ZoneStore::new()), &mut outline)? {
            Zone::Empty { fighting, .. } => Ok(fighting.to_vec()),
            Zone::Piece(_) => Ok(Vec::new()),
        }
    })
}

/// Asks the judge of all that has to work for the person of a pair in its cue.
pub(super) fn judging<T>(desk: &Desk<'_, '_>, pair: &Pair, ask: impl FnOnce(&Judge<'_>) -> T) -> Option<T> {
    let (show, book) = (desk.board.show(), desk.trials.book);
    let cue = show.cues.get(pair.cue)?;
    let class = desk.board.class_of(pair.person)?;
    let reach = Reach::of(show, class, Level::Hard);
    let keepouts = keepout::of_cue::<KEEPOUTS>(show, cue, &reach).ok()?;
    let ground = Ground::new(&show.floor, &show.entries, &keepouts).ok()?;
    let views: Vec<View> =
        desk.judged().iter().filter(|j| is_same(&j.pair, pair)).flat_map(|j| views(desk, j)).collect();
    let moments = book.album.moments_from(pair.cue, pair.from_s);
    let moments: Vec<&[Solid]> = moments.iter().map(|m| m.planned.as_slice()).collect();
    let surfaces = &book.album.surfaces;
    let judge = Judge { show, class, ground: &ground, views: &views, moments: &moments, surfaces };
    Some(ask(&judge))
}

pub(super) fn is_same(one: &Pair, two: &Pair) -> bool {
    (one.cue, one.person) == (two.cue, two.person)
}

/// The views that have to work: those about the person, but not those that cut them in passing, which is no fault.
fn views(desk: &Desk<'_, '_>, judged: &Judged) -> Vec<View> {
    let fault = cut_fault(desk.board.show(), &judged.pair, &judged.verdict);
    let in_passing = fault.is_some_and(|f| f.severity == Severity::Note);
    let all = zones::about(desk.trials.book.album.views(judged.pair.shot), &judged.pair.body);
    all.filter(|v| !in_passing || framing(v, &judged.pair.body).state == Framing::Framed).cloned().collect()
}

/// True when one of the places of a coarse grid is in the zone.
fn holds_anywhere(judge: &Judge<'_>) -> bool {
    let floor = &judge.show.floor.vertices;
    let span = |of: fn(&StagePoint) -> f32| {
        let (low, high) = floor.iter().map(of).fold((f32::MAX, f32::MIN), |(l, h), v| (l.min(v), h.max(v)));
        let steps = ((high - low) / COARSE_M) as u16;
        (0..=steps).map(move |i| low + COARSE_M * f32::from(i)).collect::<Vec<f32>>()
    };
    let (across, up) = (span(|p| p.x), span(|p| p.y));
    across.iter().any(|&x| up.iter().any(|&y| judge.holds(StagePoint::new(x, y)).is_ok()))
}

/// A zone that takes more room than there is: whether it is empty is then not known.
fn untraced(desk: &Desk<'_, '_>, pair: &Pair, error: ZoneError) -> Finding {
    let mark = desk.mark_name(pair.mark);
    let what = format!("the in-shot zone of mark {mark} could not be traced ({error:?}): it was not looked at");
    finding(desk, pair, Severity::Note, what)
}

fn empty(desk: &Desk<'_, '_>, pair: &Pair, fighting: &[Bound]) -> Finding {
    let mut words: Vec<String> = Vec::new();
    for (i, bound) in fighting.iter().enumerate() {
        // Two edges of one picture are one thing to say.
        let told = fighting.iter().take(i).any(|b| matches!(bound, Bound::Frame { .. }) && is_edge_of(b, bound.shot()));
        if !told {
            words.push(bound_words(desk, bound, fighting));
        }
    }
    let mark = desk.mark_name(pair.mark);
    let what = format!("nowhere on the floor do all of the cue's shots of mark {mark} work: {}", words.join("; "));
    let mut finding = finding(desk, pair, Severity::Stop, what);
    finding.fix = Some("change one of these; no move of the mark alone helps".into());
    finding
}

fn finding(desk: &Desk<'_, '_>, pair: &Pair, severity: Severity, what: String) -> Finding {
    let mut finding = Finding::new(FindingId::ZoneEmpty, severity, "in-shot zones", what);
    finding.who = Some(desk.board.person_name(pair.person));
    finding.cue = Some(desk.cue_number(pair));
    finding.place = Some(pair.body.at);
    finding.things.push(desk.mark_name(pair.mark));
    desk.board.at_line(finding, "marks", pair.mark.index())
}

fn is_edge_of(bound: &Bound, of: Option<ShotId>) -> bool {
    matches!(bound, Bound::Frame { .. }) && bound.shot() == of
}

/// The edges of a picture among the bounds: "top and bottom edges".
fn edges(fighting: &[Bound], of: ShotId) -> String {
    let sides = fighting.iter().filter_map(|b| match *b {
        Bound::Frame { shot, side } if shot == of => Some(side_words(side)),
        _ => None,
    });
    let sides: Vec<&str> = sides.collect();
    format!("{} {}", sides.join(" and "), if sides.len() > 1 { "edges" } else { "edge" })
}

pub(super) fn bound_words(desk: &Desk<'_, '_>, bound: &Bound, fighting: &[Bound]) -> String {
    let shot = bound.shot().map(|s| desk.shot_name(s)).unwrap_or_default();
    match *bound {
        Bound::Limit(Limit::Part { prop, .. }) => format!("{} stands there", desk.board.prop_name(prop)),
        Bound::Limit(_) => "the floor ends".into(),
        Bound::Frame { shot: of, .. } => format!("{shot} ends at its {}", edges(fighting, of)),
        Bound::Painted { prop, part, .. } => format!("{} paints over in {shot}", desk.part_words((prop, part))),
        Bound::Hidden { prop, part, .. } => format!("{} hides in {shot}", desk.part_words((prop, part))),
        Bound::InFront { prop, part, .. } => format!("{} is nearer in {shot}", desk.part_words((prop, part))),
        Bound::OffWall { side, .. } => format!("the LED wall ends at the {} in {shot}", side_words(side)),
    }
}

const fn side_words(side: Side) -> &'static str {
    match side {
        Side::Left => "left",
        Side::Right => "right",
        Side::Top => "top",
        Side::Bottom => "bottom",
    }
}
