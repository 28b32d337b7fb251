//! Meetings beside an oracle that looks at every millisecond: random motions, shapes, heights and walks.

use underfoot_core::geom::StagePoint;
use underfoot_core::props::Reach;
use underfoot_core::show::{Cue, CueProp, Layer, LinePoint, Motion, MotionId, MotionKey, MotionKind, Part, PartShape};
use underfoot_core::show::{Presence, Prop, PropId, Run, Show};
use underfoot_core::walk::{
    Meeting, Path, Schedule, Timing, Walker, Way, first_within, least_apart, least_gap, least_spare,
};
use underfoot_tests::dice::Dice;
use underfoot_tests::meeting_oracle::cast::{Room, least_apart as stepped_apart};
use underfoot_tests::meeting_oracle::{Case, Least, Move, P, Shape, Walk, length, sub};

const SPAN_S: (f64, f64) = (0.0, 14.0);
const BODY: f64 = 0.25;

fn to_core(p: P) -> StagePoint {
    StagePoint::new(p[0] as f32, p[1] as f32)
}

/// A number that `f32` holds exactly, so that both sides see the same one.
fn exact(dice: &mut Dice, low: f64, high: f64) -> f64 {
    f64::from(dice.between(low, high) as f32)
}

fn spot(dice: &mut Dice, reach: f64) -> P {
    [exact(dice, -reach, reach), exact(dice, -reach, reach)]
}

fn run(first: usize, len: usize) -> Run {
    Run { first: first as u16, len: len as u16 }
}

/// A random motion, put into `show` and given to the oracle.
fn motion(dice: &mut Dice, show: &mut Show, rest: P) -> Move {
    let (kind, motion) = match dice.below(6) {
        0 => return Move::Still(rest),
        1 | 2 => {
            let (mut t, mut keys) = (exact(dice, 0.0, 2.0), Vec::new());
            for _ in 0..2 + dice.below(3) {
                // Now and then it waits at a key.
                let place = match keys.last() {
                    Some(&(_, last)) if dice.one_in(6) => last,
                    _ => spot(dice, 3.0),
                };
                keys.push((t, place));
                t += exact(dice, 0.8, 4.0);
                t = f64::from(t as f32);
            }
            for &(t, place) in &keys {
                show.motion_keys.push(MotionKey { at_s: t as f32, place: to_core(place) }).expect("room");
            }
            let ease = dice.one_in(2);
            (MotionKind::Keys { keys: run(0, keys.len()), ease }, Move::Keys(keys, ease))
        }
        3 => {
            let (centre, radius) = (spot(dice, 1.0), exact(dice, 0.3, 2.5));
            let period = exact(dice, 3.0, 20.0) * if dice.one_in(2) { 1.0 } else { -1.0 };
            let start_deg = dice.between(-180.0, 180.0) as f32;
            let kind = MotionKind::Circle {
                centre: to_core(centre),
                radius_m: radius as f32,
                period_s: period as f32,
                start_deg,
            };
            (kind, Move::Circle(centre, radius, period, f64::from(start_deg).to_radians()))
        }
        4 => {
            let (pivot, long, period) = (spot(dice, 1.5), exact(dice, 0.8, 3.0), exact(dice, 1.8, 6.0));
            let (swing_deg, plane_deg) = (dice.between(5.0, 85.0) as f32, dice.between(-180.0, 180.0) as f32);
            let kind = MotionKind::Pendulum {
                pivot: to_core(pivot),
                pivot_m: 3.0,
                length_m: long as f32,
                swing_deg,
                plane_deg,
                period_s: period as f32,
            };
            let [swing, plane] = [swing_deg, plane_deg].map(|deg| f64::from(deg).to_radians());
            (kind, Move::Pendulum(pivot, long, swing, plane, period))
        }
        _ => {
            let seconds = exact(dice, 1.0, 9.0);
            (MotionKind::Grow { seconds_s: seconds as f32 }, Move::Grow(rest, seconds))
        }
    };
    show.motions.push(Motion { prop: PropId(0), kind }).expect("room");
    motion
}

