//! Marks on air: how many of a cue's marks no hot camera sees, and who needs a large guard.

use underfoot_core::cameras::hidden::{self, CueMarks, Patch};
use underfoot_core::cameras::shots::Speed;
use underfoot_core::cameras::{guard, seen, shots};
use underfoot_core::geom::StagePoint;
use underfoot_core::look::placed;
use underfoot_core::show::{CameraId, Cue, MarkId, ShotId};

use super::desk::{Desk, percent};
use crate::findings::{Figure, Finding, FindingId, Report, Severity, Unit};

/// A shot that shows less of the floor than this is close, a share.
const CLOSE: f32 = 0.005;
/// A guard larger than this is worth a note, metres.
const LARGE_M: f32 = 0.25;

/// Measures what every shot sees of the floor, and notes marks that cannot be hidden and large guards.
pub(super) fn report(desk: &Desk<'_, '_>, report: &mut Report) {
    let show = desk.board.show();
    for shot in shots_of(desk, None) {
        let what = format!("{} sees of the floor", desk.shot_name(shot));
        report.measure(
            FindingId::MarksOnAir,
            None,
            what,
            Figure::at_most(percent(share(desk, shot)), 100.0, Unit::Percent),
        );
    }
    for (index, cue) in show.cues.iter().enumerate() {
        if !show.shots_in(cue).is_empty() {
            on_air(desk, report, index, cue);
        }
    }
    (0..show.cameras.len()).for_each(|i| guards(desk, report, CameraId(i as u8)));
}

/// All shots, or those of one camera.
fn shots_of(desk: &Desk<'_, '_>, camera: Option<CameraId>) -> Vec<ShotId> {
    let all = desk.board.show().shots.iter().enumerate();
    all.filter(|(_, s)| camera.is_none_or(|c| s.camera == c)).map(|(i, _)| ShotId(i as u8)).collect()
}

/// The most that a shot sees of the floor at any of its poses, 0 to 1.
fn share(desk: &Desk<'_, '_>, shot: ShotId) -> f32 {
    let floor = &desk.board.show().floor.vertices;
    let views = desk.trials.book.album.views(shot).iter();
    views.map(|view| seen::floor_share(view, floor)).fold(0.0, f32::max)
}

