//! A motion cut into pieces in each of which one law holds, so that places and speeds can be bounded.
//!
//! [`super::motion::at`] says where a prop is at a moment; a piece says so for a stretch of time, with no
//! jump of its speed inside. Where two pieces meet, the speed may jump, and both sides count.

use super::{Placement, motion};
use crate::geom::{StagePoint, StageVector};
use crate::show::props::BODY_TOP_M;
use crate::show::{Cue, CueProp, MotionKey, MotionKind, Part, Show};
use crate::units::Angle;

/// A stretch of time in which a prop moves by one law.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Piece {
    /// When it starts, seconds after the start of the cue.
    pub from_s: f32,
    /// When it ends, seconds; infinite for what goes on for ever.
    pub to_s: f32,
    /// How the prop moves.
    pub law: Law,
}

/// One way of moving.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Law {
    /// It stands, and grows for so many seconds after the start of the cue when it does.
    Still {
        /// Where.
        at: StagePoint,
        /// Seconds from nothing to its full height.
        grows_s: Option<f32>,
    },
    /// Straight from one key to the next.
    Leg {
        /// The two keys.
        keys: [MotionKey; 2],
        /// Start and length of the whole move in seconds, when that is eased.
        eased: Option<(f32, f32)>,
    },
    /// Round a circle.
    Round {
        /// Its centre.
        centre: StagePoint,
        /// Its radius, metres.
        radius_m: f32,
        /// Seconds per turn, counter-clockwise when positive.
        period_s: f32,
        /// Where it is at the start of the cue, radians counter-clockwise from stage left (+X).
        start_rad: f32,
    },
    /// One half swing of a pendulum, from one end to the other.
    Swing {
        /// The pivot's place on the plan.
        pivot: StagePoint,
        /// Unit vector along the swing.
        out: StageVector,
        /// From pivot to bob, metres.
        length_m: f32,
        /// Angle from hanging at the start of this half, radians; the end is as far on the other side.
        swing_rad: f32,
        /// When this half started, seconds after the start of the cue.
        since_s: f32,
        /// Seconds per half swing.
        half_s: f32,
    },
}

/// Calls `look` with the pieces of the motion of `state` that overlap `span_s`, cut to it, in order of time.
///
/// Pieces without length are left out, except that a span without length gives the one piece that starts at
/// or holds it. Whether the prop is gone is not asked ([`super::life`]).
pub fn each(show: &Show, cue: &Cue, state: &CueProp, span_s: (f32, f32), look: &mut impl FnMut(&Piece)) {
    let Some(rest) = Placement::after(show, cue, state.prop) else { return };
    let mut cut = |from_s: f32, to_s: f32, law: Law| {
        let moment = span_s.0 == span_s.1 && (from_s..to_s).contains(&span_s.0);
        let (from_s, to_s) = (from_s.max(span_s.0), to_s.min(span_s.1));
        if from_s < to_s || moment {
            look(&Piece { from_s, to_s, law });
        }
    };
    let still = |at: StagePoint, grows_s: Option<f32>| Law::Still { at, grows_s };
    let end = f32::INFINITY;
    match motion::kind_of(show, state) {
        None => cut(0.0, end, still(rest.at, None)),
        Some(MotionKind::Presence) => {
            let at = show.props.get(state.prop.index()).map_or(rest.at, |prop| prop.at);
            cut(0.0, end, still(at, None));
        }
        Some(MotionKind::Grow { seconds_s }) => {
            cut(0.0, seconds_s, still(rest.at, Some(seconds_s)));
            cut(seconds_s, end, still(rest.at, None));
        }
        Some(MotionKind::Keys { keys, ease }) => on_keys(keys.of(&show.motion_keys), ease, &mut cut),
        Some(MotionKind::Circle { centre, radius_m, period_s, start_deg }) => {
            let start_rad = Angle::from_degrees(start_deg).to_radians();
            cut(0.0, end, Law::Round { centre, radius_m, period_s, start_rad });
        }
        Some(MotionKind::Pendulum { pivot, length_m, swing_deg, plane_deg, period_s, .. }) => {
            let out = motion::heading(Angle::from_degrees(plane_deg).to_radians());
            let half_s = period_s / 2.0;
            let first = libm::floorf(span_s.0.max(0.0) / half_s);
            // A count of floats ends where adding one no longer changes it: long after any cue.
            let mut k = first;
            while k * half_s <= span_s.1 && k < 16_777_216.0 {
                let even = libm::fmodf(k, 2.0) == 0.0;
                let swing_rad = Angle::from_degrees(if even { swing_deg } else { -swing_deg }).to_radians();
                let law = Law::Swing { pivot, out, length_m, swing_rad, since_s: k * half_s, half_s };
                cut(k * half_s, (k + 1.0) * half_s, law);
                k += 1.0;
            }
        }
    }
}

