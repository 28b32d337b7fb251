//! Where a moving prop is at a moment of its cue.
//!
//! A motion starts with its cue. Keyed moves end and stay where they end; circles and pendulums go on for
//! ever; a prop that grows is whole when it has grown; what follows presence stands where the show rests it.

use heapless::Vec;

use super::Placement;
use crate::geom::{StagePoint, StageVector};
use crate::limits;
use crate::show::{Cue, CueProp, MotionKey, MotionKind, Presence, PropId, Show};
use crate::units::Angle;

/// A prop at one moment: its place and travel, how far it is lifted and how much of it has grown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moment {
    /// Its place, turn and velocity on the plan.
    pub placement: Placement,
    /// Added to the heights of all its parts, metres: a pendulum's bob rises as it swings out.
    pub lift_m: f32,
    /// What the heights of its parts are multiplied by, 0 to 1, before it is lifted.
    pub growth: f32,
}

impl Moment {
    /// A prop that stands still, whole and where its parts say.
    pub const fn still(placement: Placement) -> Self {
        Self { placement, lift_m: 0.0, growth: 1.0 }
    }

    /// Lower and upper end of something between `bottom_m` and `top_m` at this moment, metres.
    pub fn heights(&self, bottom_m: f32, top_m: f32) -> (f32, f32) {
        (bottom_m * self.growth + self.lift_m, top_m * self.growth + self.lift_m)
    }
}

/// The prop of `state` at `t_s` seconds after the start of `cue`; times before the start count as the start.
///
/// Without a motion of its own in this cue it is where [`Placement::after`] puts it. `None` for a prop that
/// the show does not have.
pub fn at(show: &Show, cue: &Cue, state: &CueProp, t_s: f32) -> Option<Moment> {
    let stays = Moment::still(Placement::after(show, cue, state.prop)?);
    let t_s = t_s.max(0.0);
    let Some(kind) = kind_of(show, state) else { return Some(stays) };
    Some(match kind {
        MotionKind::Keys { keys, ease } => on_keys(keys.of(&show.motion_keys), ease, t_s, stays),
        MotionKind::Circle { centre, radius_m, period_s, start_deg } => {
            let turn = turn_of(t_s, period_s) + Angle::from_degrees(start_deg).to_radians();
            let out = heading(turn);
            let velocity = out.perp() * (radius_m * core::f32::consts::TAU / period_s);
            moved(stays, centre + out * radius_m, velocity)
        }
        MotionKind::Pendulum { pivot, length_m, swing_deg, plane_deg, period_s, .. } => {
            let out = heading(Angle::from_degrees(plane_deg).to_radians());
            swung(stays, (pivot, out), length_m, (Angle::from_degrees(swing_deg), period_s), t_s)
        }
        MotionKind::Grow { seconds_s } => Moment { growth: (t_s / seconds_s).min(1.0), ..stays },
        MotionKind::Presence => Moment::still(Placement::resting(show.props.get(state.prop.index())?)),
    })
}

/// When the keyed move or the growth of `state` ends, seconds after the start of its cue; `None` for what
/// stands still or goes on for ever.
pub fn lasts_s(show: &Show, state: &CueProp) -> Option<f32> {
    match kind_of(show, state)? {
        MotionKind::Keys { keys, .. } => match keys.of(&show.motion_keys) {
            [first, .., last] if last.at_s > first.at_s => Some(last.at_s),
            _ => None,
        },
        MotionKind::Grow { seconds_s } => Some(seconds_s),
        _ => None,
    }
}

/// Seconds after which a circle or a pendulum is again where it was; `None` for anything else.
pub fn period_s(show: &Show, state: &CueProp) -> Option<f32> {
    match kind_of(show, state)? {
        MotionKind::Circle { period_s, .. } => Some(libm::fabsf(period_s)),
        MotionKind::Pendulum { period_s, .. } => Some(period_s),
        _ => None,
    }
}

/// True while nothing says that the prop of `state` stands still all through its cue.
pub fn moves(show: &Show, state: &CueProp) -> bool {
    let follows = matches!(kind_of(show, state), Some(MotionKind::Presence));
    follows || lasts_s(show, state).is_some() || period_s(show, state).is_some()
}

/// True when the prop of `state` goes through keys.
pub(super) fn is_keyed(show: &Show, state: &CueProp) -> bool {
    matches!(kind_of(show, state), Some(MotionKind::Keys { .. }))
}

/// When the prop of `state` comes into the picture, seconds after the start of its cue: 0 when it is live or
/// leaving, the end of its announcement when it is coming, `None` when it is announced for the whole cue.
pub fn appears_s(state: &CueProp) -> Option<f32> {
    match state.presence {
        Presence::Live | Presence::Leaving => Some(0.0),
        Presence::Coming if state.coming_ms == 0 => None,
        Presence::Coming => Some(state.coming_ms as f32 / 1000.0),
    }
}

/// Moments between the ends of motions that [`moments`] gives over all props of a cue.
const BETWEEN: usize = 24;
/// Moments nearer to each other than this are one, seconds.
const TOGETHER_S: f32 = 1e-3;