fn on_air(desk: &Desk<'_, '_>, report: &mut Report, index: usize, cue: &Cue) {
    let outlines = outlines(desk, cue);
    let show = desk.board.show();
    let patches: Vec<(MarkId, Patch<'_>)> =
        outlines.iter().map(|(id, points)| (*id, Patch::on(show, points))).collect();
    let found = hidden::marks(show, cue, desk.board.project.hot, &patches);
    let mut all: Vec<MarkId> = patches.iter().map(|(id, _)| *id).collect();
    all.sort_unstable();
    all.dedup();
    if all.is_empty() {
        return;
    }
    let figure = Figure::at_least(found.marks.count_ones() as f32, all.len() as f32, Unit::Count);
    if report.measure(FindingId::MarksOnAir, Some(cue.number), "marks that no hot camera sees", figure).is_none() {
        return;
    }
    let (count, of) = (found.marks.count_ones(), all.len());
    let marks = if of == 1 { "mark" } else { "marks" };
    let what = format!("{count} of {of} {marks} can be lit on air unseen: {}", who_sees(desk, cue, &found));
    let mut finding = Finding::new(FindingId::MarksOnAir, Severity::Note, "on air", what);
    finding.cue = Some(cue.number);
    finding.things = all.iter().map(|id| desk.mark_name(*id)).collect();
    finding.fix = Some(offers(desk));
    report.add(desk.board.at_line(finding, "cues", index));
}

/// The outline of all that each mark of a cue lights or darkens.
fn outlines(desk: &Desk<'_, '_>, cue: &Cue) -> Vec<(MarkId, Vec<StagePoint>)> {
    let show = desk.board.show();
    let of = |place| placed::outline(show, place).map(|(id, outline)| (id, outline.to_vec()));
    show.places_in(cue).iter().filter_map(of).collect()
}

/// "1-WIDE sees 87 % of the floor (hot: every camera)".
fn who_sees(desk: &Desk<'_, '_>, cue: &Cue, found: &CueMarks) -> String {
    let show = desk.board.show();
    if let Some(camera) = found.hot.untracked {
        let name = show.cameras.get(camera.index()).map(|c| c.name.to_string()).unwrap_or_default();
        return format!("{name} is hot and may see everything");
    }
    let mut widest: Option<(ShotId, f32)> = None;
    hidden::hot_shots(show, cue, desk.board.project.hot, &mut |shot| {
        let share = share(desk, shot);
        if widest.is_none_or(|(_, most)| share > most) {
            widest = Some((shot, share));
        }
    });
    let hot = match desk.board.project.hot {
        hidden::Hot::All => "every camera",
        hidden::Hot::ProgramPreviewRecorded => "program, preview and recorded",
        hidden::Hot::ProgramPreview => "program and preview",
    };
    let widest =
        widest.map(|(shot, share)| format!("{} sees {:.0} % of the floor", desk.shot_name(shot), percent(share)));
    format!("{} (hot: {hot})", widest.unwrap_or_default())
}

/// What can be shown instead.
fn offers(desk: &Desk<'_, '_>) -> String {
    let close = shots_of(desk, None)
        .into_iter()
        .filter(|s| share(desk, *s) < CLOSE && !desk.trials.book.album.views(*s).is_empty());
    let close: Vec<String> = close.map(|shot| desk.shot_name(shot)).collect();
    let first = match close.as_slice() {
        [] => String::new(),
        shots => format!("light them while only {} is hot, ", shots.join(" or ")),
    };
    format!("{first}use scenic footprints, or tape along the floor's edge")
}

/// A camera that moves, or is carried, needs room between its picture and every mark that is lit.
fn guards(desk: &Desk<'_, '_>, report: &mut Report, camera: CameraId) {
    let show = desk.board.show();
    let latency_s = f32::from(show.latency_ms) / 1000.0;
    let guard_of = |shot: ShotId| {
        let Speed { mps, dps } = shots::speed(show, shot);
        let views = desk.trials.book.album.views(shot).iter();
        let look_m = |v: &shots::View| v.pose.centre.on_floor().distance(nearest_mark(desk, v.pose.centre.on_floor()));
        let distance_m = views.map(look_m).fold(0.0, f32::max);
        (guard::of(Speed { mps, dps }, latency_s, distance_m).metres, mps * latency_s, distance_m, dps)
    };
    let widest = shots_of(desk, Some(camera)).into_iter().map(guard_of).max_by(|a, b| a.0.total_cmp(&b.0));
    let Some((metres, travel_m, distance_m, dps)) = widest.filter(|w| w.2 > 0.0) else { return };
    let name = show.cameras.get(camera.index()).map(|c| c.name.to_string()).unwrap_or_default();
    let figure = Figure::at_most(metres, LARGE_M, Unit::Metres);
    let Some(figure) = report.measure(FindingId::CameraGuard, None, format!("guard of {name}"), figure) else { return };
    let still_m = guard::STILL_M;
    let turn_m = metres - travel_m - still_m;
    let mut parts = vec![format!("{still_m:.2} m")];
    if travel_m > 0.0 {
        parts.insert(0, format!("{travel_m:.2} m as it travels"));
    }
    if turn_m > 0.005 {
        parts.insert(0, format!("{turn_m:.2} m as it turns {dps:.0} deg/s at {distance_m:.1} m"));
    }
    let what = format!("lit marks have to keep away from the picture of {name}: {}", parts.join(" + "));
    let mut finding = Finding::new(FindingId::CameraGuard, Severity::Note, name, what);
    finding.figure = Some(figure);
    finding.fix = Some("leave marks dark while it moves, or move it slower".into());
    report.add(desk.board.at_line(finding, "cameras", camera.index()));
}

/// The place of the mark that is nearest to a camera: that is where a turn of it shows least, and first.
fn nearest_mark(desk: &Desk<'_, '_>, from: StagePoint) -> StagePoint {
    let marks = desk.board.show().marks.iter().map(|m| m.at);
    marks.min_by(|a, b| a.distance(from).total_cmp(&b.distance(from))).unwrap_or_default()
}
