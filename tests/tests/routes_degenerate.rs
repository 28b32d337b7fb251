//! Planning on stages that nobody means and everybody makes: things twice in one place, off the floor, tiny, huge; stops
//! on the edge of what is allowed. Judged by the independent search, and by what must not change the answer.

use underfoot_core::geom::StagePoint;
use underfoot_core::props::Limit;
use underfoot_core::show::{CueProp, LinePoint, PartShape, PhysicalKind, Run, Show, ShowFault, StepOver};
use underfoot_core::walk::{PlanWork, Store, Terrain, WalkError, shortest};
use underfoot_tests::dice::Dice;
use underfoot_tests::route_case::RouteCase;
use underfoot_tests::route_judge::{ROUNDING, judge};
use underfoot_tests::route_oracle::V;
use underfoot_tests::route_stage::push;

const CASES: usize = 80;

/// The length of a case's way; `None` for no way.
fn length(case: &RouteCase) -> Option<f64> {
    match case.planned() {
        Ok((route, _)) => Some(route.length_m.into()),
        Err(WalkError::NoWay(_)) => None,
        Err(error) => panic!("{error:?}"),
    }
}

/// Random cases and each of them changed have the same length, unless the polygons of the oracle disagree.
fn same_length(seed: u64, change: impl Fn(&mut Dice, &RouteCase) -> RouteCase) {
    let mut dice = Dice::new(seed);
    for i in 0..CASES {
        let case = RouteCase::random(&mut dice);
        let other = change(&mut dice, &case);
        let bounds = case.bounds();
        let decided = bounds.low.is_some() == bounds.high.is_some();
        let narrow = bounds.low.zip(bounds.high).is_some_and(|(low, high)| high > low * 1.001);
        match (length(&case), length(&other)) {
            (Some(a), Some(b)) => assert!((a - b).abs() < ROUNDING || narrow, "case {i}: {a} {b}"),
            (a, b) => assert!(a == b || !decided, "case {i}: {a:?} {b:?}"),
        }
    }
}

#[test]
fn the_way_back_is_as_long() {
    same_length(1, |_, case| {
        let [from, to] = case.stops;
        RouteCase::of(case.show.clone(), case.corridor_m, [to, from])
    });
}

#[test]
fn props_twice_in_one_place_change_nothing() {
    same_length(2, |_, case| {
        let mut show = case.show.clone();
        let states: Vec<CueProp> = show.cue_props.iter().copied().collect();
        states.into_iter().for_each(|state| push(&mut show.cue_props, state));
        show.cues[0].props.len *= 2;
        RouteCase::of(show, case.corridor_m, case.stops)
    });
}

#[test]
fn props_far_off_the_floor_change_nothing() {
    same_length(3, |dice, case| {
        let mut show = case.show.clone();
        let mut prop = show.props[dice.below(show.props.len())].clone();
        prop.at = StagePoint::new(dice.between(20.0, 190.0) as f32, dice.between(-190.0, 190.0) as f32);
        add(&mut show, prop);
        RouteCase::of(show, case.corridor_m, case.stops)
    });
}

/// A prop more, resting and live.
fn add(show: &mut Show, prop: underfoot_core::show::Prop) {
    let id = underfoot_core::show::PropId(show.props.len() as u8);
    push(&mut show.props, prop);
    let state = CueProp { prop: id, presence: underfoot_core::show::Presence::Live, coming_ms: 0, motion: None };
    push(&mut show.cue_props, state);
    show.cues[0].props = Run { first: 0, len: show.cue_props.len() as u16 };
}

#[test]
fn tiny_props_and_furniture_are_gone_round() {
    let mut dice = Dice::new(4);
    for i in 0..CASES {
        let mut case = RouteCase::random(&mut dice);
        let tiny = [1e-6, 1e-5, 1e-4, 1e-3][dice.below(4)];
        for part in &mut case.show.parts {
            if let PartShape::Disc { radius_m, .. } = &mut part.shape {
                *radius_m = tiny;
            }
        }
        for thing in case.show.physicals.iter_mut().filter(|thing| thing.kind != PhysicalKind::Riser) {
            (thing.width_m, thing.depth_m) = (tiny.max(1e-4), 1.0);
        }
        let case = RouteCase::of(case.show, case.corridor_m, case.stops);
        if is_stop_refused(&case) {
            continue;
        }
        assert!(judge(&case, case.bounds()).is_ok(), "case {i}: {:?}", judge(&case, case.bounds()));
    }
}

/// Furniture that grew may stand where a stop is.
fn is_stop_refused(case: &RouteCase) -> bool {
    case.stops.map(V::from).iter().any(|&p| case.plan.things.iter().any(|t| t.shape.gap(p, p) <= t.solid + 1e-4))
}

