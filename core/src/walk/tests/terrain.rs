//! What is gone round in a show: raised sides, props, furniture; and the least room along given ways.

use heapless::Vec;

use super::route::{disc, floor, p, plan, with};
use crate::geom::StagePoint;
use crate::props::Limit;
use crate::show::{
    Cue, CueProp, Edge, LinePoint, Motion, MotionId, MotionKey, MotionKind, Part, PartShape, PersonClass, Physical,
    PhysicalKind, Presence, Prop, PropId, Run, Show, StepOver,
};
use crate::walk::*;

fn class(radius_m: f32, chair_m: Option<(f32, f32)>) -> PersonClass {
    PersonClass {
        name: Default::default(),
        height_m: 1.7,
        eye_m: 1.6,
        radius_m,
        walk_width_m: 0.9,
        pace_mps: 0.8,
        chair_m,
    }
}

fn thing(kind: PhysicalKind, centre: StagePoint, (width_m, depth_m): (f32, f32), height_m: f32) -> Physical {
    let (turn_deg, step_over) = (0.0, StepOver::Never);
    Physical { name: Default::default(), kind, centre, width_m, depth_m, turn_deg, height_m, step_over }
}

/// A riser 4 m x 2 m with a ramp 1 m wide in the middle of its left side, on a level floor of 20 m.
fn stage() -> Show {
    let mut show = Show::default();
    let corners = [p(-10.0, -10.0), p(10.0, -10.0), p(10.0, 10.0), p(-10.0, 10.0)];
    show.floor = floor(&corners, Edge::Level);
    show.physicals.push(thing(PhysicalKind::Riser, p(3.0, 0.0), (4.0, 2.0), 0.2)).unwrap();
    show.physicals.push(thing(PhysicalKind::Ramp { rises_deg: 0.0 }, p(-0.2, 0.0), (2.4, 1.0), 0.2)).unwrap();
    show
}

fn terrain(show: &Show, class: &PersonClass) -> Terrain<48> {
    Terrain::of(show, &Cue::default(), class, 0.5).unwrap()
}

#[test]
fn a_riser_is_reached_over_its_ramp() {
    let show = stage();
    let (way, _) = plan(&terrain(&show, &class(0.25, None)), &[p(-4.0, 0.0), p(3.0, 0.0)]).unwrap();
    assert!((way - 7.0).abs() < 1e-5, "{way}");
    // From beside the riser the ramp's sides are in the way until they are lower than 0.02 m: 0.24 m from its foot.
    let (way, line) = plan(&terrain(&show, &class(0.25, None)), &[p(0.5, 3.0), p(3.0, 0.0)]).unwrap();
    let corner = p(-1.4 + 0.24, 0.5);
    // Round the end of that side, 0.25 m from it, and round the corner of riser and ramp, which is (1, 0.5).
    let out = (corner.distance(p(0.5, 3.0)).powi(2) - 0.25_f32.powi(2)).sqrt();
    assert!(way > out + 2.16 && way < out + 2.16 + 4.0, "{way} {line:?}");
    // A chair 1.1 m wide does not fit the ramp of 1 m.
    let wide = plan(&terrain(&show, &class(0.25, Some((1.1, 1.2)))), &[p(-4.0, 0.0), p(3.0, 0.0)]);
    let Err(WalkError::NoWay(no_way)) = wide else { panic!("{wide:?}") };
    assert_eq!(no_way.between, [Limit::Physical(1); 2]);
    assert!((no_way.missing_m - 0.1).abs() < 1e-3, "{no_way:?}");
}

#[test]
fn some_sides_may_be_stepped_over() {
    let mut show = stage();
    let (feet, wheels) = (class(0.25, None), class(0.25, Some((0.7, 1.2))));
    let (top, beside) = (p(3.0, 0.0), p(3.0, 3.0));
    let way = |show: &Show, class: &PersonClass, stops: [StagePoint; 2]| plan(&terrain(show, class), &stops).unwrap().0;
    let round = way(&show, &feet, [top, beside]);
    assert!(round > 8.0 && (way(&show, &feet, [beside, top]) - round).abs() < 1e-4);
    show.physicals[0].step_over = StepOver::Down;
    assert_eq!(way(&show, &feet, [top, beside]), 3.0);
    assert!((way(&show, &feet, [beside, top]) - round).abs() < 1e-4);
    assert!(way(&show, &wheels, [top, beside]) > 8.0);
    show.physicals[0].step_over = StepOver::Both;
    assert_eq!(way(&show, &feet, [beside, top]), 3.0);
    assert!(way(&show, &wheels, [beside, top]) > 8.0);
    // A step unit at the upstage side opens as much of it.
    show.physicals[0].step_over = StepOver::Never;
    show.physicals.push(thing(PhysicalKind::Step, p(3.0, 1.15), (1.0, 0.3), 0.1)).unwrap();
    assert_eq!(way(&show, &feet, [beside, top]), 3.0);
    assert!(way(&show, &wheels, [beside, top]) > 8.0);
}

