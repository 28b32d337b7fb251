//! Planned ways against lengths that a ruler and a compass give.

use heapless::Vec;

use super::*;
use crate::geom::{Convex, Region, Ring, Rounded, StagePoint};
use crate::props::Limit;
use crate::show::{Edge, Entry, FloorOutline, LinePoint, Passage};
use crate::units::Angle;

const fn p(x: f32, y: f32) -> StagePoint {
    StagePoint::new(x, y)
}

/// A level floor, 40 m square.
fn field() -> Terrain<48> {
    let corners = [p(-20.0, -20.0), p(20.0, -20.0), p(20.0, 20.0), p(-20.0, 20.0)];
    Terrain::bare(&floor(&corners, Edge::Level), &[]).unwrap()
}

fn floor(corners: &[StagePoint], edge: Edge) -> FloorOutline {
    FloorOutline {
        vertices: Vec::from_slice(corners).unwrap(),
        edges: corners.iter().map(|_| edge).collect(),
        edge_band_m: 0.3,
        step_m: 0.0,
    }
}

fn disc(x: f32, y: f32, radius_m: f32) -> Region {
    Region::Rounded(Rounded::disc(p(x, y), radius_m).unwrap())
}

fn block(x: f32, y: f32, width_m: f32, depth_m: f32, turn_deg: f32) -> Region {
    let core = Convex::rectangle(p(x, y), width_m, depth_m, Angle::from_degrees(turn_deg)).unwrap();
    Region::Rounded(Rounded::new(core, 0.0).unwrap())
}

fn with(things: &[(Region, f32)]) -> Terrain<48> {
    let mut terrain = field();
    for (i, (footprint, growth_m)) in things.iter().enumerate() {
        terrain.push(Limit::Physical(i as u8), footprint, *growth_m).unwrap();
    }
    terrain
}

type Line = Vec<LinePoint, 64>;

fn plan(terrain: &Terrain<48>, stops: &[StagePoint]) -> Result<(f32, Line), WalkError> {
    let (mut work, mut line) = (std::boxed::Box::new(PlanWork::new()), Line::new());
    let route = shortest(terrain, stops, &mut work, &mut line)?;
    assert!((Path::new(&line).length_m() - route.length_m).abs() < 1e-4, "{} {line:?}", route.length_m);
    Ok((route.length_m, line))
}

fn length(terrain: &Terrain<48>, from: StagePoint, to: StagePoint) -> f32 {
    plan(terrain, &[from, to]).unwrap().0
}

#[test]
fn round_a_circle_and_a_square() {
    // Taut string: start and goal 2 m either side of the centre of a unit circle: 2 sqrt 3 + pi/3.
    let round = length(&with(&[(disc(0.0, 0.0, 0.6), 0.4)]), p(-2.0, 0.0), p(2.0, 0.0));
    assert!((round - 4.511_299).abs() < 1e-5, "{round}");
    // Round the block [1,3] x [-1,1]: 2 sqrt 2 + 2.
    let square = length(&with(&[(block(2.0, 0.0, 2.0, 2.0, 0.0), 0.0)]), p(0.0, 0.0), p(4.0, 0.0));
    assert!((square - 4.828_427).abs() < 2e-4, "{square}");
}

#[test]
fn nothing_in_the_way_and_no_way_at_all() {
    assert_eq!(length(&field(), p(-3.0, 4.0), p(0.0, 0.0)), 5.0);
    assert_eq!(length(&field(), p(1.0, 1.0), p(1.0, 1.0)), 0.0);
    let ring = Region::Ring(Ring::new(p(0.0, 0.0), 2.0, 2.5).unwrap());
    assert!(matches!(plan(&with(&[(ring, 0.4)]), &[p(0.0, 0.0), p(9.0, 0.0)]), Err(WalkError::NoWay(_))));
}