#[test]
fn stops_on_the_edge_of_the_room_have_ways() {
    let (mut dice, mut asked) = (Dice::new(5), 0);
    while asked < CASES {
        let case = RouteCase::random(&mut dice);
        let whole = underfoot_tests::route_oracle::plan(&case.walk());
        // From a stop straight towards a thing, as far as its room.
        let from = V::from(case.stops[0]);
        let Some(thing) = (!whole.things.is_empty()).then(|| &whole.things[dice.below(whole.things.len())]) else {
            continue;
        };
        let towards = thing.shape.ball().0;
        let (mut far, mut near) = (0.0, 1.0);
        let at = |t: f64| from + (towards - from) * t;
        for _ in 0..60 {
            let middle = (far + near) / 2.0;
            if thing.shape.gap(at(middle), at(middle)) > thing.room { far = middle } else { near = middle }
        }
        let p = at(far);
        if far == 0.0 || whole.stops(p, p, 1e-5) {
            continue;
        }
        asked += 1;
        let stop = StagePoint::new(p.x as f32, p.y as f32);
        let case = RouteCase::of(case.show, case.corridor_m, [stop, case.stops[1]]);
        assert!(judge(&case, case.bounds()).is_ok(), "{:?}: {:?}", case.stops, judge(&case, case.bounds()));
    }
}

#[test]
fn stops_inside_footprints_and_off_the_floor_are_refused_by_name() {
    let mut dice = Dice::new(6);
    let (mut inside, mut off) = (0, 0);
    for _ in 0..CASES {
        let case = RouteCase::random(&mut dice);
        let out = StagePoint::new(case.stops[0].x + 50.0, 0.0);
        let refused = RouteCase::of(case.show.clone(), case.corridor_m, [case.stops[0], out]).planned();
        let is_off =
            matches!(refused, Err(WalkError::Stop { stop: 1, limit: Limit::OffFloor, missing_m }) if missing_m > 30.0);
        assert!(is_off, "{refused:?}");
        off += 1;
        let mut show = case.show.clone();
        let mut prop = show.props[0].clone();
        prop.at = case.stops[1];
        prop.parts = Run { first: show.parts.len() as u16, len: 1 };
        let shape = PartShape::Disc { at: StagePoint::default(), radius_m: 150.0 };
        let part = underfoot_core::show::Part { shape, bottom_m: 0.0, top_m: 1.0, ..show.parts[0] };
        push(&mut show.parts, part);
        add(&mut show, prop);
        let refused = RouteCase::of(show, case.corridor_m, case.stops).planned();
        assert!(matches!(refused, Err(WalkError::Stop { limit: Limit::Part { .. }, .. })), "{refused:?}");
        inside += 1;
    }
    assert_eq!((inside, off), (CASES, CASES));
}

#[test]
fn more_things_than_there_is_room_for_are_refused_with_the_number() {
    let mut dice = Dice::new(7);
    let case = RouteCase::random(&mut dice);
    let show = &case.show;
    let full = Terrain::<2>::of(show, &show.cues[0], &show.classes[0], 0.0).map(|_| ());
    assert_eq!(full, Err(WalkError::Full { what: Store::Obstacles, capacity: 2 }));
    let (terrain, mut none) = (case.terrain().expect("a terrain"), heapless::Vec::<LinePoint, 1>::new());
    let few = shortest(&terrain, &case.stops[..1], &mut PlanWork::new(), &mut none);
    assert_eq!(few.map(|_| ()), Err(WalkError::TooFewStops));
    let full = shortest(&terrain, &case.stops, &mut PlanWork::new(), &mut none).map(|_| ());
    assert!(
        matches!(full, Err(WalkError::Full { what: Store::Points, capacity: 1 } | WalkError::NoWay(_))),
        "{full:?}"
    );
}

/// What is no number is refused at the show's door, whatever carries it.
#[test]
fn no_number_comes_in() {
    let mut dice = Dice::new(8);
    let show = RouteCase::random(&mut dice).show;
    let spoil: [fn(&mut Show); 4] = [
        |show| show.props[0].at.x = f32::NAN,
        |show| show.floor.vertices[1].y = f32::INFINITY,
        |show| show.entries[0].width_m = f32::NAN,
        |show| show.classes[0].radius_m = f32::NAN,
    ];
    for spoil in spoil {
        let mut spoilt = show.clone();
        spoil(&mut spoilt);
        assert_eq!(spoilt.validate().map_err(|error| error.fault), Err(ShowFault::NotFinite));
    }
    let out_of_numbers = StagePoint::new(f32::NAN, 0.0);
    let case = RouteCase::of(show, 0.0, [out_of_numbers, StagePoint::default()]);
    assert!(case.planned().is_err());
    assert_eq!(StepOver::default(), StepOver::Never);
}