/// A random shape without turn, for both sides.
fn shape(dice: &mut Dice, show: &mut Show) -> (PartShape, Shape) {
    let at = spot(dice, 0.5);
    match dice.below(3) {
        0 => {
            let radius = exact(dice, 0.1, 0.9);
            (PartShape::Disc { at: to_core(at), radius_m: radius as f32 }, Shape::Disc(at, radius))
        }
        1 => {
            let inner = exact(dice, 0.4, 1.6);
            let outer = f64::from((inner + dice.between(0.1, 0.5)) as f32);
            let gap_deg = dice.between(-180.0, 180.0) as f32;
            let gap = if dice.one_in(3) { 0.0 } else { exact(dice, 0.1, outer) };
            let core = PartShape::Ring {
                at: to_core(at),
                inner_m: inner as f32,
                outer_m: outer as f32,
                gap_deg,
                gap_m: gap as f32,
            };
            (core, Shape::Ring(at, inner, outer, f64::from(gap_deg).to_radians(), gap))
        }
        _ => {
            // Corners on an ellipse, in order: convex.
            let count = 3 + dice.below(13);
            let (wide, deep, tilt) = (dice.between(0.2, 1.5), dice.between(0.2, 1.0), dice.between(0.0, 6.0));
            let corners: Vec<P> = (0..count)
                .map(|i| {
                    let angle = std::f64::consts::TAU * (i as f64 + dice.between(0.0, 0.6)) / count as f64;
                    let (x, y) = (wide * angle.cos(), deep * angle.sin());
                    let (sin, cos) = tilt.sin_cos();
                    [at[0] + x * cos - y * sin, at[1] + x * sin + y * cos].map(|c| f64::from(c as f32))
                })
                .collect();
            let first = show.part_vertices.len();
            for &corner in &corners {
                show.part_vertices.push(to_core(corner)).expect("room");
            }
            (PartShape::Polygon(run(first, count)), Shape::Polygon(corners))
        }
    }
}

/// How a person spends the cue, for both sides; the points of a path are the caller's.
enum Spends {
    Stands(P),
    Evenly(P, P, f64),
    Along(Vec<LinePoint>, Timing),
}

fn spends(dice: &mut Dice) -> (Spends, Walk) {
    match dice.below(3) {
        0 => {
            let at = spot(dice, 2.5);
            (Spends::Stands(at), Walk::stands(at))
        }
        1 => {
            let (from, to, over) = (spot(dice, 3.5), spot(dice, 3.5), exact(dice, 2.0, 14.0));
            (Spends::Evenly(from, to, over), Walk::evenly(from, to, over))
        }
        _ => {
            let mut corners: Vec<(P, f64)> = vec![(spot(dice, 3.5), 0.0)];
            while corners.len() < 2 + dice.below(4) {
                let last = corners[corners.len() - 1].0;
                let next = spot(dice, 3.5);
                // Legs of 1.6 m leave room for arcs of 0.3 m in turns up to 130 degrees.
                if length(sub(next, last)) > 1.6 {
                    corners.push((next, if dice.one_in(3) { 0.0 } else { exact(dice, 0.05, 0.3) }));
                }
            }
            let count = corners.len();
            if count < 2 {
                return spends(dice);
            }
            corners[count - 1].1 = 0.0;
            for i in 1..count - 1 {
                let (u, v) = (sub(corners[i].0, corners[i - 1].0), sub(corners[i + 1].0, corners[i].0));
                let cos = (u[0] * v[0] + u[1] * v[1]) / length(u) / length(v);
                let angle = cos.acos().to_degrees();
                // Where it nearly turns back, or hardly at all, or the bend's size is in doubt, the corner is sharp.
                if !(1.0..=130.0).contains(&angle) {
                    corners[i].1 = 0.0;
                }
                if (angle - 30.0).abs() < 0.5 {
                    return spends(dice);
                }
            }
            let turn = if dice.one_in(2) { 0.0 } else { 1.5 };
            let (start, pace) = (exact(dice, 0.0, 2.0), exact(dice, 0.5, 1.3));
            let timing = Timing {
                start_s: start as f32,
                pace_mps: pace as f32,
                turn_s: turn as f32,
                turn_from_deg: 30.0,
                ramp_share: 1.0,
                settle_s: 0.7,
                extra_s: 0.0,
            };
            let walk = Walk::along(&corners, start, pace, turn, 30.0);
            let points = corners.iter().map(|&(p, r)| LinePoint { at: to_core(p), bend_m: r as f32 }).collect();
            (Spends::Along(points, timing), walk)
        }
    }
}

