//! Planned ways beside an independent search: fine polygons round and in the keep-outs, a visibility graph over their
//! corners, and Dijkstra's search, in `f64` (see `tests/src/route_oracle`); and beside sums worked out by hand.

use heapless::Vec as Bounded;
use underfoot_core::geom::StagePoint;
use underfoot_core::show::{
    Cue, CueProp, Edge, Entry, Layer, LinePoint, Part, PartShape, Passage, PersonClass, Physical, PhysicalKind,
    Presence, Prop, PropId, Run, Show, StepOver,
};
use underfoot_core::walk::{Path, WalkError, check};
use underfoot_tests::dice::Dice;
use underfoot_tests::route_case::RouteCase;
use underfoot_tests::route_judge::{ROUNDING, SLACK, judge, walked};
use underfoot_tests::route_oracle::{V, v};
use underfoot_tests::route_stage::push;

#[test]
fn ways_are_the_shortest_and_keep_their_room() {
    const CASES: usize = 500;
    let mut dice = Dice::new(0x70E);
    let (mut ways, mut none, mut undecided, mut wide, mut faults) = (0, 0, 0, 0, Vec::new());
    for i in 0..CASES {
        let case = RouteCase::random(&mut dice);
        let bounds = case.bounds();
        match (bounds.low, bounds.high) {
            (Some(_), None) => undecided += 1,
            (Some(low), Some(high)) => wide += usize::from(high > low * 1.001),
            _ => {}
        }
        match judge(&case, bounds) {
            Ok(true) => ways += 1,
            Ok(false) => none += 1,
            Err(fault) => faults.push(format!("case {i}: {fault}")),
        }
    }
    println!("{ways} ways, {none} without; {undecided} where only one polygon closes, {wide} where bounds are wide");
    assert!(faults.is_empty(), "{} of {CASES}:\n{}", faults.len(), faults.join("\n"));
    assert!(ways > CASES / 2 && none > CASES / 20 && undecided + wide < CASES / 30);
}

/// A level floor of 12 x 8 m with a cue and somebody 0.25 m round.
fn bare_show(corners: &[(f32, f32)]) -> Box<Show> {
    let mut show = Box::new(Show::default());
    for &(x, y) in corners {
        push(&mut show.floor.vertices, StagePoint::new(x, y));
        push(&mut show.floor.edges, Edge::Level);
    }
    let class = PersonClass {
        name: Default::default(),
        height_m: 1.7,
        eye_m: 1.6,
        radius_m: 0.25,
        walk_width_m: 0.9,
        pace_mps: 0.8,
        chair_m: None,
    };
    push(&mut show.classes, class);
    push(&mut show.cues, Cue { number: 100, ..Cue::default() });
    show
}

fn add_prop(show: &mut Show, shape: PartShape, at: (f32, f32)) {
    let parts = Run { first: show.parts.len() as u16, len: 1 };
    push(&mut show.parts, Part { shape, bottom_m: 0.0, top_m: 1.0, layer: Layer::Overlay, transparent: false });
    let prop = PropId(show.props.len() as u8);
    push(&mut show.props, Prop { name: Default::default(), at: StagePoint::new(at.0, at.1), turn_deg: 0.0, parts });
    push(&mut show.cue_props, CueProp { prop, presence: Presence::Live, coming_ms: 0, motion: None });
    show.cues[0].props.len += 1;
}

fn case(show: Box<Show>, from: (f32, f32), to: (f32, f32)) -> RouteCase {
    RouteCase::of(show, 0.0, [from, to].map(|(x, y)| StagePoint::new(x, y)))
}

/// The length of a case is `due`, for the core and for the oracle.
fn is_as_long_as(case: &RouteCase, due: f64) {
    let bounds = case.bounds();
    assert!(bounds.low.is_some_and(|low| low <= due + 1e-9 && low > due * 0.9995), "{bounds:?} {due}");
    assert!(bounds.high.is_some_and(|high| high >= due - 1e-9 && high < due * 1.0005), "{bounds:?} {due}");
    let (route, points) = case.planned().expect("a way");
    let (told, most) = (f64::from(route.length_m), due + ROUNDING);
    assert!(told > due - 3e-5 && told < most, "{told} {due} {points:?}");
    assert_eq!(judge(case, bounds), Ok(true));
}

const FLOOR: [(f32, f32); 4] = [(-6.0, -4.0), (6.0, -4.0), (6.0, 4.0), (-6.0, 4.0)];