fn on_keys(keys: &[MotionKey], ease: bool, cut: &mut impl FnMut(f32, f32, Law)) {
    let (Some(first), Some(last)) = (keys.first(), keys.last()) else { return };
    let whole_s = last.at_s - first.at_s;
    let still = |at: StagePoint| Law::Still { at, grows_s: None };
    if whole_s <= 0.0 {
        return cut(0.0, f32::INFINITY, still(first.place));
    }
    cut(0.0, first.at_s, still(first.place));
    let eased = ease.then_some((first.at_s, whole_s));
    let when = |key: &MotionKey| if ease { time_of(key.at_s, first.at_s, whole_s) } else { key.at_s };
    for (a, b) in keys.iter().zip(keys.iter().skip(1)) {
        cut(when(a), when(b), Law::Leg { keys: [*a, *b], eased });
    }
    cut(last.at_s, f32::INFINITY, still(last.place));
}

/// The time at which the clock of an eased move shows `clock_s`.
fn time_of(clock_s: f32, first_s: f32, whole_s: f32) -> f32 {
    let share = ((clock_s - first_s) / whole_s).clamp(0.0, 1.0);
    if share == 0.0 || share == 1.0 {
        return clock_s;
    }
    first_s + whole_s * (libm::acosf(1.0 - 2.0 * share) / core::f32::consts::PI)
}

impl Piece {
    /// Place and velocity at `t_s`, metres and metres per second; at an end those that this piece's law gives.
    pub fn travel(&self, t_s: f32) -> (StagePoint, StageVector) {
        match self.law {
            Law::Still { at, .. } => (at, StageVector::default()),
            Law::Leg { keys: [a, b], eased } => {
                let (clock_s, pace) = eased.map_or((t_s, 1.0), |(first, whole)| motion::eased(t_s, first, whole));
                let (way, span_s) = (b.place - a.place, b.at_s - a.at_s);
                let share = ((clock_s - a.at_s) / span_s).clamp(0.0, 1.0);
                (a.place + way * share, way * (pace / span_s))
            }
            Law::Round { centre, radius_m, period_s, start_rad } => {
                let out = motion::heading(motion::turn_of(t_s, period_s) + start_rad);
                (centre + out * radius_m, out.perp() * (radius_m * core::f32::consts::TAU / period_s))
            }
            Law::Swing { pivot, out, length_m, .. } => {
                let (angle, rate) = self.angle(t_s);
                let (off, down) = Angle::from_radians(angle).sin_cos();
                (pivot + out * (length_m * off), out * (length_m * down * rate))
            }
        }
    }

    /// True when the prop travels in this piece.
    pub fn travels(&self) -> bool {
        match self.law {
            Law::Still { .. } => false,
            Law::Leg { keys: [a, b], .. } => a.place != b.place,
            Law::Round { .. } => true,
            Law::Swing { swing_rad, .. } => swing_rad != 0.0,
        }
    }

