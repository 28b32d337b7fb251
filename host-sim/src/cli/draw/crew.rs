//! What crew keep out of in a cue: camera wedges, and the ways of a jib's head and tail.

use underfoot_core::cameras::jib::{self, Sweep};
use underfoot_core::cameras::{Framing, shots};
use underfoot_core::cameras::{View, framing, wedge};
use underfoot_core::geom::{StagePoint, StagePoint3, StageVector, clip, polygon};
use underfoot_core::show::{CameraId, Cue, ShotId, Show};

use super::pictures::Brief;
use crate::project::Project;
use crate::render::Over;
use crate::render::frame::Line;
use crate::render::shot::{Actor, actors};

/// Where a wedge ends when its shot is about nobody, metres from the camera.
const ALONE_M: f32 = 4.0;
/// Half the width of a long name, metres.
const NAME_M: f32 = 0.45;
/// The reader of a camera's name looks upstage.
const UPSTAGE: StageVector = StageVector::new(0.0, 1.0);

/// Floor under one end of an intended shot, which crew keep out of.
pub(crate) struct Wedge {
    /// The shot.
    pub(crate) shot: ShotId,
    /// Its camera.
    pub(crate) camera: CameraId,
    /// The outline, counter-clockwise.
    pub(crate) points: Vec<StagePoint>,
    /// A place for the camera's name.
    pub(crate) name_at: StagePoint,
}

/// The wedges of a cue's intended shots that reach the floor; of a shot that moves those at both its ends.
pub(crate) fn wedges(show: &Show, cue: &Cue) -> Vec<Wedge> {
    let actors = actors(show, cue);
    let mut found = Vec::new();
    for &shot in show.shots_in(cue) {
        let mut views = Vec::new();
        // A shot without views has no wedge.
        let _ = shots::views(show, shot, &mut |view| views.push(view));
        let ends = [views.first(), views.last().filter(|_| views.len() > 1)];
        for view in ends.into_iter().flatten() {
            let Ok(points) = wedge::wedge(view, talent_m(view, &actors)) else { continue };
            if let Some(name_at) = middle(show, &points, view) {
                found.push(Wedge { shot, camera: view.camera, points: points.to_vec(), name_at });
            }
        }
    }
    found
}

/// The sweeps of a cue's jibs.
pub(crate) fn sweeps(show: &Show, cue: &Cue) -> Vec<(ShotId, Sweep)> {
    let sweep = |&shot: &ShotId| Some((shot, jib::sweep(show, shot).ok().flatten()?));
    show.shots_in(cue).iter().filter_map(sweep).collect()
}

/// Adds the wedges of a cue's intended shots and the sweeps of its jibs.
pub(super) fn add(project: &Project, cue: &Cue, brief: &mut Brief) {
    let show = &project.show;
    let mut named = Vec::new();
    for wedge in wedges(show, cue) {
        let name = show.cameras.get(wedge.camera.index()).map_or("", |c| c.name.as_str());
        brief.over.push(Over::Crew { points: wedge.points, closed: true });
        if !named.contains(&name) {
            brief.over.push(Over::Name { words: name.into(), at: wedge.name_at, up: UPSTAGE });
            named.push(name);
        }
    }
    for (shot, sweep) in sweeps(show, cue) {
        let lines = low_ways(&sweep).into_iter().chain([on_plan(&sweep.tail)]);
        brief.over.extend(lines.map(|points| Over::Crew { points, closed: false }));
        brief.lines.push(Line::plain(sweep_words(show, shot, &sweep)));
    }
    let words = if named.is_empty() {
        "no camera wedge reaches the floor".into()
    } else {
        format!("long and short dashes: camera wedges of {}, crew keep out", named.join(", "))
    };
    brief.lines.push(Line::plain(words));
}

/// How far along the view the nearest person is whom the shot is about.
fn talent_m(view: &View, actors: &[Actor]) -> f32 {
    let [x, y, _] = view.pose.ahead;
    let ahead = StageVector::new(x, y).unit().unwrap_or(UPSTAGE);
    let about =
        actors.iter().filter(|a| matches!(framing::framing(view, &a.body).state, Framing::Framed | Framing::Cut(_)));
    let depths = about.map(|a| (a.body.at - view.pose.centre.on_floor()).dot(ahead)).filter(|&m| m > 0.0);
    depths.min_by(f32::total_cmp).unwrap_or(ALONE_M)
}

/// A place for the name: in the wedge and on the floor, towards the camera; `None` when no wedge is on the floor.
fn middle(show: &Show, points: &[StagePoint], view: &View) -> Option<StagePoint> {
    let on_floor = clip::clip::<{ wedge::CORNERS + 16 }>(points, &show.floor.vertices).ok()?;
    let count = on_floor.len() as f32;
    if polygon::signed_area(&on_floor) < 0.01 {
        return None;
    }
    let sum = on_floor.iter().fold(StageVector::default(), |sum, &p| sum + (p - StagePoint::default()));
    let centre = StagePoint::default() + sum * (1.0 / count);
    let eye = view.pose.centre.on_floor();
    let nearest = on_floor.iter().min_by(|a, b| a.distance(eye).total_cmp(&b.distance(eye)))?;
    Some(inside(show, centre + (*nearest - centre) * 0.4))
}

/// The place moved in, so that a name there stays on the floor.
fn inside(show: &Show, at: StagePoint) -> StagePoint {
    let all = || show.floor.vertices.iter();
    let held = |v: f32, of: fn(&StagePoint) -> f32, by_m: f32| {
        let low = all().map(of).fold(f32::MAX, f32::min) + by_m;
        v.clamp(low, (all().map(of).fold(f32::MIN, f32::max) - by_m).max(low))
    };
    StagePoint::new(held(at.x, |p| p.x, NAME_M), held(at.y, |p| p.y, NAME_M / 2.0))
}

/// A way as it is seen from above.
pub(crate) fn on_plan(points: &[StagePoint3]) -> Vec<StagePoint> {
    points.iter().map(|p| p.on_floor()).collect()
}

/// The ways of a jib's head where it is low, each without a gap.
pub(crate) fn low_ways(sweep: &Sweep) -> Vec<Vec<StagePoint>> {
    let mut ways: Vec<Vec<StagePoint3>> = Vec::new();
    for (from, to) in &sweep.low_way {
        match ways.last_mut().filter(|way| way.last() == Some(from)) {
            Some(way) => way.push(*to),
            None => ways.push(vec![*from, *to]),
        }
    }
    ways.iter().map(|way| on_plan(way)).collect()
}

/// What is to be said of a sweep: "J-MOVE: the jib's head comes down to 1.90 m; its tail swings behind the base".
pub(crate) fn sweep_words(show: &Show, shot: ShotId, sweep: &Sweep) -> String {
    let shot = show.shots.get(shot.index()).map_or("", |s| s.name.as_str());
    match &sweep.low {
        Some(low) => {
            format!("{shot}: the jib's head comes down to {:.2} m; its tail swings behind the base", low.lowest_m)
        }
        None => format!("{shot}: the jib's head stays above {} m; its tail swings behind the base", jib::LOW_M),
    }
}
