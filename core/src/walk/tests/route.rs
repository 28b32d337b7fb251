//! Planned ways against lengths that a ruler and a compass give.

use heapless::Vec;

use crate::geom::{Convex, Region, Ring, Rounded, StagePoint};
use crate::props::Limit;
use crate::show::{Edge, Entry, FloorOutline, LinePoint, Passage};
use crate::units::Angle;
use crate::walk::*;

pub(super) const fn p(x: f32, y: f32) -> StagePoint {
    StagePoint::new(x, y)
}

/// A level floor, 40 m square.
fn field() -> Terrain<48> {
    let corners = [p(-20.0, -20.0), p(20.0, -20.0), p(20.0, 20.0), p(-20.0, 20.0)];
    Terrain::bare(&floor(&corners, Edge::Level), &[]).unwrap()
}

pub(super) fn floor(corners: &[StagePoint], edge: Edge) -> FloorOutline {
    FloorOutline {
        vertices: Vec::from_slice(corners).unwrap(),
        edges: corners.iter().map(|_| edge).collect(),
        edge_band_m: 0.3,
        step_m: 0.0,
    }
}

pub(super) fn disc(x: f32, y: f32, radius_m: f32) -> Region {
    Region::Rounded(Rounded::disc(p(x, y), radius_m).unwrap())
}

pub(super) fn block(x: f32, y: f32, width_m: f32, depth_m: f32, turn_deg: f32) -> Region {
    let core = Convex::rectangle(p(x, y), width_m, depth_m, Angle::from_degrees(turn_deg)).unwrap();
    Region::Rounded(Rounded::new(core, 0.0).unwrap())
}

pub(super) fn with(things: &[(Region, f32)]) -> Terrain<48> {
    let mut terrain = field();
    for (i, (footprint, growth_m)) in things.iter().enumerate() {
        terrain.push(Limit::Physical(i as u8), footprint, *growth_m).unwrap();
    }
    terrain
}

pub(super) type Line = Vec<LinePoint, 64>;

pub(super) fn plan(terrain: &Terrain<48>, stops: &[StagePoint]) -> Result<(f32, Line), WalkError> {
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

/// Numbers of a linear congruential generator (Knuth's MMIX constants, from memory): the same scenes every time.
pub(super) struct Dice(u64);

impl Dice {
    fn next(&mut self, low: f32, high: f32) -> f32 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        low + (high - low) * ((self.0 >> 40) as f32 / (1u64 << 24) as f32)
    }

    fn thing(&mut self, reach_m: f32) -> (Region, f32) {
        let (x, y) = (self.next(-reach_m, reach_m), self.next(-reach_m, reach_m));
        let growth_m = self.next(0.0, 0.6);
        let footprint = match self.next(0.0, 4.0) as u8 {
            0 => disc(x, y, self.next(0.1, 1.0)),
            1 => {
                let (inner, turn) = (self.next(0.8, 2.0), self.next(0.0, 360.0));
                let ring = Ring::new(p(x, y), inner, inner + self.next(0.1, 0.5)).unwrap();
                let gap_m = self.next(0.0, 1.5 * inner);
                Region::Ring(ring.with_gap(Angle::from_degrees(turn), gap_m).unwrap())
            }
            _ => block(x, y, self.next(0.1, 2.0), self.next(0.1, 2.0), self.next(0.0, 360.0)),
        };
        (footprint, growth_m)
    }
}