fn way<'p>(spends: &'p Spends, show: &'p Show) -> Way<'p> {
    match spends {
        Spends::Stands(at) => Way::Stands(to_core(*at)),
        Spends::Evenly(from, to, over) => Way::Evenly { from: to_core(*from), to: to_core(*to), over_s: *over as f32 },
        Spends::Along(points, timing) => Way::Along(Schedule::of(Path::new(points), show, *timing)),
    }
}

/// A show with one prop of one to three parts, one motion and one cue, and the same for the oracle.
fn staged(dice: &mut Dice) -> (Show, Case, Spends) {
    let mut show = Show::default();
    let rest = spot(dice, 2.0);
    let motion = motion(dice, &mut show, rest);
    let mut parts = Vec::new();
    for _ in 0..1 + dice.below(3) {
        let (core, shape) = shape(dice, &mut show);
        // Mostly low, sometimes so high that it counts for a while or never.
        let bottom = if dice.one_in(3) { exact(dice, 1.2, 2.6) } else { exact(dice, 0.0, 0.8) };
        let top = f64::from((bottom + dice.between(0.1, 1.5)) as f32);
        let heights = (bottom as f32, top as f32);
        let part =
            Part { shape: core, bottom_m: heights.0, top_m: heights.1, layer: Layer::Overlay, transparent: false };
        show.parts.push(part).expect("room");
        parts.push((shape, bottom, top));
    }
    let prop = Prop { name: Default::default(), at: to_core(rest), turn_deg: 0.0, parts: run(0, parts.len()) };
    show.props.push(prop).expect("room");
    let moves = (!show.motions.is_empty()).then_some(MotionId(0));
    let state = CueProp { prop: PropId(0), presence: Presence::Live, coming_ms: 0, motion: moves };
    show.cue_props.push(state).expect("room");
    show.cues.push(Cue { number: 100, props: run(0, 1), ..Cue::default() }).expect("room");
    let (spends, walk) = spends(dice);
    (show, Case { parts, motion, walk, body: BODY }, spends)
}

/// Holds the core's meeting against the stepped least.
fn holds(case: &Case, seed: u64, found: Option<Meeting>, stepped: Option<Least>, room: Option<Room>) {
    let (Some(found), Some(stepped)) = (found, stepped) else {
        // A part that is low for less than a step is the core's alone.
        assert!(stepped.is_none(), "{seed}: {found:?} {stepped:?}");
        return;
    };
    let (gap, at) = (f64::from(found.gap_m), f64::from(found.at_s));
    assert!(gap <= stepped.value + 0.001, "{seed}: too far {found:?} {stepped:?}");
    assert!(gap >= stepped.value - 0.005, "{seed}: too near {found:?} {stepped:?}");
    // At a key the speed jumps, and differences across it mean nothing: a step to either side counts as well.
    let mut beside = [at - 1e-3, at, at + 1e-3].into_iter().filter_map(|t| case.gap(t, room));
    let as_low = beside.any(|value| (value - stepped.value).abs() <= 0.005);
    assert!((at - stepped.at).abs() <= 0.020 || as_low, "{seed}: {found:?} {stepped:?}");
    let place = case.walk.place(at);
    assert!(length(sub(place, [f64::from(found.place.x), f64::from(found.place.y)])) < 0.002, "{seed}: {found:?}");
    let speeds = [at - 2e-3, at, at + 2e-3].map(|t| case.motion.speed(t));
    let (low, high) = (speeds.iter().fold(9e9, |a: f64, &b| a.min(b)), speeds.iter().fold(0.0, |a: f64, &b| a.max(b)));
    let speed = f64::from(found.speed_mps);
    assert!(speed >= low - 0.02 && speed <= high + 0.02, "{seed}: {found:?} {speeds:?}");
}

