//! Marks whose pictures work nowhere on the floor.

use underfoot_core::cameras::framing::framing;
use underfoot_core::cameras::{Framing, Side, Solid, View};
use underfoot_core::geom::StagePoint;
use underfoot_core::limits;
use underfoot_core::props::{Ground, Level, Limit, Reach, keepout};
use underfoot_core::show::ShotId;
use underfoot_core::zones::{self, Bound, Judge, Outline, Zone, ZoneError, ZoneStore};

use super::super::Effort;
use super::super::alternate::alternately;
use super::super::board::Board;
use super::super::watch::{Phase, Watch};
use super::book::{Book, Judged};
use super::desk::Desk;
use super::fault::{Fault, cut_fault};
use super::pair::Pair;
use super::places;
use crate::findings::{Finding, FindingId, Report, Severity};

/// Keep-outs of one cue.
const KEEPOUTS: usize = limits::PARTS + limits::PHYSICALS;
/// Distance between the places that are tried before a zone is traced, metres.
const COARSE_M: f32 = 0.25;
/// Most places that were good for others and are tried first.
const KNOWN: usize = 8;

/// Looks for zones of marks that have a fault and no better place near.
pub(super) fn report(desk: &Desk<'_, '_>, report: &mut Report, watch: Watch<'_>) {
    let mut wanted: Vec<&Fault> = Vec::new();
    for fault in &desk.trials.before {
        let is_known = |known: &&Fault| (known.pair.cue, known.pair.mark) == (fault.pair.cue, fault.pair.mark);
        if desk.trials.places.of(fault.pair.mark, None).is_none() && !wanted.iter().any(is_known) {
            wanted.push(fault);
        }
    }
    let phase = watch.phase(3, wanted.len());
    let found = search(&desk.looks(), &wanted, &phase);
    for (fault, found) in wanted.iter().zip(found) {
        match found {
            Some(Ok(fighting)) => report.add(empty(desk, &fault.pair, &fighting)),
            Some(Err(error)) => report.add(untraced(desk, &fault.pair, error)),
            None => {}
        }
    }
    if !wanted.is_empty() {
        report.checked.push(format!("{} in-shot zones of marks with a fault", wanted.len()));
    }
}

/// What leaves no zone, or why that is not known; nothing where there is one.
type Fighting = Option<Result<Vec<Bound>, ZoneError>>;

/// Searches for each fault, on two threads.
fn search(looks: &Looks<'_, '_>, wanted: &[&Fault], phase: &Phase<'_>) -> Vec<Fighting> {
    alternately(wanted.len(), |mine| {
        let mut known = Vec::new();
        let mine = mine.filter_map(|i| wanted.get(i));
        mine.map(|fault| {
            let found = fighting(looks, &fault.pair, &mut known);
            phase.step();
            // Without fixes nobody has looked for a better place yet.
            let is_new = looks.board.effort == Effort::Figures;
            found.filter(|_| !is_new || !places::has_better(looks, fault.pair.mark))
        })
        .collect()
    })
}

/// What leaves no zone for the mark of a pair in its cue; nothing when there is one. `known` are places that were
/// good for others: they are tried first.
fn fighting(looks: &Looks<'_, '_>, pair: &Pair, known: &mut Vec<StagePoint>) -> Fighting {
    let found = looks.judging(pair, |judge| {
        let likely = known.iter().rev().take(KNOWN).copied().collect::<Vec<_>>();
        let grid = outward(&judge.show.floor.vertices, pair.body.at);
        if let Some(place) = judge.first_held(likely.into_iter().chain(grid)) {
            known.retain(|p| *p != place);
            known.push(place);
            return Ok(Vec::new());
        }
        if looks.board.is_stopped() {
            return Ok(Vec::new());
        }
        let mut outline = Box::new(Outline::<{ limits::ZONE_POINTS }>::new());
        match zones::trace(judge, pair.body.at, &mut Box::new(ZoneStore::new()), &mut outline)? {
            Zone::Empty { fighting, .. } => Ok(fighting.to_vec()),
            Zone::Piece(_) => Ok(Vec::new()),
        }
    })?;
    Some(found).filter(|found| found.as_ref().is_ok_and(|f| !f.is_empty()) || found.is_err())
}

