//! Who meets what in the demo shows, against sums by hand.

use std::path::Path as FilePath;

use underfoot_core::geom::StagePoint;
use underfoot_core::props::{Level, Reach};
use underfoot_core::show::{Cue, CueProp, PersonClass, Show};
use underfoot_core::walk::{Apart, Meeting, Walker, Way, first_within, least_apart, least_gap, least_spare};
use underfoot_sim::project::load;

const BODY_M: f32 = 0.25;

fn demo(name: &str) -> Box<Show> {
    let path = FilePath::new(env!("CARGO_MANIFEST_DIR")).join("../host-sim/demos").join(format!("{name}.toml"));
    load(&path).expect("a demo that loads").show
}

/// The cue of this number in hundredths and the state in it of the prop of this name.
fn in_cue<'s>(show: &'s Show, number: u32, prop: &str) -> (&'s Cue, &'s CueProp) {
    let cue = show.cues.iter().find(|c| c.number == number).expect("the cue");
    let state = show.props_in(cue).iter().find(|s| show.props[s.prop.index()].name == prop).expect("the prop");
    (cue, state)
}

fn stands(x: f32, y: f32) -> Walker<'static> {
    Walker { way: Way::Stands(StagePoint::new(x, y)), body_m: BODY_M }
}

fn gap(show: &Show, number: u32, prop: &str, walker: &Walker<'_>, over: (f32, f32)) -> Meeting {
    let (cue, state) = in_cue(show, number, prop);
    least_gap(show, cue, state, walker, over).expect("footprints that can be used").expect("a meeting")
}

fn near(value: f32, expected: f32, within: f32) {
    assert!((value - expected).abs() <= within, "{value} is not {expected} ± {within}");
}

/// The bow is 1.8 m ahead of the boat's middle, the body's edge at -1.3 - 0.25 = -1.55: the middle is then at -3.35, after
/// 3.65 of 7.2 m. Half a cosine of 8 s: cos(pi t / 8) = 1 - 2 × 3.65 / 7.2, t = 4.035 s, and the speed is
/// pi / 2 × 0.9 × sin(pi t / 8) = 1.4136 m/s. The bow is open from 0.5 m on to its far side, and the body's middle is
/// 0.7 m from the boat's: it touches the far hull's stub, which ends the way at the same x.
#[test]
fn the_boat_reaches_whoever_stands_in_its_lane() {
    let show = demo("harbour-hour");
    let (cue, state) = in_cue(&show, 300, "BOAT");
    let touch = first_within(&show, cue, state, &stands(-1.3, -0.2), 0.0, (0.0, 8.0)).unwrap().expect("they touch");
    near(touch.at_s, 4.035, 0.002);
    near(touch.speed_mps, 1.4136, 0.001);
    // The walls are 0.05 m thick: the deepest is the middle between the heels on one, 0.25 m and up to half a wall.
    let worst = gap(&show, 300, "BOAT", &stands(-1.3, -0.2), (0.0, 8.0));
    assert!((-0.275..=-0.25).contains(&worst.gap_m) && worst.at_s > touch.at_s, "{worst:?}");
    // At 0.6 the far wall's outer face, -0.9 + 0.7, passes 0.8 m away, less the body 0.55; from when its bow is there on.
    let beside = gap(&show, 300, "BOAT", &stands(-1.3, 0.6), (0.0, 8.0));
    near(beside.gap_m, 0.55, 1e-4);
    let t = 8.0 / std::f32::consts::PI * (1.0f32 - 2.0 * 3.9 / 7.2).acos();
    near(beside.at_s, t, 0.06);
    assert_eq!(first_within(&show, cue, state, &stands(-1.3, 0.6), 0.5, (0.0, 8.0)).unwrap(), None);
    // 0.50 m beside what moves are kept, by 0.05 m less the survey's allowance.
    let class = &show.classes[0];
    let reach = Reach { body_m: BODY_M, ..Reach::of(&show, class, Level::Hard) };
    let spare = least_spare(&show, cue, state, &stands(-1.3, 0.6), &reach, (0.0, 8.0)).unwrap().expect("a meeting");
    near(spare.gap_m, 0.05 - show.survey_allowance_m, 1e-4);
}

/// From (1.8, -1.2) to (2.9, 0.4), 1.9416 m in 4 s: P2 at (2.3, -0.45) is 0.0129 m beside that line, 0.9013 m along it.
/// 0.0129 - 0.45 - 0.25 = -0.687 m, at 4 / pi × acos(1 - 2 × 0.9013 / 1.9416) = 1.909 s, at 0.7605 m/s. At its start
/// it is sqrt(0.5² + 0.75²) - 0.7 = 0.201 m away, at its end sqrt(0.6² + 0.85²) - 0.7 = 0.340 m.
#[test]
fn the_buoy_is_clear_at_both_ends_and_sweeps_through_p2() {
    let show = demo("harbour-hour");
    let p2 = stands(2.3, -0.45);
    let worst = gap(&show, 500, "BUOY", &p2, (0.0, 4.0));
    near(worst.gap_m, -0.687, 0.001);
    near(worst.at_s, 1.909, 0.01);
    near(worst.speed_mps, 0.7605, 0.005);
    assert_eq!((worst.place, worst.part), (StagePoint::new(2.3, -0.45), 0));
    near(gap(&show, 500, "BUOY", &p2, (0.0, 0.0)).gap_m, 0.201, 0.001);
    near(gap(&show, 500, "BUOY", &p2, (4.0, 60.0)).gap_m, 0.340, 0.001);
}