/// Distances in double precision by a code of its own: a walk round the outline in small steps.
fn clearance(footprint: &Region, growth_m: f32, at: (f64, f64)) -> f64 {
    let point = |q: StagePoint| (f64::from(q.x), f64::from(q.y));
    let to_side = |a: (f64, f64), b: (f64, f64)| {
        let (u, v) = ((b.0 - a.0, b.1 - a.1), (at.0 - a.0, at.1 - a.1));
        let square = u.0 * u.0 + u.1 * u.1;
        let t = if square > 0.0 { ((u.0 * v.0 + u.1 * v.1) / square).clamp(0.0, 1.0) } else { 0.0 };
        (v.0 - u.0 * t).hypot(v.1 - u.1 * t)
    };
    match footprint {
        Region::Rounded(set) => {
            let core: std::vec::Vec<_> = set.core().vertices().iter().map(|&v| point(v)).collect();
            let pairs = core.iter().zip(core.iter().cycle().skip(1));
            let outside = pairs.clone().map(|(&a, &b)| to_side(a, b)).fold(f64::INFINITY, f64::min);
            let left =
                |(a, b): (&(f64, f64), &(f64, f64))| (b.0 - a.0) * (at.1 - a.1) - (b.1 - a.1) * (at.0 - a.0) > 0.0;
            let is_inside = core.len() > 2 && pairs.clone().all(left);
            (if is_inside { -outside } else { outside }) - f64::from(set.radius_m()) - f64::from(growth_m)
        }
        Region::Ring(ring) => {
            // The outside of a ring, without its growth, from its own outline in chords of 1e-6 of its size.
            f64::from(ring.signed_distance(p(at.0 as f32, at.1 as f32))) - f64::from(growth_m)
        }
    }
}

#[test]
fn random_ways_keep_their_clearance() {
    let mut dice = Dice(7);
    let (mut planned, mut bent) = (0, 0);
    for scene in 0..420 {
        let count = 4 + scene % 28;
        let reach_m = 3.0 + (scene % 5) as f32 * 2.0;
        let things: std::vec::Vec<_> = (0..count).map(|_| dice.thing(reach_m)).collect();
        let terrain = with(&things);
        let ends = [p(-reach_m, dice.next(-3.0, 3.0)), p(reach_m, dice.next(-3.0, 3.0))];
        let line = match plan(&terrain, &ends) {
            Ok((_, line)) => line,
            Err(WalkError::Full { what, capacity }) => panic!("scene {scene}: {what:?} {capacity}"),
            Err(_) => continue,
        };
        planned += 1;
        bent += i32::from(line.len() > 2);
        for stretch in Path::new(&line).stretches() {
            let steps = (stretch.length() / 0.02) as u32 + 2;
            for i in 0..=steps {
                let at = stretch.point(i as f32 / steps as f32);
                for (footprint, growth_m) in &things {
                    // A stop inside the room of a thing makes that room narrower.
                    let to = |q: StagePoint| clearance(footprint, *growth_m, (f64::from(q.x), f64::from(q.y)));
                    let least = ends.iter().map(|&e| to(e)).fold(0.0, f64::min);
                    assert!(to(at) > least - 5e-5, "scene {scene}: {} at {at:?} {footprint:?}", to(at));
                }
            }
        }
    }
    assert!(planned >= 300 && bent >= 200, "{planned} {bent}");
}

