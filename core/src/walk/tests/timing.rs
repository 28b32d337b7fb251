//! Times of walks, by hand.

use std::vec::Vec;

use crate::geom::StagePoint;
use crate::show::{LinePoint, Name, PersonClass, Physical, PhysicalKind, Show};
use crate::walk::{Path, Phase, Schedule, Timing};

const fn p(x: f32, y: f32) -> StagePoint {
    StagePoint::new(x, y)
}

fn sharp<const N: usize>(points: [(f32, f32); N]) -> [LinePoint; N] {
    points.map(|(x, y)| LinePoint::sharp(p(x, y)))
}

fn near(value: f32, expected: f32, within: f32) {
    assert!((value - expected).abs() <= within, "{value} is not {expected} ± {within}");
}

fn class(pace_mps: f32, chair_m: Option<(f32, f32)>) -> PersonClass {
    let name = Name::try_from("guest").unwrap();
    PersonClass { name, height_m: 1.7, eye_m: 1.6, radius_m: 0.25, walk_width_m: 0.9, pace_mps, chair_m }
}

fn phases(walk: &Schedule<'_>) -> Vec<Phase> {
    let mut list = Vec::new();
    walk.phases(&mut |phase| list.push(*phase));
    list
}

/// The way to a riser: sqrt(3.1² + 0.4²) + 2.1 + 3.0 + sqrt(1.1² + 0.1²) = 3.1257 + 2.1 + 3 + 1.1045 = 9.3302 m.
/// On wheels at 0.8 m/s: 11.663 s, two bends (of 82.6 and 90 degrees; the last is 5.2 only) 3 s, and 1.7 s: 16.363 s.
/// Guided at 0.6 m/s and without the turns: 15.550 + 1.7 = 17.250 s.
#[test]
fn the_way_to_a_riser_takes_as_long_as_the_plan_says() {
    let (points, show) = (sharp([(-5.0, 0.2), (-1.9, 0.6), (-1.9, 2.7), (1.1, 2.7), (2.2, 2.6)]), Show::default());
    let path = Path::new(&points);
    let wheels = Schedule::of(path, &show, Timing::of(&class(0.8, Some((0.7, 1.2)))));
    near(wheels.total_s(), 16.363, 0.001);
    near(wheels.arrives_s(), 15.663, 0.001);
    let guided = Schedule::of(path, &show, Timing::of(&class(0.6, None)));
    near(guided.total_s(), 17.250, 0.001);
    // In the window of 18 s: 9.3302 / (18 - 4.7).
    near(wheels.needed_pace(18.0).unwrap(), 0.7015, 1e-4);
    assert_eq!(wheels.needed_pace(4.7), None);
    // In the first bend the wheels stand from 1 + 3.1257 / 0.8 on, for 1.5 s.
    for t in [4.908, 5.5, 6.406] {
        assert!(wheels.place_at(t).at.distance(p(-1.9, 0.6)) < 1e-4, "{t}");
    }
    near(wheels.place_at(7.408).at.y, 1.4, 2e-3);
    near(wheels.place_at(0.9).at.x, -5.0, 0.0);
    near(wheels.place_at(99.0).at.x, 2.2, 1e-6);
}

/// 1.86 m in 3.5 s: 1.86 / (3.5 - 1.7) = 1.033 m/s; in 3.0 s it is 1.431. 15.69 m in 12 s: 1.523.
#[test]
fn needed_paces_are_length_by_what_is_left() {
    for (length_m, limit_s, pace_mps) in [(1.86, 3.5, 1.033), (1.86, 3.0, 1.431), (15.69, 12.0, 1.523)] {
        let (points, show) = (sharp([(0.0, 0.0), (length_m, 0.0)]), Show::default());
        let walk = Schedule::of(Path::new(&points), &show, Timing::of(&class(0.9, None)));
        near(walk.needed_pace(limit_s).unwrap(), pace_mps, 1e-3);
    }
}