/// The bob of 0.18 m swings along y = -0.9 on 1.7 m by 25 degrees about x = 0.6, from its SL end. C at (0.75, -0.75) is
/// 0.15 m beside its way: 0.15 - 0.18 - 0.25 = -0.28 m, when 1.7 sin f = 0.15, f = 5.062 degrees, cos wt = 5.062 / 25,
/// t = 2.62 / 2 pi × acos(0.2025) = 0.570 s. C2 at (-1.10, -0.90) is 0.6 - 1.7 sin 25° + 1.1 - 0.43 = 0.5516 m from
/// its SR end, half a swing of 2.62 s after the start.
#[test]
fn the_pendulum_comes_through_c_and_stays_clear_of_c2() {
    let show = demo("clock-cabinet");
    let at_c = gap(&show, 400, "PENDULUM", &stands(0.75, -0.75), (0.0, f32::INFINITY));
    near(at_c.gap_m, -0.28, 0.001);
    near(at_c.at_s, 0.570, 0.012);
    let at_c2 = gap(&show, 400, "PENDULUM", &stands(-1.10, -0.90), (0.0, 600.0));
    near(at_c2.gap_m, 0.5516, 0.001);
    near(at_c2.at_s, 1.31, 0.03);
    near(at_c2.speed_mps, 0.0, 0.05);
}

/// GEAR hangs above 2.35 m and WHALE above 2.6 m: neither is ever met.
#[test]
fn what_is_overhead_is_not_met() {
    let show = demo("harbour-hour");
    let (cue, state) = in_cue(&show, 100, "WHALE");
    assert_eq!(least_gap(&show, cue, state, &stands(2.0, 0.0), (0.0, 20.0)), Ok(None));
}

/// Performer n of 24: no. 1 + i + 6 j at (-6.25 + 2.5 i, -7 + 2 j), then no. k + 1 at (5 + 4.5 sin 15k°, -4 + 4.5 cos 15k°).
fn performer(n: usize) -> [[f64; 2]; 2] {
    let (i, j, angle) = ((n - 1) % 6, (n - 1) / 6, (15.0 * (n as f64 - 1.0)).to_radians());
    [[-6.25 + 2.5 * i as f64, -7.0 + 2.0 * j as f64], [5.0 + 4.5 * angle.sin(), -4.0 + 4.5 * angle.cos()]]
}

/// Two who go evenly in the same 12 s differ by a vector that goes straight: its least length, and when.
fn closest(a: usize, b: usize) -> (f64, f64) {
    let (a, b) = (performer(a), performer(b));
    let [from, to] = [0, 1].map(|k| [a[k][0] - b[k][0], a[k][1] - b[k][1]]);
    let way = [to[0] - from[0], to[1] - from[1]];
    let share = (-(from[0] * way[0] + from[1] * way[1]) / (way[0] * way[0] + way[1] * way[1])).clamp(0.0, 1.0);
    ((from[0] + way[0] * share).hypot(from[1] + way[1] * share), 12.0 * share)
}

fn apart(a: usize, b: usize) -> Apart {
    let walker = |n: usize| {
        let [from, to] = performer(n).map(|p| StagePoint::new(p[0] as f32, p[1] as f32));
        Walker { way: Way::Evenly { from, to, over_s: 12.0 }, body_m: BODY_M }
    };
    least_apart(&walker(a), &walker(b), (0.0, 12.0))
}

/// Nos. 4 and 10 start at (1.25, -7) and (1.25, -5) and go to (8.18, -0.82) and (8.18, -7.18): they meet head on after
/// 2 / 8.364 of the 12 s, 2.869 s. Looking each 0.1 s one finds 0.02 m at 2.9 s.
#[test]
fn the_straight_change_of_formation_has_32_pairs_under_0_8_m() {
    let (mut close, mut worst) = (0, (9.0f32, 0, 0));
    for b in 2..=24 {
        for a in 1..b {
            let (found, (distance, at)) = (apart(a, b), closest(a, b));
            near(found.distance_m, distance as f32, 0.001);
            assert!((f64::from(found.at_s) - at).abs() < 0.1 || distance > 0.3, "{a} {b} {found:?} {at}");
            close += usize::from(found.distance_m < 0.8);
            if found.distance_m < worst.0 {
                worst = (found.distance_m, a, b);
            }
        }
    }
    assert_eq!((close, worst.1, worst.2), (32, 4, 10));
    near(apart(4, 10).distance_m, 0.0, 0.001);
    near(apart(4, 10).at_s, 2.869, 0.002);
}

/// Clearance needed ahead of what moves, 0.50 m and speed × (latency + 0.7 s). The reference figures are 0.93 m at
/// 0.5 m/s, 1.27 at 0.9 and 1.65 at 1.35: 0.425, 0.765 and 1.1475 more than 0.50 at 0.85 s, so they mean a latency of
/// 150 ms. With the 140 ms of an unmeasured floor they would be 0.92, 1.26 and 1.63.
#[test]
fn the_room_ahead_of_what_moves_is_that_of_the_reference_figures() {
    let name = underfoot_core::show::Name::try_from("guest").unwrap();
    let (height_m, eye_m) = (1.72, 1.6);
    let class = PersonClass { name, height_m, eye_m, radius_m: 0.25, walk_width_m: 0.9, pace_mps: 0.7, chair_m: None };
    for (latency_ms, figures) in [(150, [0.93, 1.27, 1.65]), (140, [0.92, 1.256, 1.634])] {
        let show = Show { latency_ms, ..Show::default() };
        let reach = Reach::of(&show, &class, Level::Hard);
        for (speed, needed) in [0.5, 0.9, 1.35].into_iter().zip(figures) {
            let lead = reach.lead(underfoot_core::geom::StageVector::new(speed, 0.0)).x;
            near(lead + underfoot_core::props::reach::MOVING_M, needed, 0.0051);
        }
    }
}