/// From 2 m before the middle of a keep-out 1 m round to 2 m behind it: two tangents of sqrt(3) and an arc of pi / 3.
#[test]
fn round_a_circle() {
    let mut show = bare_show(&FLOOR);
    add_prop(&mut show, PartShape::Disc { at: StagePoint::default(), radius_m: 0.6 }, (0.0, 0.0));
    let due = 2.0 * 3.0_f64.sqrt() + std::f64::consts::PI / 3.0;
    assert!((due - 4.511_299).abs() < 1e-6);
    is_as_long_as(&case(show, (-2.0, 0.0), (2.0, 0.0)), due);
}

/// Round the end of a notch 2 m wide whose end is 1 m farther upstage than both stops: sqrt(2) + 2 + sqrt(2).
#[test]
fn round_a_square() {
    let notch =
        [(-6.0, -4.0), (-1.0, -4.0), (-1.0, 1.0), (1.0, 1.0), (1.0, -4.0), (6.0, -4.0), (6.0, 4.0), (-6.0, 4.0)];
    let due = 2.0 + 8.0_f64.sqrt();
    assert!((due - 4.828_427).abs() < 1e-6);
    is_as_long_as(&case(bare_show(&notch), (-2.0, 0.0), (2.0, 0.0)), due);
}

/// A taut string round two discs, each a keep-out of 1 m, on opposite sides: from (-4, 0), over the first at (-2, -0.5)
/// and under the second at (2, 0.5), to (4, 0).
#[test]
fn a_string_between_two_circles() {
    let mut show = bare_show(&FLOOR);
    for at in [(-2.0, -0.5), (2.0, 0.5)] {
        add_prop(&mut show, PartShape::Disc { at: StagePoint::default(), radius_m: 0.6 }, at);
    }
    // End tangents: sqrt(2^2 + 0.5^2 - 1). Between: the inner tangent, sqrt(d^2 - 2^2) with d^2 = 17.
    let (end, inner) = ((4.25_f64 - 1.0).sqrt(), 13.0_f64.sqrt());
    // Its direction falls below the line of the centres by asin(2 / d); the first tangent rises by asin(1 / 2.0616)
    // above the line from the stop to the centre, which falls by atan(0.25).
    let centres = 0.25_f64.atan();
    let turn = (1.0 / 4.25_f64.sqrt()).asin() - centres + (2.0 / 17.0_f64.sqrt()).asin() - centres;
    is_as_long_as(&case(show, (-4.0, 0.0), (4.0, 0.0)), 2.0 * (end + turn) + inner);
}

/// Room to spare of any line, also of one that cuts corners, beside the oracle's least distance.
#[test]
fn the_least_room_of_drawn_lines_is_the_oracles() {
    let mut dice = Dice::new(0x70F);
    let (mut asked, mut short) = (0, 0);
    while asked < 150 {
        let case = RouteCase::random(&mut dice);
        let [from, to] = case.stops;
        let middle = StagePoint::new((from.x + to.y) / 2.0, (from.y + to.x) / 2.0);
        let bend_m = if dice.one_in(2) { 0.0 } else { 0.2 };
        let points = [LinePoint::sharp(from), LinePoint { at: middle, bend_m }, LinePoint::sharp(to)];
        let way = walked(&points);
        if way.overlap > 0.0 || way.length < 1e-3 {
            continue; // The corner is too round for its legs, or there are none.
        }
        let (on_floor, due) = (way.fault(&case.plan, SLACK).is_none(), way.spare(&case.plan));
        // What is inside a footprint is measured by how far it is in, which the oracle does not know.
        let bare = case.plan.things.iter().map(|t| t.room - t.solid).fold(f64::INFINITY, f64::min);
        if due < -bare + 0.01 || case.plan.things.is_empty() {
            continue;
        }
        asked += 1;
        short += usize::from(due < 0.0);
        let told = check(&case.terrain().expect("a terrain"), &Path::new(&points)).expect("something near");
        let told = f64::from(told.margin_m);
        // The floor's own end and bands may be nearer than any thing.
        assert!(told <= due + 1e-4, "{told} {due}");
        assert!(!on_floor || told >= -1e-4, "{told} on a line with room");
    }
    assert!(short > 20, "{short}");
}