/// A ramp of 2.4 m across 4 m of way, walked at half the pace of 0.8 m/s: 1.6 / 0.8 + 2.4 / 0.4 = 8 s.
#[test]
fn a_ramp_is_walked_at_its_share_of_the_pace() {
    let mut show = Show::default();
    let ramp = Physical {
        name: Name::try_from("RAMP").unwrap(),
        kind: PhysicalKind::Ramp { rises_deg: 0.0 },
        centre: p(0.0, 0.3),
        width_m: 2.4,
        depth_m: 1.0,
        turn_deg: 0.0,
        height_m: 0.2,
        step_over: crate::show::StepOver::Never,
    };
    show.physicals.push(ramp).unwrap();
    let points = sharp([(-2.0, 0.0), (2.0, 0.0)]);
    let timing = Timing { ramp_share: 0.5, ..Timing::of(&class(0.8, None)) };
    let walk = Schedule::of(Path::new(&points), &show, timing);
    near(walk.arrives_s(), 1.0 + 8.0, 1e-4);
    near(walk.place_at(2.0).at.x, -1.2, 1e-5);
    near(walk.place_at(5.0).at.x, 0.0, 1e-5);
    // On the level pace that is 6.4 m of way: 6.4 / (9.7 - 1.7).
    near(walk.needed_pace(9.7).unwrap(), 0.8, 1e-5);
    // An arc over the same ramp, from its near corner into it and out over its far side.
    let round =
        [LinePoint::sharp(p(-2.0, -1.0)), LinePoint { at: p(0.0, 1.5), bend_m: 1.0 }, LinePoint::sharp(p(2.0, -1.0))];
    let walk = Schedule::of(Path::new(&round), &show, timing);
    let on_ramp: f32 = (0..40_000)
        .map(|i| Path::new(&round).at(walk_length(&round) * (i as f32 + 0.5) / 40_000.0).at)
        .filter(|q| q.x.abs() <= 1.2 && (q.y - 0.3).abs() <= 0.5)
        .count() as f32;
    let ramp_m = walk_length(&round) * on_ramp / 40_000.0;
    near(walk.arrives_s(), 1.0 + (walk_length(&round) + ramp_m) / 0.8, 2e-3);
}

fn walk_length(points: &[LinePoint]) -> f32 {
    Path::new(points).length_m()
}

/// Phases follow one another without a gap, in time and in place, and the last has no end.
#[test]
fn phases_join() {
    let points = [
        LinePoint::sharp(p(-2.0, -1.0)),
        LinePoint { at: p(1.0, -1.0), bend_m: 0.4 },
        LinePoint::sharp(p(1.0, 2.0)),
        LinePoint::sharp(p(-1.0, 1.0)),
    ];
    let show = Show::default();
    let walk = Schedule::of(Path::new(&points), &show, Timing::of(&class(0.8, Some((0.7, 1.2)))));
    let list = phases(&walk);
    assert_eq!(list.len(), 9);
    for (a, b) in list.iter().zip(list.iter().skip(1)) {
        assert_eq!(a.to_s, b.from_s);
        assert!(a.place(a.to_s).distance(b.place(b.from_s)) < 1e-5, "{a:?} {b:?}");
        assert!(a.speed_mps() == 0.0 || (a.speed_mps() - 0.8).abs() < 1e-4, "{a:?}");
    }
    assert_eq!(list.last().unwrap().to_s, f32::INFINITY);
    near(list.last().unwrap().from_s, walk.arrives_s(), 1e-5);
}

/// A way without length is there at once, and an unused or absent one does no harm.
#[test]
fn a_way_without_length_takes_its_delays() {
    let show = Show::default();
    for points in [&sharp([(1.0, 1.0), (1.0, 1.0)])[..], &sharp([(1.0, 1.0)]), &[]] {
        let walk = Schedule::of(Path::new(points), &show, Timing::of(&class(0.7, None)));
        near(walk.total_s(), 1.7, 1e-6);
        assert_eq!(walk.place_at(5.0).at, points.first().map(|q| q.at).unwrap_or_default());
        assert_eq!(walk.needed_pace(2.0), Some(0.0));
    }
}