/// The places of a coarse grid over the floor, the nearest to `from` first.
fn outward(floor: &[StagePoint], from: StagePoint) -> impl Iterator<Item = StagePoint> {
    let span = |of: fn(&StagePoint) -> f32| {
        let (low, high) = floor.iter().map(of).fold((f32::MAX, f32::MIN), |(l, h), v| (l.min(v), h.max(v)));
        (low, ((high - low) / COARSE_M) as u16)
    };
    let ((left, columns), (low, rows)) = (span(|p| p.x), span(|p| p.y));
    let nearest = |at: f32, low: f32, count: u16| (((at - low) / COARSE_M).round() as i32).clamp(0, i32::from(count));
    let (column, row) = (nearest(from.x, left, columns), nearest(from.y, low, rows));
    let node = move |x: i32, y: i32| {
        let (x, y) = (u16::try_from(column + x).ok()?, u16::try_from(row + y).ok()?);
        let is_there = x <= columns && y <= rows;
        is_there.then(|| StagePoint::new(left + COARSE_M * f32::from(x), low + COARSE_M * f32::from(y)))
    };
    let rings = 0..=i32::from(columns.max(rows));
    let ring = move |r: i32| {
        let inner = move |x: i32| if x.abs() == r { 1 } else { (2 * r).max(1) as usize };
        (-r..=r).flat_map(move |x| (-r..=r).step_by(inner(x)).filter_map(move |y| node(x, y)))
    };
    rings.flat_map(ring)
}

/// What a person in a picture is judged by: all of it can be looked at on any thread.
pub(super) struct Looks<'l, 's> {
    /// The show and its clearances.
    pub(super) board: &'l Board<'s>,
    /// The show's pictures.
    pub(super) book: &'l Book<'s>,
    /// Everything judged.
    pub(super) judged: &'l [Judged],
    /// Everything that has to be put right.
    pub(super) before: &'l [Fault],
}

impl Looks<'_, '_> {
    /// Asks the judge of all that has to work for the person of a pair in its cue.
    pub(super) fn judging<T>(&self, pair: &Pair, ask: impl FnOnce(&Judge<'_>) -> T) -> Option<T> {
        let (show, book) = (self.board.show(), self.book);
        let cue = show.cues.get(pair.cue)?;
        let class = self.board.class_of(pair.person)?;
        let reach = Reach::of(show, class, Level::Hard);
        let keepouts = keepout::of_cue::<KEEPOUTS>(show, cue, &reach).ok()?;
        let ground = Ground::new(&show.floor, &show.entries, &keepouts).ok()?;
        let same = self.judged.iter().filter(|j| is_same(&j.pair, pair));
        let views: Vec<View> = same.flat_map(|j| self.views(j)).collect();
        let moments = book.album.moments_from(pair.cue, pair.from_s);
        let moments: Vec<&[Solid]> = moments.iter().map(|m| m.planned.as_slice()).collect();
        let surfaces = &book.album.surfaces;
        let judge = Judge { show, class, ground: &ground, views: &views, moments: &moments, surfaces };
        Some(ask(&judge))
    }

    /// The views that have to work: those about the person, but not those that cut them in passing, which is no fault.
    fn views(&self, judged: &Judged) -> Vec<View> {
        let fault = cut_fault(self.board.show(), &judged.pair, &judged.verdict);
        let in_passing = fault.is_some_and(|f| f.severity == Severity::Note);
        let all = zones::about(self.book.album.views(judged.pair.shot), &judged.pair.body);
        all.filter(|v| !in_passing || framing(v, &judged.pair.body).state == Framing::Framed).cloned().collect()
    }
}

pub(super) fn is_same(one: &Pair, two: &Pair) -> bool {
    (one.cue, one.person) == (two.cue, two.person)
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
