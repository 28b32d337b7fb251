//! Motions against closed forms.

use std::vec::Vec;

use super::{near, p};
use crate::props::motion::{self, Moment};
use crate::show::{Cue, CueProp, Motion, MotionId, MotionKey, MotionKind, Presence, Prop, PropId, Run, Show};

const STATE: CueProp = CueProp { prop: PropId(0), presence: Presence::Live, coming_ms: 0, motion: Some(MotionId(0)) };

/// One prop at (0.6, -0.9), one cue in which it moves.
fn moving(kind: MotionKind, keys: &[(f32, f32)]) -> Show {
    let mut show = Show::default();
    let prop = Prop { name: Default::default(), at: p(0.6, -0.9), turn_deg: 15.0, parts: Run::default() };
    show.props.push(prop).unwrap();
    for &(at_s, x) in keys {
        show.motion_keys.push(MotionKey { at_s, place: p(x, -0.9) }).unwrap();
    }
    show.motions.push(Motion { prop: PropId(0), kind }).unwrap();
    show.cue_props.push(STATE).unwrap();
    show.cues.push(Cue { number: 100, props: Run { first: 0, len: 1 }, ..Cue::default() }).unwrap();
    show
}

fn keyed(ease: bool, keys: &[(f32, f32)]) -> Show {
    moving(MotionKind::Keys { keys: Run { first: 0, len: keys.len() as u16 }, ease }, keys)
}

fn at(show: &Show, t_s: f32) -> Moment {
    motion::at(show, &show.cues[0], &show.cue_props[0], t_s).unwrap()
}

fn times(show: &Show) -> Vec<f32> {
    let mut times = Vec::new();
    motion::moments(show, &show.cues[0], &mut |t| times.push(t));
    times
}

/// The boat: 7.2 m in 8 s, eased; its peak is π/2 times the mean, 1.41 m/s.
#[test]
fn an_eased_move_peaks_at_half_pi_times_its_mean_speed() {
    let show = keyed(true, &[(0.0, -7.0), (8.0, 0.2)]);
    let peak = at(&show, 4.0);
    near(peak.placement.at.x, -3.4, 1e-5);
    near(peak.placement.velocity.x, core::f32::consts::FRAC_PI_2 * 7.2 / 8.0, 1e-5);
    near(peak.placement.velocity.x, 1.41, 0.005);
    // A quarter through: (1 - cos 45°) / 2 of the way.
    near(at(&show, 2.0).placement.at.x, -7.0 + 7.2 * 0.146_447, 1e-4);
    for (t_s, x) in [(0.0, -7.0), (8.0, 0.2), (99.0, 0.2), (-1.0, -7.0), (f32::NAN, -7.0)] {
        let moment = at(&show, t_s);
        assert_eq!((moment.placement.at, moment.placement.velocity.length()), (p(x, -0.9), 0.0), "{t_s}");
    }
    assert_eq!((peak.lift_m, peak.growth), (0.0, 1.0));
    near(peak.placement.turn.to_degrees(), 15.0, 1e-5);
}

/// The speed is the slope of the place, by differences, on every kind of motion.
#[test]
fn velocity_is_the_slope_of_the_place() {
    let keys = &[(1.0, 0.0), (3.0, 4.0), (4.0, 1.0)];
    let circle = MotionKind::Circle { centre: p(1.0, 2.0), radius_m: 2.0, period_s: -20.0, start_deg: 30.0 };
    for show in [keyed(false, keys), keyed(true, keys), moving(circle, &[]), moving(pendulum(), &[])] {
        for i in 1..40 {
            let (t, step) = (0.103 * i as f32, 0.01);
            let slope = (at(&show, t + step).placement.at - at(&show, t - step).placement.at) * (0.5 / step);
            // Where two stretches meet within the step the slope is between theirs.
            let (before, after) = (at(&show, t - step).placement.velocity, at(&show, t + step).placement.velocity);
            let between = (before - after).length() + 2e-2;
            near((slope - at(&show, t).placement.velocity).length(), 0.0, between);
        }
    }
}

const fn pendulum() -> MotionKind {
    MotionKind::Pendulum {
        pivot: p(0.6, -0.9),
        pivot_m: 2.6,
        length_m: 1.7,
        swing_deg: 25.0,
        plane_deg: 0.0,
        period_s: 2.62,
    }
}