    /// An upper bound of how fast the prop's velocity changes in this piece, metres per second squared.
    pub fn bend_bound(&self) -> f32 {
        match self.law {
            Law::Still { .. } => 0.0,
            Law::Leg { keys: [a, b], eased } => eased.map_or(0.0, |(_, whole_s)| {
                let pi = core::f32::consts::PI;
                // The clock W (1 - cos(pi t / W)) / 2 changes its speed by pi² / (2 W) at most.
                a.place.distance(b.place) / (b.at_s - a.at_s) * (pi * pi / (2.0 * whole_s))
            }),
            Law::Round { radius_m, period_s, .. } => {
                let rate = core::f32::consts::TAU / period_s;
                radius_m * rate * rate
            }
            // x = L sin f with f = A cos wt: |x''| <= L (A w² + (A w)²).
            Law::Swing { length_m, swing_rad, half_s, .. } => {
                let (rate, swing) = (core::f32::consts::PI / half_s, libm::fabsf(swing_rad));
                length_m * rate * rate * swing * (1.0 + swing)
            }
        }
    }

    /// An upper bound of how fast [`Self::bend_bound`]'s quantity changes, metres per second cubed.
    pub fn jerk_bound(&self) -> f32 {
        match self.law {
            Law::Still { .. } => 0.0,
            Law::Leg { eased, .. } => {
                self.bend_bound() * eased.map_or(0.0, |(_, whole_s)| core::f32::consts::PI / whole_s)
            }
            Law::Round { period_s, .. } => self.bend_bound() * libm::fabsf(core::f32::consts::TAU / period_s),
            // |x'''| <= L (A w³ + 3 A² w³ + A³ w³).
            Law::Swing { length_m, swing_rad, half_s, .. } => {
                let (rate, swing) = (core::f32::consts::PI / half_s, libm::fabsf(swing_rad));
                length_m * rate * rate * rate * swing * (1.0 + 3.0 * swing + swing * swing)
            }
        }
    }

    /// The part of this piece's time, first and last moment, in which `part` reaches above the floor and below
    /// [`BODY_TOP_M`]; `None` when it never does.
    pub fn low_s(&self, part: &Part) -> Option<(f32, f32)> {
        let reaches = part.bottom_m < BODY_TOP_M && part.top_m > 0.0;
        match self.law {
            Law::Still { grows_s: Some(grows_s), .. } => {
                // Its lower end is at bottom × t / grows: a high part is low for a while.
                let rises_s = grows_s * (BODY_TOP_M / part.bottom_m.max(BODY_TOP_M));
                let to_s = self.to_s.min(rises_s);
                (part.top_m > 0.0 && self.from_s <= to_s && to_s > 0.0).then_some((self.from_s, to_s))
            }
            Law::Swing { length_m, swing_rad, since_s, half_s, .. } => {
                let room_m = BODY_TOP_M - part.bottom_m;
                let down: f32 = 1.0 - room_m / length_m;
                if !reaches || down >= 1.0 {
                    return None;
                }
                // f = A cos(pi t / half) is within ±f_most as long as |cos| <= f_most / A.
                let most = libm::acosf(down.max(-1.0)) / libm::fabsf(swing_rad).max(f32::MIN_POSITIVE);
                let off_s = half_s * (libm::acosf(most.min(1.0)) / core::f32::consts::PI);
                let (from_s, to_s) = (self.from_s.max(since_s + off_s), self.to_s.min(since_s + half_s - off_s));
                (from_s <= to_s).then_some((from_s, to_s))
            }
            _ => reaches.then_some((self.from_s, self.to_s)),
        }
    }

    /// The angle of a half swing from hanging, radians, and how fast it changes.
    fn angle(&self, t_s: f32) -> (f32, f32) {
        let Law::Swing { swing_rad, since_s, half_s, .. } = self.law else { return (0.0, 0.0) };
        let rate = core::f32::consts::PI / half_s;
        let (sin, cos) = Angle::from_radians((t_s - since_s) * rate).sin_cos();
        (swing_rad * cos, -swing_rad * sin * rate)
    }
}
