//! Meetings beside an oracle that looks at every millisecond: random motions, shapes, heights and walks.

use underfoot_core::props::Reach;
use underfoot_core::show::Show;
use underfoot_core::walk::{Meeting, Walker, first_within, least_apart, least_gap, least_spare};
use underfoot_tests::dice::Dice;
use underfoot_tests::meeting_case::{BODY, spends, staged, to_core, way};
use underfoot_tests::meeting_oracle::cast::{Room, least_apart as stepped_apart};
use underfoot_tests::meeting_oracle::{Case, Least, length, sub};

const SPAN_S: (f64, f64) = (0.0, 14.0);

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