/// The plan of the clock cabinet: bob x -0.12 to 1.32, swept z 0.72 to 1.24 with a bob of 0.18 m about 0.9 m.
#[test]
fn a_pendulum_sweeps_what_the_plan_says() {
    let show = moving(pendulum(), &[]);
    let (start, hanging, end) = (at(&show, 0.0), at(&show, 2.62 / 4.0), at(&show, 2.62 / 2.0));
    near(start.placement.at.x, 1.32, 0.005);
    near(end.placement.at.x, -0.12, 0.005);
    near(hanging.placement.at.x, 0.6, 1e-5);
    near(hanging.heights(0.72, 1.08).0, 0.72, 1e-6);
    near(start.heights(0.72, 1.08).1, 1.24, 0.005);
    near(end.lift_m, 1.7 * (1.0 - 0.906_307_8), 1e-6);
    near(start.placement.velocity.length(), 0.0, 1e-6);
    // The greatest speed of a bob that swings as a cosine of time: length × swing × 2π / period.
    near(hanging.placement.velocity.length(), 1.7 * 0.436_332 * core::f32::consts::TAU / 2.62, 1e-4);
    assert_eq!(motion::period_s(&show, &STATE), Some(2.62));
    // An hour later it still swings, and not by the rounding of an hour.
    near(at(&show, 2.62 * 1374.0).placement.at.x, 1.32, 0.01);
}

/// The whale: 2 m about the middle in 20 s.
#[test]
fn a_circle_goes_round_counter_clockwise() {
    let circle = MotionKind::Circle { centre: p(0.0, 0.0), radius_m: 2.0, period_s: 20.0, start_deg: 0.0 };
    let show = moving(circle, &[]);
    for (t_s, x, y) in [(0.0, 2.0, 0.0), (5.0, 0.0, 2.0), (10.0, -2.0, 0.0), (15.0, 0.0, -2.0), (20.0, 2.0, 0.0)] {
        let moment = at(&show, t_s);
        near(moment.placement.at.distance(p(x, y)), 0.0, 1e-5);
        near(moment.placement.velocity.length(), 0.2 * core::f32::consts::PI, 1e-5);
        // Square to the radius, and to the left of it.
        near((moment.placement.at - p(0.0, 0.0)).cross(moment.placement.velocity), 0.4 * core::f32::consts::PI, 1e-5);
    }
    assert_eq!((motion::lasts_s(&show, &STATE), motion::period_s(&show, &STATE)), (None, Some(20.0)));
}

/// The tower: nothing to 9 m in 6 s.
#[test]
fn growing_scales_the_heights() {
    let show = moving(MotionKind::Grow { seconds_s: 6.0 }, &[]);
    for (t_s, high_m) in [(0.0, 0.0), (2.0, 3.0), (6.0, 9.0), (60.0, 9.0)] {
        near(at(&show, t_s).heights(0.0, 9.0).1, high_m, 1e-5);
        assert_eq!(at(&show, t_s).placement.at, p(0.6, -0.9));
    }
    assert_eq!(motion::lasts_s(&show, &STATE), Some(6.0));
}

#[test]
fn a_cue_is_looked_at_at_its_ends_and_in_between() {
    // One move alone has all 24 moments between its ends.
    let alone = times(&keyed(true, &[(0.0, -7.0), (8.0, 0.2)]));
    assert_eq!(alone.len(), 26);
    assert_eq!((alone[0], alone[25]), (0.0, 8.0));
    near(alone[1], 0.32, 1e-6);
    // A round is looked at from its start, and its end is the start again.
    let round = times(&moving(pendulum(), &[]));
    assert_eq!(round.len(), 24);
    near(round[1], 2.62 / 24.0, 1e-6);
    // What holds a key, or stands, has one moment.
    assert_eq!(times(&keyed(false, &[(0.0, 0.2)])), [0.0]);
    // Two that move share them; an announcement's end is one more.
    let mut two = keyed(true, &[(0.0, -7.0), (8.0, 0.2)]);
    two.motions.push(Motion { prop: PropId(0), kind: pendulum() }).unwrap();
    let second = CueProp { presence: Presence::Coming, coming_ms: 5000, motion: Some(MotionId(1)), ..STATE };
    two.cue_props.push(second).unwrap();
    two.cues[0].props.len = 2;
    let shared = times(&two);
    assert_eq!(shared.len(), 1 + 12 + 1 + 11 + 1);
    assert!(shared.windows(2).all(|w| w[0] < w[1]) && shared.contains(&5.0), "{shared:?}");
    // What swings is looked at while it is in the picture, not before.
    assert_eq!(shared.iter().filter(|&&t| t > 5.0 && t < 5.0 + 2.62 && t != 8.0).count(), 11 + 4, "{shared:?}");
}