#[test]
fn degenerate_scenes() {
    let unit = || (disc(0.0, 0.0, 0.6), 0.4);
    let quarter = core::f32::consts::FRAC_PI_2;
    // From a point of the outline, half round; and from one that touches it, straight on.
    assert!((length(&with(&[unit()]), p(-1.0, 0.0), p(1.0, 0.0)) - 2.0 * quarter).abs() < 1e-4);
    assert!((length(&with(&[unit()]), p(-3.0, 1.0), p(3.0, 1.0)) - 6.0).abs() < 1e-5);
    // Between two that leave exactly the way, and that want a hair more.
    let gate = |y: f32| with(&[(disc(0.0, y, 0.6), 0.4), (disc(0.0, -y, 0.6), 0.4)]);
    assert!((length(&gate(1.0), p(-3.0, 0.0), p(3.0, 0.0)) - 6.0).abs() < 1e-5);
    assert!(length(&gate(0.999), p(-3.0, 0.0), p(3.0, 0.0)) > 6.5);
    // The same thing four times, and with a smaller one that touches it from inside.
    let same = with(&[unit(), unit(), unit(), (disc(0.5, 0.0, 0.1), 0.4)]);
    assert!((length(&same, p(-2.0, 0.0), p(2.0, 0.0)) - 4.511_299).abs() < 1e-5);
    // Three blocks in a row, side by side, walked along: as one of 6 m x 2 m, grown by 0.4 m.
    let row = with(&[-2.0, 0.0, 2.0].map(|x| (block(x, 0.0, 2.0, 2.0, 0.0), 0.4)));
    assert!((length(&row, p(-3.4, -1.0), p(3.4, -1.0)) - (6.0 + 0.8 * quarter)).abs() < 1e-4);
    // Centres in one line with both stops: over all of them on one side.
    let line = with(&[-4.0, 0.0, 4.0].map(|x| (disc(x, 0.0, 0.6), 0.4)));
    let (d, r) = (6.0_f32, 1.0_f32);
    let ends = 2.0 * ((d - 4.0).powi(2) - r * r).sqrt();
    let over = length(&line, p(-6.0, 0.0), p(6.0, 0.0));
    // Tangent, arc to level, 4 m between tops twice, arc, tangent; or across: both are stationary, this is no longer.
    let level = ends + 8.0 + 2.0 * (r / 2.0).asin();
    assert!(over <= level + 1e-5, "{over} {level}");
}

#[test]
fn stops_in_between_and_long_arcs() {
    let terrain = with(&[(disc(0.0, 0.0, 0.6), 0.4)]);
    let (way, line) = plan(&terrain, &[p(-2.0, 0.0), p(0.0, 2.0), p(2.0, 0.0), p(2.0, 0.0)]).unwrap();
    assert!((way - 2.0 * 8.0_f32.sqrt()).abs() < 1e-5);
    let stops: std::vec::Vec<_> = Path::new(&line).stops().collect();
    assert_eq!(stops, [p(-2.0, 0.0), p(0.0, 2.0), p(2.0, 0.0), p(2.0, 0.0)]);
    // Into a pocket behind the disc: more than 90 degrees on one arc are two corners.
    let pocket = with(&[
        (disc(0.0, 0.0, 0.6), 0.4),
        (block(5.0, -2.9, 12.0, 3.4, 0.0), 0.4),
        (block(1.9, 1.0, 0.6, 4.0, 0.0), 0.4),
    ]);
    let (_, line) = plan(&pocket, &[p(-2.0, -0.7), p(1.15, 0.9)]).unwrap();
    for three in line.windows(3) {
        let (u, v) = (three[1].at - three[0].at, three[2].at - three[1].at);
        assert!(u.dot(v) > -1e-3, "{line:?}");
    }
}

#[test]
fn what_does_not_fit_is_said_with_its_capacity() {
    let mut small: Terrain<5> =
        Terrain::bare(&floor(&[p(0.0, 0.0), p(9.0, 0.0), p(0.0, 9.0)], Edge::Open), &[]).unwrap();
    let add = |t: &mut Terrain<5>, x: f32| t.push(Limit::Physical(0), &disc(x, 2.0, 0.1), 0.4);
    assert_eq!([add(&mut small, 1.0), add(&mut small, 1.0), add(&mut small, 2.0)], [Ok(()); 3]);
    assert_eq!(add(&mut small, 3.0), Err(WalkError::Full { what: Store::Obstacles, capacity: 5 }));
    let terrain = with(&[(disc(0.0, 0.0, 0.6), 0.4)]);
    let mut line: Vec<LinePoint, 2> = Vec::new();
    let found = shortest(&terrain, &[p(-2.0, 0.0), p(2.0, 0.0)], &mut PlanWork::new(), &mut line);
    assert_eq!(found, Err(WalkError::Full { what: Store::Points, capacity: 2 }));
    assert_eq!(shortest(&terrain, &[p(-2.0, 0.0)], &mut PlanWork::new(), &mut line), Err(WalkError::TooFewStops));
    assert!(terrain.clone().push(Limit::Physical(1), &disc(0.0, 0.0, 0.1), -0.1).is_err());
}
