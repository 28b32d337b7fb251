//! The ends of a jib's arm over the floor and beside people.

use underfoot_core::cameras::jib::{LOW_M, Sweep, sweep};
use underfoot_core::cameras::shots;
use underfoot_core::geom::{StagePoint, segment};
use underfoot_core::props::reach::{MOVING_M, REACTION_S};
use underfoot_core::show::{Cue, ShotId};

use super::super::cast::Cast;
use super::desk::Desk;
use crate::findings::{Figure, Finding, FindingId, Report, Severity, Unit};

/// Looks at every jib shot of every cue.
pub(super) fn report(desk: &Desk<'_, '_>, report: &mut Report) {
    let show = desk.board.show();
    for (index, (cue, cast)) in show.cues.iter().zip(&desk.board.cast).enumerate() {
        for &shot in show.shots_in(cue) {
            // A shot without a pose is reported as such.
            if let Ok(Some(sweep)) = sweep(show, shot) {
                swept(desk, report, (index, cue, cast), shot, &sweep);
            }
        }
    }
}

/// Somebody's name, where they stand, and how far an end of the arm stays from their body, metres.
type Nearest = (String, StagePoint, f32);

/// One end of the arm on its way through one shot of one cue.
struct End<'s> {
    shot: ShotId,
    index: usize,
    cue: &'s Cue,
    name: &'static str,
    way: Way,
}

fn swept(
    desk: &Desk<'_, '_>,
    report: &mut Report,
    (index, cue, cast): (usize, &Cue, &Cast),
    shot: ShotId,
    sweep: &Sweep,
) {
    for (name, way) in [("head", low_head(sweep)), ("tail", low_tail(sweep))] {
        let near = nearest(desk, cast, &way);
        let end = End { shot, index, cue, name, way };
        one_end(desk, report, &end, near, sweep);
    }
}

fn one_end(desk: &Desk<'_, '_>, report: &mut Report, end: &End<'_>, near: Option<Nearest>, sweep: &Sweep) {
    let Some(first) = end.way.first() else { return };
    let (name, shot) = (camera_name(desk, end.shot), desk.shot_name(end.shot));
    let needed_m = MOVING_M + lead_m(desk, end.shot) + desk.board.allowance_m();
    let figure = near.as_ref().map(|n| Figure::at_least(n.2, needed_m, Unit::Metres));
    let missed = near.as_ref().zip(figure).and_then(|(n, figure)| {
        let what = format!("{} of {name} in {shot} to {}", end.name, n.0);
        report.measure(FindingId::JibSweep, Some(end.cue.number), what, figure)
    });
    let over = end.way.iter().any(|(a, b)| desk.board.off_floor_m(*a) <= 0.0 || desk.board.off_floor_m(*b) <= 0.0);
    if missed.is_none() && !over {
        return;
    }
    let severity = if missed.is_some() { Severity::Stop } else { Severity::Note };
    let what = words(&name, end.name, sweep, (over, near.is_some()));
    let mut finding = Finding::new(FindingId::JibSweep, severity, name, what);
    (finding.shot, finding.cue, finding.figure) = (Some(shot), Some(end.cue.number), figure);
    finding.place = Some(near.as_ref().map_or(first.0, |n| n.1));
    finding.who = near.map(|n| n.0);
    finding.fix = Some("keep people out of its arc while it goes there, or key a higher arm".into());
    report.add(desk.board.at_line(finding, "cues", end.index));
}

/// "stands nearest to where the head of JIB comes down to 1.06 m over the floor".
fn words(name: &str, end: &str, sweep: &Sweep, (over, somebody): (bool, bool)) -> String {
    let who = if somebody { "stands nearest to where " } else { "" };
    let place = if over { "over the floor" } else { "beside the floor" };
    let low = sweep.low.filter(|_| end == "head");
    let Some(low) = low else { return format!("{who}the {end} of {name} is below {LOW_M:.2} m {place}") };
    let (from, to, lowest_m) = (low.from_deg, low.to_deg, low.lowest_m);
    let arc = if to - from < 0.5 { format!("{from:.0}") } else { format!("{from:.0} to {to:.0}") };
    format!("{who}the head of {name} comes down to {lowest_m:.2} m {place} (below {LOW_M:.2} m at azimuth {arc} deg)")
}

fn camera_name(desk: &Desk<'_, '_>, shot: ShotId) -> String {
    let show = desk.board.show();
    let camera = show.shots.get(shot.index()).and_then(|s| show.cameras.get(s.camera.index()));
    camera.map(|c| c.name.to_string()).unwrap_or_default()
}

/// How far the head gets before a person moves, metres.
fn lead_m(desk: &Desk<'_, '_>, shot: ShotId) -> f32 {
    let show = desk.board.show();
    shots::speed(show, shot).mps * (f32::from(show.latency_ms) / 1000.0 + REACTION_S)
}

type Way = Vec<(StagePoint, StagePoint)>;

fn low_head(sweep: &Sweep) -> Way {
    sweep.low_way.iter().map(|(a, b)| (a.on_floor(), b.on_floor())).collect()
}

fn low_tail(sweep: &Sweep) -> Way {
    let is_low = |i: usize| sweep.tail.get(i).is_some_and(|p| p.z < LOW_M);
    let place = |i: usize| sweep.tail.get(i).map(|p| p.on_floor());
    let steps = 0..sweep.tail.len();
    steps.filter(|&i| is_low(i)).filter_map(|i| Some((place(i.saturating_sub(1))?, place(i)?))).collect()
}

/// The person of a cue who is nearest to a way.
fn nearest(desk: &Desk<'_, '_>, cast: &Cast, way: &Way) -> Option<Nearest> {
    let stands = cast.people.iter().filter_map(|s| Some((s.person, desk.board.show().marks.get(s.mark?.index())?.at)));
    let room = stands.map(|(person, at)| {
        let to = way.iter().map(|(a, b)| segment::distance(at, *a, *b)).fold(f32::INFINITY, f32::min);
        (desk.board.person_name(person), at, to - desk.board.radius_m(person))
    });
    room.min_by(|a, b| a.2.total_cmp(&b.2))
}