/// A prop, a disc of 0.5 m, at the origin; moving to (0, 3) when `moves`.
fn with_prop(moves: bool) -> (Show, Cue) {
    let mut show = stage();
    show.physicals.clear();
    let shape = PartShape::Disc { at: p(0.0, 0.0), radius_m: 0.5 };
    let layer = crate::show::Layer::Overlay;
    show.parts.push(Part { shape, bottom_m: 0.0, top_m: 1.0, layer, transparent: false }).unwrap();
    let parts = Run { first: 0, len: 1 };
    show.props.push(Prop { name: Default::default(), at: p(0.0, 0.0), turn_deg: 0.0, parts }).unwrap();
    for (at_s, y) in [(0.0, 0.0), (3.0, 3.0)] {
        show.motion_keys.push(MotionKey { at_s, place: p(0.0, y) }).unwrap();
    }
    let kind = MotionKind::Keys { keys: Run { first: 0, len: 2 }, ease: false };
    show.motions.push(Motion { prop: PropId(0), kind }).unwrap();
    let motion = moves.then_some(MotionId(0));
    show.cue_props.push(CueProp { prop: PropId(0), presence: Presence::Live, coming_ms: 0, motion }).unwrap();
    let cue = Cue { props: Run { first: 0, len: 1 }, ..Cue::default() };
    show.cues.push(cue.clone()).unwrap();
    (show, cue)
}

/// Round a disc of radius `r` at the origin from (-d, 0) to (d, 0): a taut string.
fn round(r: f32, d: f32) -> f32 {
    2.0 * (d * d - r * r).sqrt() + 2.0 * r * (r / d).asin()
}

#[test]
fn props_are_grown_by_clearance_corridor_and_travel() {
    let person = class(0.25, None);
    let (show, cue) = with_prop(false);
    let of = |corridor_m: f32| Terrain::<48>::of(&show, &cue, &person, corridor_m).unwrap();
    let stops = [p(-4.0, 0.0), p(4.0, 0.0)];
    // 0.25 m body and 0.15 m clearance; or half of a wide corridor.
    assert!((plan(&of(0.5), &stops).unwrap().0 - round(0.9, 4.0)).abs() < 1e-5);
    assert!((plan(&of(1.2), &stops).unwrap().0 - round(1.1, 4.0)).abs() < 1e-5);
    // Upstage of what it passes over, 0.25 + 0.50 m beside it, is farther than downstage.
    let (show, cue) = with_prop(true);
    let moving = Terrain::<48>::of(&show, &cue, &person, 0.5).unwrap();
    assert!((plan(&moving, &stops).unwrap().0 - round(1.25, 4.0)).abs() < 1e-5);
    // The same cue once more adds nothing.
    let mut twice = moving.clone();
    twice.add_cue(&show, &cue, &person, 0.5).unwrap();
    assert_eq!(twice.obstacles.len(), moving.obstacles.len());
}

#[test]
fn a_stop_near_a_thing_narrows_its_room_and_one_inside_is_refused() {
    let terrain = with(&[(disc(0.0, 0.0, 0.5), 0.4)]);
    // 0.1 m off the footprint: the way leaves round a disc of 0.6 m.
    let (way, _) = plan(&terrain, &[p(-0.6, 0.0), p(4.0, 0.0)]).unwrap();
    let expected = 0.6 * (core::f32::consts::FRAC_PI_2 + (0.6_f32 / 4.0).asin()) + (16.0_f32 - 0.36).sqrt();
    assert!((way - expected).abs() < 1e-4, "{way} {expected}");
    let inside = plan(&terrain, &[p(4.0, 0.0), p(0.3, 0.0)]);
    let Err(WalkError::Stop { stop: 1, limit: Limit::Physical(0), missing_m }) = inside else { panic!("{inside:?}") };
    assert!((missing_m - 0.2).abs() < 1e-6);
    // On the bare footprint itself one may stand: a guest on a sofa's front.
    let (way, _) = plan(&terrain, &[p(-0.5, 0.0), p(-4.0, 0.0)]).unwrap();
    assert!((way - 3.5).abs() < 1e-5);
}

#[test]
fn the_least_room_along_a_given_way() {
    let terrain = with(&[(disc(0.0, 0.0, 0.5), 0.4), (disc(0.0, 3.0, 0.1), 0.4)]);
    let check = |points: &[StagePoint]| {
        let points: Vec<LinePoint, 8> = points.iter().map(|&at| LinePoint::sharp(at)).collect();
        check(&terrain, &Path::new(&points)).unwrap()
    };
    let beside = check(&[p(-4.0, 1.5), p(4.0, 1.5)]);
    assert_eq!(beside.limit, Limit::Physical(0));
    assert!((beside.margin_m - 0.6).abs() < 1e-6);
    let through = check(&[p(-4.0, 0.2), p(4.0, 0.2)]);
    assert!((through.margin_m + 0.7).abs() < 1e-6, "{through:?}");
    let off = check(&[p(-4.0, 8.0), p(23.0, 8.0), p(-4.0, 8.0)]);
    assert_eq!(off.limit, Limit::OffFloor);
    assert!((off.margin_m + 3.0).abs() < 1e-5, "{off:?}");
}