/// Calls `look` with the times at which a cue must be looked at, ascending, seconds after its start: the
/// start, the end of every move and of every announcement, and up to 24 in between when something moves,
/// shared evenly by all that moves: over its move, or over one period from when it comes into the picture.
pub fn moments(show: &Show, cue: &Cue, look: &mut impl FnMut(f32)) {
    let states = show.props_in(cue);
    let span_of = |s: &CueProp| lasts_s(show, s).or_else(|| period_s(show, s));
    let movers = states.iter().filter(|s| span_of(s).is_some()).count();
    let share = BETWEEN.checked_div(movers).unwrap_or(0);
    let mut times = Vec::<f32, { 2 * limits::PROPS + BETWEEN + 1 }>::new();
    let mut add = |t: f32| times.push(t).unwrap_or(());
    add(0.0);
    for state in states {
        appears_s(state).into_iter().chain(lasts_s(show, state)).for_each(&mut add);
        let span_s = span_of(state).unwrap_or(0.0);
        // What goes on for ever is looked at from when it comes into the picture.
        let from_s = period_s(show, state).and_then(|_| appears_s(state)).unwrap_or(0.0);
        // A period's end is its start again: it is left out, and the moments are as many.
        let steps = if lasts_s(show, state).is_some() { share + 1 } else { share };
        for i in 1..=share.min(steps.saturating_sub(1)) {
            add(from_s + span_s * (i as f32 / steps as f32));
        }
    }
    times.sort_unstable_by(f32::total_cmp);
    let mut last_s = f32::NEG_INFINITY;
    for &t in times.iter() {
        if t - last_s > TOGETHER_S {
            look(t);
            last_s = t;
        }
    }
}

pub(super) fn kind_of(show: &Show, state: &CueProp) -> Option<MotionKind> {
    show.motions.get(state.motion?.index()).map(|m| m.kind)
}

pub(super) fn heading(turn_rad: f32) -> StageVector {
    let (sin, cos) = Angle::from_radians(turn_rad).sin_cos();
    StageVector::new(cos, sin)
}

/// Radians of a steady turn after `t_s`, less than once round so that hours do not cost precision.
pub(super) fn turn_of(t_s: f32, period_s: f32) -> f32 {
    core::f32::consts::TAU * (libm::fmodf(t_s, period_s) / period_s)
}

fn moved(stays: Moment, at: StagePoint, velocity: StageVector) -> Moment {
    Moment { placement: Placement { at, velocity, ..stays.placement }, ..stays }
}

/// Place on a keyed move. Eased, the whole move runs on a clock that goes as half a cosine wave.
fn on_keys(keys: &[MotionKey], ease: bool, t_s: f32, stays: Moment) -> Moment {
    let (Some(first), Some(last)) = (keys.first(), keys.last()) else { return stays };
    let whole_s = last.at_s - first.at_s;
    if t_s <= first.at_s || whole_s <= 0.0 {
        return moved(stays, first.place, StageVector::default());
    }
    if t_s >= last.at_s {
        return moved(stays, last.place, StageVector::default());
    }
    let (clock_s, pace) = if ease { eased(t_s, first.at_s, whole_s) } else { (t_s, 1.0) };
    let around = keys.iter().zip(keys.iter().skip(1)).find(|(_, b)| b.at_s > clock_s);
    let Some((a, b)) = around else { return moved(stays, last.place, StageVector::default()) };
    let span_s = b.at_s - a.at_s;
    let way = b.place - a.place;
    let share = ((clock_s - a.at_s) / span_s).clamp(0.0, 1.0);
    moved(stays, a.place + way * share, way * (pace / span_s))
}

/// The clock of an eased move at `t_s`, and how fast it goes: half a cosine wave over `whole_s` seconds.
pub(super) fn eased(t_s: f32, first_s: f32, whole_s: f32) -> (f32, f32) {
    let (sin, cos) = Angle::from_radians((t_s - first_s) / whole_s * core::f32::consts::PI).sin_cos();
    (first_s + whole_s * (1.0 - cos) / 2.0, core::f32::consts::FRAC_PI_2 * sin)
}

/// Place of a bob that starts at the end of its swing.
fn swung(
    stays: Moment,
    (pivot, out): (StagePoint, StageVector),
    length_m: f32,
    (swing, period_s): (Angle, f32),
    t_s: f32,
) -> Moment {
    let (sin, cos) = Angle::from_radians(turn_of(t_s, period_s)).sin_cos();
    let rate = -swing.to_radians() * sin * core::f32::consts::TAU / period_s;
    let (off, down) = Angle::from_radians(swing.to_radians() * cos).sin_cos();
    let place = pivot + out * (length_m * off);
    Moment { lift_m: length_m * (1.0 - down), ..moved(stays, place, out * (length_m * down * rate)) }
}

/// True when a prop follows what presence reports in a cue: the plan does not know where it will be.
pub fn follows_presence(show: &Show, cue: &Cue, prop: PropId) -> bool {
    let states = show.props_in(cue).iter().filter(|state| state.prop == prop);
    let mut motions = states.filter_map(|state| state.motion).filter_map(|id| show.motions.get(id.index()));
    motions.any(|motion| motion.kind == MotionKind::Presence)
}
