//! Marks on air: how many of a cue's marks no hot camera sees, and who needs a large guard.

use underfoot_core::cameras::hidden::{self, CueMarks};
use underfoot_core::cameras::{guard, seen, shots};
use underfoot_core::geom::StagePoint;
use underfoot_core::show::{CameraId, Cue, ShotId};

use super::desk::{Desk, percent};
use crate::findings::{Figure, Finding, FindingId, Report, Severity, Unit};
use crate::on_air::{OnAir, hot_words};

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
    let on_air = OnAir::of(desk.board.project, cue);
    let (count, all) = (on_air.unseen(), on_air.marks());
    if all.is_empty() {
        return;
    }
    let figure = Figure::at_least(count as f32, all.len() as f32, Unit::Count);
    if report.measure(FindingId::MarksOnAir, Some(cue.number), "marks that no hot camera sees", figure).is_none() {
        return;
    }
    let of = all.len();
    let marks = if of == 1 { "mark" } else { "marks" };
    let who_sees = who_sees(desk, cue, &on_air.found);
    let what = format!("{count} of {of} {marks} can be lit on air unseen: {who_sees}");
    let mut finding = Finding::new(FindingId::MarksOnAir, Severity::Note, "on air", what);
    finding.cue = Some(cue.number);
    finding.things = all.iter().map(|id| desk.mark_name(*id)).collect();
    finding.fix = Some(offers(desk));
    report.add(desk.board.at_line(finding, "cues", index));
}

/// "1-WIDE sees 87 % of the floor (hot: every tracked camera)".
fn who_sees(desk: &Desk<'_, '_>, cue: &Cue, found: &CueMarks) -> String {
    let show = desk.board.show();
    if let Some(camera) = found.hot.untracked {
        let name = show.cameras.get(camera.index()).map(|c| c.name.to_string()).unwrap_or_default();
        return format!("{name} is hot and may see everything");
    }
    let hot = desk.board.project.show.control.hot;
    let mut widest: Option<(ShotId, f32)> = None;
    hidden::hot_shots(show, cue, hot, &mut |shot| {
        let share = share(desk, shot);
        if widest.is_none_or(|(_, most)| share > most) {
            widest = Some((shot, share));
        }
    });
    let widest =
        widest.map(|(shot, share)| format!("{} sees {:.0} % of the floor", desk.shot_name(shot), percent(share)));
    format!("{} ({})", widest.unwrap_or_default(), hot_words(hot))
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

/// What a camera needs between its picture and a lit mark.
struct Need {
    metres: f32,
    travel_m: f32,
    distance_m: f32,
    dps: f32,
}

/// The need of one shot, at the mark that is nearest to the camera; `None` when it has no view.
fn need_of(desk: &Desk<'_, '_>, shot: ShotId) -> Option<Need> {
    let show = desk.board.show();
    let latency_s = f32::from(show.latency_ms) / 1000.0;
    let speed = shots::speed(show, shot);
    let to_mark = |from: StagePoint| show.marks.iter().map(|m| m.at.distance(from)).min_by(f32::total_cmp);
    let views = desk.trials.book.album.views(shot).iter();
    let distance_m = views.filter_map(|v| to_mark(v.pose.centre.on_floor())).max_by(f32::total_cmp)?;
    let metres = guard::of(speed, latency_s, distance_m).metres;
    Some(Need { metres, travel_m: speed.mps * latency_s, distance_m, dps: speed.dps })
}

/// A camera that moves, or is carried, needs room between its picture and every mark that is lit.
fn guards(desk: &Desk<'_, '_>, report: &mut Report, camera: CameraId) {
    let needs = shots_of(desk, Some(camera)).into_iter().filter_map(|shot| need_of(desk, shot));
    let Some(need) = needs.max_by(|a, b| a.metres.total_cmp(&b.metres)) else { return };
    let name = desk.board.show().cameras.get(camera.index()).map(|c| c.name.to_string()).unwrap_or_default();
    let figure = Figure::at_most(need.metres, LARGE_M, Unit::Metres);
    let Some(figure) = report.measure(FindingId::CameraGuard, None, format!("guard of {name}"), figure) else { return };
    let what = format!("lit marks have to keep away from the picture of {name}: {}", need.words());
    let mut finding = Finding::new(FindingId::CameraGuard, Severity::Note, name, what);
    finding.figure = Some(figure);
    finding.fix = Some("leave marks dark while it moves, or move it slower".into());
    report.add(desk.board.at_line(finding, "cameras", camera.index()));
}

impl Need {
    /// "0.30 m as it turns 15 deg/s at 8.3 m + 0.47 m as it travels + 0.04 m".
    fn words(&self) -> String {
        let turn_m = self.metres - self.travel_m - guard::STILL_M;
        let turn = format!("{turn_m:.2} m as it turns {:.0} deg/s at {:.1} m", self.dps, self.distance_m);
        let travel = format!("{:.2} m as it travels", self.travel_m);
        let some = [(turn, turn_m > 0.005), (travel, self.travel_m > 0.0), (format!("{:.2} m", guard::STILL_M), true)];
        some.into_iter().filter(|(_, is)| *is).map(|(words, _)| words).collect::<Vec<_>>().join(" + ")
    }
}
