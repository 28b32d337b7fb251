//! How long a walk takes, and where the walker is meanwhile.

use super::{Path, Spot};
use crate::geom::Stretch;
use crate::props::physical;
use crate::show::{PersonClass, PhysicalKind, Show};
use crate::walk::phase::{Course, Phase};

/// Time from the call to the first step, seconds (common practice).
pub const START_S: f32 = 1.0;
/// Time to come to rest on a mark, seconds (common practice).
pub const SETTLE_S: f32 = 0.7;
/// Time that wheels need for one bend, seconds (common practice).
pub const WHEELS_TURN_S: f32 = 1.5;
/// The least change of direction that is a bend for [`WHEELS_TURN_S`], degrees.
pub const TURN_FROM_DEG: f32 = 30.0;

/// What a walk costs in time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Timing {
    /// Before the first step, seconds.
    pub start_s: f32,
    /// Pace on the level, metres per second, above 0.
    pub pace_mps: f32,
    /// For each bend, seconds: the walker turns on the spot, on an arc in its middle.
    pub turn_s: f32,
    /// The least change of direction that counts as a bend, degrees.
    pub turn_from_deg: f32,
    /// Pace on ramps as a share of that on the level, above 0.
    pub ramp_share: f32,
    /// After the last step, seconds.
    pub settle_s: f32,
    /// What else the show allows at the end, to sit down, say, seconds.
    pub extra_s: f32,
}

impl Timing {
    /// The timing of a class: its pace, the default delays, and [`WHEELS_TURN_S`] for those on wheels.
    pub fn of(class: &PersonClass) -> Self {
        Self {
            start_s: START_S,
            pace_mps: class.pace_mps,
            turn_s: if class.chair_m.is_some() { WHEELS_TURN_S } else { 0.0 },
            turn_from_deg: TURN_FROM_DEG,
            ramp_share: 1.0,
            settle_s: SETTLE_S,
            extra_s: 0.0,
        }
    }

    /// Seconds that do not depend on the pace, for `bends` bends.
    fn fixed_s(&self, bends: u16) -> f32 {
        self.start_s + self.turn_s * f32::from(bends) + self.settle_s + self.extra_s
    }
}

/// A walk along a path in time. The walker waits at its start, then goes at an even pace, and stays at its end.
#[derive(Clone, Copy, Debug)]
pub struct Schedule<'p> {
    path: Path<'p>,
    show: &'p Show,
    timing: Timing,
    /// Length of the level way that takes as long, metres.
    level_m: f32,
    bends: u16,
}

impl<'p> Schedule<'p> {
    /// The walk along `path` with the ramps of `show`.
    pub fn of(path: Path<'p>, show: &'p Show, timing: Timing) -> Self {
        let mut walk = Self { path, show, timing, level_m: 0.0, bends: 0 };
        let mut level_m = 0.0;
        walk.pieces(&mut |stretch, pace| level_m += stretch.length() / pace);
        walk.level_m = level_m * timing.pace_mps;
        walk.bends = walk.turns().count() as u16;
        walk
    }

    /// All of it: the delays, the way, the bends and the settling, seconds.
    pub fn total_s(&self) -> f32 {
        self.timing.fixed_s(self.bends) + self.level_m / self.timing.pace_mps
    }

    /// When the walker is at the end of the way, before settling, seconds.
    pub fn arrives_s(&self) -> f32 {
        self.total_s() - self.timing.settle_s - self.timing.extra_s
    }

    /// The pace on the level at which all of it takes `limit_s`, metres per second; `None` when no pace does.
    pub fn needed_pace(&self, limit_s: f32) -> Option<f32> {
        let left_s = limit_s - self.timing.fixed_s(self.bends);
        (left_s > 0.0).then(|| self.level_m / left_s)
    }

    /// What the schedule was made with.
    pub fn timing(&self) -> &Timing {
        &self.timing
    }

    /// Where the walker is at `t_s`, and which way the next step goes.
    pub fn place_at(&self, t_s: f32) -> Spot {
        let mut spot = self.path.at(0.0);
        self.phases(&mut |phase| {
            if phase.from_s <= t_s {
                let at = phase.place(t_s);
                let way = match phase.course {
                    Course::Stands(_) => spot.way,
                    Course::Goes(stretch) => stretch.heading(phase.share(t_s)),
                };
                spot = Spot { at, way };
            }
        });
        spot
    }

