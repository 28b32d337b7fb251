//! A show's pictures made ready once: the views of every shot, and where parts stand at every moment of a cue.

use underfoot_core::cameras::shots::{self, ShotError, View};
use underfoot_core::cameras::solids::{self, Solid};
use underfoot_core::cameras::surfaces::Surfaces;
use underfoot_core::limits;
use underfoot_core::props::motion;
use underfoot_core::show::{Cue, PropId, ShotId, Show};

/// Times nearer to each other than this are one, seconds.
const TOGETHER_S: f32 = 1e-3;

/// The pictures of one show.
#[derive(Debug)]
pub(super) struct Album<'s> {
    /// For each shot its views, or why it has none.
    shots: Vec<Result<Vec<View>, ShotError>>,
    /// For each cue its moments.
    scenes: Vec<Scene>,
    /// The LED surfaces.
    pub(super) surfaces: Surfaces<'s>,
}

/// One cue's moments, ascending.
#[derive(Debug, Default)]
pub(super) struct Scene {
    /// When, and what stands where.
    pub(super) moments: Vec<Moment>,
}

/// What stands where at one moment of a cue.
#[derive(Debug)]
pub(super) struct Moment {
    /// Seconds after the start of the cue.
    pub(super) at_s: f32,
    /// Parts of props whose place is planned.
    pub(super) planned: Vec<Solid>,
    /// Parts of props that follow presence, where they rest.
    pub(super) following: Vec<Solid>,
}

impl<'s> Album<'s> {
    /// `arrivals`: for each cue the times at which people may reach their marks.
    pub(super) fn new(show: &'s Show, arrivals: &[Vec<f32>]) -> Self {
        let shots = (0..show.shots.len()).map(|i| views_of(show, ShotId(i as u8))).collect();
        let scene = |(i, cue)| Scene::new(show, cue, arrivals.get(i).map_or(&[], Vec::as_slice));
        Self { shots, scenes: show.cues.iter().enumerate().map(scene).collect(), surfaces: Surfaces::of(show) }
    }

    /// The views of a shot; none when it has none.
    pub(super) fn views(&self, shot: ShotId) -> &[View] {
        self.shots.get(shot.index()).and_then(|s| s.as_deref().ok()).unwrap_or(&[])
    }

    /// Why a shot has no views.
    pub(super) fn error(&self, shot: ShotId) -> Option<ShotError> {
        self.shots.get(shot.index()).and_then(|s| s.as_ref().err().copied())
    }

    /// A cue's moments from a time on; the last one when none is that late.
    pub(super) fn moments_from(&self, cue: usize, from_s: f32) -> &[Moment] {
        let moments = self.scenes.get(cue).map_or(&[][..], |s| &s.moments);
        let first = moments.iter().position(|m| m.at_s >= from_s - TOGETHER_S);
        &moments[first.unwrap_or(moments.len().saturating_sub(1))..]
    }

    /// True when a prop is not the same at all moments of a cue: it moves, grows or comes.
    pub(super) fn moves(&self, cue: usize, prop: PropId) -> bool {
        let moments = self.scenes.get(cue).map_or(&[][..], |s| &s.moments);
        let parts =
            |moment: &'_ Moment| moment.planned.iter().filter(|s| s.prop == prop).cloned().collect::<Vec<Solid>>();
        moments.windows(2).any(|pair| parts(&pair[0]) != parts(&pair[1]))
    }
}

fn views_of(show: &Show, shot: ShotId) -> Result<Vec<View>, ShotError> {
    let mut views = Vec::new();
    shots::views(show, shot, &mut |view| views.push(view))?;
    Ok(views)
}

impl Scene {
    fn new(show: &Show, cue: &Cue, arrivals: &[f32]) -> Self {
        let times = times(show, cue, arrivals);
        let moments = times.into_iter().map(|at_s| {
            let all = solids::of_cue::<{ limits::PARTS }>(show, cue, at_s).map(|s| s.to_vec()).unwrap_or_default();
            let follows = |solid: &Solid| motion::follows_presence(show, cue, solid.prop);
            let (following, planned) = all.into_iter().partition(follows);
            Moment { at_s, planned, following }
        });
        Self { moments: moments.collect() }
    }
}

/// When to look at a cue: where its motions say, when people may arrive, and for what goes on for ever the same
/// phases again after the last arrival.
fn times(show: &Show, cue: &Cue, arrivals: &[f32]) -> Vec<f32> {
    let mut times = Vec::new();
    motion::moments(show, cue, &mut |t| times.push(t));
    if times.len() < 2 {
        return times;
    }
    let periods = show.props_in(cue).iter().filter_map(|state| motion::period_s(show, state));
    if let Some(period_s) = periods.max_by(f32::total_cmp) {
        let last_s = arrivals.iter().copied().fold(0.0, f32::max);
        let later = times.iter().filter(|t| **t < last_s).map(|t| t + ((last_s - t) / period_s).ceil() * period_s);
        let later: Vec<f32> = later.collect();
        times.extend(later);
    }
    times.extend(arrivals);
    times.sort_by(f32::total_cmp);
    times.dedup_by(|a, b| (*a - *b).abs() < TOGETHER_S);
    times
}