#[test]
fn the_oracle_sees_what_is_wrong() {
    let mut show = bare_show(&FLOOR);
    add_prop(&mut show, PartShape::Disc { at: StagePoint::default(), radius_m: 0.6 }, (0.0, 0.0));
    let case = case(show, (-2.0, 0.0), (2.0, 0.0));
    let point = |x: f32, y: f32, bend_m: f32| LinePoint { at: StagePoint::new(x, y), bend_m };
    let over = |y: f32, bend_m: f32| walked(&[point(-2.0, 0.0, 0.0), point(0.0, y, bend_m), point(2.0, 0.0, 0.0)]);
    // The tangents meet 2 / sqrt(3) above the middle; an arc of 1 m round the middle touches both.
    let tangents = 2.0 / 3.0_f32.sqrt();
    assert_eq!(over(tangents, 1.0).fault(&case.plan, SLACK), None);
    assert!((over(tangents, 1.0).length - 4.511_299).abs() < 1e-5);
    assert!(over(tangents - 0.001, 1.0).fault(&case.plan, SLACK).is_some());
    assert!(over(tangents, 1.5).fault(&case.plan, SLACK).is_some());
    assert!(over(5.0, 0.0).fault(&case.plan, SLACK).is_some(), "off the floor");
    let mut none: Bounded<LinePoint, 1> = Bounded::new();
    push(&mut none, point(0.0, 0.0, 0.0));
    assert_eq!(walked(&none).length, 0.0);
}

/// Entries that people may only come in by or only go out by, from the definitions: never the other way.
#[test]
fn entries_are_crossed_their_way_only() {
    let show = |passage| {
        let mut show = bare_show(&FLOOR);
        show.floor.edges.fill(Edge::Open);
        show.floor.edge_band_m = 0.3;
        let at = StagePoint::new(0.0, -4.0);
        push(&mut show.entries, Entry { name: Default::default(), at, width_m: 1.0, passage });
        show
    };
    let ways = |passage| {
        let (inwards, outwards) = (((0.0, -4.0), (0.0, 0.0)), ((0.0, 0.0), (0.0, -4.0)));
        [inwards, outwards].map(|(from, to)| case(show(passage), from, to).planned().is_ok())
    };
    assert_eq!(ways(Passage::Both), [true, true]);
    assert_eq!(ways(Passage::In), [true, false]);
    assert_eq!(ways(Passage::Out), [false, true]);
    // Nobody steps over an open edge beside the entry.
    assert!(case(show(Passage::Both), (2.0, -4.0), (0.0, 0.0)).planned().is_err());
}

/// A platform of 2 x 2 m with a ramp of the same height at its stage right side: from beside it onto it leads only the
/// ramp, whose sides are walked round where they are more than 20 mm high: at 1 : 12 that begins 0.24 m up the ramp.
#[test]
fn onto_a_platform_leads_the_ramp() {
    let mut show = bare_show(&FLOOR);
    let thing = |kind, x: f32, width_m: f32| Physical {
        name: Default::default(),
        kind,
        centre: StagePoint::new(x, 0.0),
        width_m,
        depth_m: 2.0,
        turn_deg: 0.0,
        height_m: 0.2,
        step_over: StepOver::Never,
    };
    push(&mut show.physicals, thing(PhysicalKind::Riser, 1.0, 2.0));
    push(&mut show.physicals, thing(PhysicalKind::Ramp { rises_deg: 0.0 }, -1.2, 2.4));
    let up = case(show.clone(), (-2.0, -2.0), (1.0, 0.0));
    let (route, points) = up.planned().expect("a way");
    // Round the wall's end at (-2.16, -1), kept from by the body's 0.25 m: a tangent, an arc, and the way up.
    let (end, stop, goal) = (v(-2.16, -1.0), v(-2.0, -2.0), v(1.0, 0.0));
    let side = |p: V| (p.distance(end).powi(2) - 0.0625).sqrt();
    let turn = |p: V| (0.25 / p.distance(end)).acos();
    let between = (goal - end).angle() - (stop - end).angle();
    let arc = 0.25 * (std::f64::consts::TAU - between - turn(stop) - turn(goal));
    let due = side(stop) + arc + side(goal);
    assert!((f64::from(route.length_m) - due).abs() < 1e-3, "{} {due} {points:?}", route.length_m);
    // Without the ramp there is no way up; one way down where it may be stepped over.
    show.physicals.truncate(1);
    let of = |show: &Show, from, to| case(Box::new(show.clone()), from, to).planned().map(|(route, _)| route.length_m);
    assert!(matches!(of(&show, (-2.0, -2.0), (1.0, 0.0)), Err(WalkError::NoWay(_))));
    show.physicals[0].step_over = StepOver::Down;
    assert!(matches!(of(&show, (-2.0, -2.0), (1.0, 0.0)), Err(WalkError::NoWay(_))));
    assert!(of(&show, (1.0, 0.0), (-2.0, -2.0)).is_ok_and(|m| (m - 13.0_f32.sqrt()).abs() < 1e-4));
    show.classes[0].chair_m = Some((0.7, 1.2));
    assert!(matches!(of(&show, (1.0, 0.0), (-2.0, -2.0)), Err(WalkError::NoWay(_))), "on wheels");
}