    /// Calls `look` with the phases of the walk, from time 0 on, in order; the last has no end.
    pub fn phases(&self, look: &mut impl FnMut(&Phase)) {
        let (mut t_s, mut gone_m) = (self.timing.start_s, 0.0);
        look(&Phase { from_s: 0.0, to_s: t_s, course: Course::Stands(self.path.at(0.0).at) });
        let mut turns = self.turns();
        let mut turn_m = turns.next();
        self.pieces(&mut |piece, pace| {
            let length_m = piece.length();
            let mut share = 0.0;
            // A bend at the very end is that of a sharp corner.
            while let Some(m) = turn_m.filter(|&m| m <= gone_m + length_m + HAIR_M) {
                let to = ((m - gone_m) / length_m).clamp(share, 1.0);
                t_s = goes(&piece.part(share, to), t_s, pace, look);
                let from_s = t_s;
                t_s += self.timing.turn_s;
                look(&Phase { from_s, to_s: t_s, course: Course::Stands(piece.point(to)) });
                share = to;
                turn_m = turns.next();
            }
            t_s = goes(&piece.part(share, 1.0), t_s, pace, look);
            gone_m += length_m;
        });
        look(&Phase { from_s: t_s, to_s: f32::INFINITY, course: Course::Stands(self.path.at(f32::MAX).at) });
    }

    /// Where the bends are that take time, metres along the path.
    fn turns(&self) -> impl Iterator<Item = f32> + use<'p> {
        let Timing { turn_s, turn_from_deg, .. } = self.timing;
        let counts = move |turn_deg: f32| turn_s > 0.0 && libm::fabsf(turn_deg) >= turn_from_deg;
        self.path.bends().filter(move |bend| counts(bend.turn_deg)).map(|bend| bend.s_m)
    }

    /// Calls `look` with the path's stretches, cut where a ramp begins or ends, and the pace on each.
    fn pieces(&self, look: &mut impl FnMut(Stretch, f32)) {
        for stretch in self.path.stretches() {
            let mut share = 0.0;
            while share < 1.0 {
                let next = self.next_cut(&stretch, share);
                look(stretch.part(share, next), self.pace_at(&stretch, (share + next) / 2.0));
                share = next;
            }
        }
    }

    fn pace_at(&self, stretch: &Stretch, share: f32) -> f32 {
        let on_ramp = || self.ramps().any(|thing| physical::covers(thing, stretch.point(share)));
        self.timing.pace_mps * if self.timing.ramp_share != 1.0 && on_ramp() { self.timing.ramp_share } else { 1.0 }
    }

    /// The first share behind `share` at which the stretch may cross the border of a ramp; 1 for none.
    fn next_cut(&self, stretch: &Stretch, share: f32) -> f32 {
        let mut next: f32 = 1.0;
        if self.timing.ramp_share == 1.0 {
            return next;
        }
        let least = share + HAIR_M / stretch.length();
        for area in self.ramps().filter_map(|thing| physical::rectangle(thing).ok()) {
            for (from, to) in crate::geom::polygon::sides(area.vertices()) {
                stretch.cuts(&Stretch::Line { from, to }, &mut |t| {
                    if t > least && t < next {
                        next = t;
                    }
                });
            }
        }
        next
    }

    fn ramps(&self) -> impl Iterator<Item = &'p crate::show::Physical> + use<'p> {
        self.show.physicals.iter().filter(|thing| matches!(thing.kind, PhysicalKind::Ramp { .. }))
    }
}

/// Way that rounding makes or takes, metres.
const HAIR_M: f32 = 1e-4;

/// Gives the phase of going along `stretch` from `t_s` on, and says when it ends.
fn goes(stretch: &Stretch, t_s: f32, pace_mps: f32, look: &mut impl FnMut(&Phase)) -> f32 {
    let to_s = t_s + stretch.length() / pace_mps;
    if to_s > t_s {
        look(&Phase { from_s: t_s, to_s, course: Course::Goes(*stretch) });
    }
    to_s
}