/// Holds the first touch against the first millisecond in which prop and body overlap.
fn touches(case: &Case, seed: u64, found: Option<Meeting>) {
    let steps = (SPAN_S.1 * 1000.0) as usize;
    let stepped = (0..=steps).map(|i| i as f64 / 1000.0).find(|&t| case.gap(t, None).is_some_and(|gap| gap <= 0.0));
    match (found, stepped) {
        (None, None) => {}
        // Less than a few millimetres deep, or for less than a step, is the core's alone.
        (Some(found), None) => assert!(case.least(SPAN_S, None).is_some_and(|l| l.value < 0.003), "{seed}: {found:?}"),
        (None, Some(t)) => panic!("{seed}: touches at {t}"),
        (Some(found), Some(t)) => {
            let at = f64::from(found.at_s);
            // It may graze before it overlaps.
            let grazes = case.gap(at, None).is_some_and(|gap| gap < 0.003);
            assert!(at <= t + 1e-3 && (at >= t - 2e-3 || grazes), "{seed}: {found:?} {t}");
        }
    }
}

#[test]
fn the_least_gap_and_the_least_room_are_those_of_every_millisecond() {
    let span = (SPAN_S.0 as f32, SPAN_S.1 as f32);
    let reach = Reach { body_m: BODY as f32, still_m: 0.15, allowance_m: 0.004, lead_s: 0.84 };
    let room: Room = (0.84, 0.504, 0.154);
    let mut met = 0;
    for seed in 0..300 {
        let (show, case, spends) = staged(&mut Dice::new(seed));
        let (cue, state) = (&show.cues[0], &show.cue_props[0]);
        let walker = Walker { way: way(&spends, &show), body_m: BODY as f32 };
        let gap = least_gap(&show, cue, state, &walker, span).expect("shapes that can be used");
        holds(&case, seed, gap, case.least(SPAN_S, None), None);
        let spare = least_spare(&show, cue, state, &walker, &reach, span).expect("shapes that can be used");
        holds(&case, seed, spare, case.least(SPAN_S, Some(room)), Some(room));
        let touch = first_within(&show, cue, state, &walker, 0.0, span).expect("shapes that can be used");
        touches(&case, seed, touch);
        met += usize::from(gap.is_some_and(|m| m.gap_m < 0.0));
    }
    assert!(met > 60, "{met} of the random cases overlap");
}

#[test]
fn two_people_are_as_far_apart_as_every_millisecond_says() {
    let show = Show::default();
    for seed in 1000..1400 {
        let mut dice = Dice::new(seed);
        let ((a, walk_a), (b, walk_b)) = (spends(&mut dice), spends(&mut dice));
        let walkers = [&a, &b].map(|s| Walker { way: way(s, &show), body_m: BODY as f32 });
        let found = least_apart(&walkers[0], &walkers[1], (0.0, 20.0));
        let stepped = stepped_apart(&walk_a, &walk_b, (0.0, 20.0));
        let gap = f64::from(found.distance_m);
        assert!(gap <= stepped.value + 0.001 && gap >= stepped.value - 0.005, "{seed}: {found:?} {stepped:?}");
        let at = f64::from(found.at_s);
        let then = length(sub(walk_a.place(at), walk_b.place(at)));
        assert!((at - stepped.at).abs() <= 0.020 || (then - stepped.value).abs() <= 0.005, "{seed}: {found:?}");
        assert!(found.a_at.distance(to_core(walk_a.place(at))) < 0.002, "{seed}: {found:?}");
        assert!(found.b_at.distance(to_core(walk_b.place(at))) < 0.002, "{seed}: {found:?}");
    }
}