#[test]
fn between_two_circles_the_string_crosses() {
    // Equal discs, r = 1, centres (-3, 1) and (3, -1): the straight line from (-9, 0) to (9, 0) cuts neither more
    // than it touches both: a way of 18 m.
    let two = with(&[(disc(-3.0, 1.0, 0.5), 0.5), (disc(3.0, -1.0, 0.5), 0.5)]);
    assert!((length(&two, p(-9.0, 0.0), p(9.0, 0.0)) - 18.0).abs() < 1e-5);
    // Moved 1 m into the line each, it goes below the first and above the second: from (-9, 0) a tangent to (-3, 0),
    // an inner tangent of circles 6 m apart, and the same again. By symmetry twice
    // sqrt(36 - 1) + asin(1/6) + [asin(1/3)] ... the arc between the tangents' directions, + sqrt(9 - 1).
    let two = with(&[(disc(-3.0, 0.0, 0.5), 0.5), (disc(3.0, 0.0, 0.5), 0.5)]);
    let outer = (36.0_f32 - 1.0).sqrt() + (1.0_f32 / 6.0).asin() + 3.0;
    assert!((length(&two, p(-9.0, 0.0), p(9.0, 0.0)) - 2.0 * outer).abs() < 2e-5);
}

#[test]
fn a_ring_is_entered_through_its_gap() {
    let ring = Ring::new(p(0.0, 0.0), 3.6, 4.2).unwrap().with_gap(Angle::from_degrees(270.0), 1.8).unwrap();
    let terrain = with(&[(Region::Ring(ring), 0.4)]);
    let straight = length(&terrain, p(0.0, -6.0), p(0.0, 0.0));
    assert!((straight - 6.0).abs() < 1e-5, "{straight}");
    let (round, line) = plan(&terrain, &[p(0.0, 6.0), p(0.0, 0.0)]).unwrap();
    // Round the outer circle, r 4.6, into the gap: tangent sqrt(6² - 4.6²), then more than a quarter of the circle.
    assert!(round > 14.0 && round < 19.0, "{round} {line:?}");
}

#[test]
fn bands_have_entries_with_sharp_corners() {
    let corners = [p(-5.0, -4.0), p(5.0, -4.0), p(5.0, 4.0), p(-5.0, 4.0)];
    let entry = Entry { name: Default::default(), at: p(-5.0, 0.0), width_m: 1.0, passage: Passage::In };
    let terrain: Terrain<48> = Terrain::bare(&floor(&corners, Edge::Open), &[entry]).unwrap();
    // From the edge to (-4.7, 3): round the corner (-4.7, 0.5) of the entry.
    let (way, _) = plan(&terrain, &[p(-5.0, 0.0), p(-4.7, 3.0)]).unwrap();
    let expected = 0.3_f32.hypot(0.5) + 2.5;
    assert!((way - expected).abs() < 2e-4, "{way} {expected}");
    assert!(matches!(plan(&terrain, &[p(-4.7, 3.0), p(-5.0, 0.0)]), Err(WalkError::Stop { stop: 1, .. })));
    assert!(matches!(plan(&terrain, &[p(-5.0, 2.0), p(0.0, 0.0)]), Err(WalkError::Stop { stop: 0, .. })));
    assert!(matches!(plan(&terrain, &[p(-5.5, 0.0), p(0.0, 0.0)]), Err(WalkError::Stop { stop: 0, .. })));
}

#[test]
fn a_concave_floor_is_not_cut_short() {
    // An L: round its inner corner (1, 1), with and without a band.
    let ell = [p(0.0, 0.0), p(4.0, 0.0), p(4.0, 1.0), p(1.0, 1.0), p(1.0, 4.0), p(0.0, 4.0)];
    let level: Terrain<48> = Terrain::bare(&floor(&ell, Edge::Level), &[]).unwrap();
    let (way, _) = plan(&level, &[p(4.0, 1.0), p(1.0, 4.0)]).unwrap();
    assert!((way - 6.0).abs() < 2e-4, "{way}");
    let open: Terrain<48> = Terrain::bare(&floor(&ell, Edge::Open), &[]).unwrap();
    let (way, _) = plan(&open, &[p(3.0, 0.7), p(0.7, 3.0)]).unwrap();
    // Along the band to the corner's disc of 0.3 m, a quarter round it, along the band.
    assert!((way - (4.0 + 0.3 * core::f32::consts::FRAC_PI_2)).abs() < 1e-5, "{way}");
}
