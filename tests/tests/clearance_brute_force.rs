//! Keep-outs and the walk outline beside brute force: dense points, no formulas shared with the core.

use heapless::Vec as Bounded;
use underfoot_core::geom::{Convex, Region, Ring, Rounded, StagePoint, StageVector, Stretch};
use underfoot_core::props::ground::WALL_LINE_M;
use underfoot_core::props::outline::walk_outline;
use underfoot_core::props::{Ground, KeepOut, Limit};
use underfoot_core::show::{Edge, Entry, FloorOutline, Name, Passage};
use underfoot_core::units::Angle;
use underfoot_tests::dice::Dice;

/// A shape as a crowd of points of its outline, and whether a point is inside it, by hand.
enum Crowd {
    Disc(StagePoint, f64),
    Rectangle { centre: StagePoint, width: f64, depth: f64, turn: f64 },
    Ring { centre: StagePoint, inner: f64, outer: f64, middle: f64, half: f64 },
}

fn polar(centre: StagePoint, radius: f64, angle: f64) -> (f64, f64) {
    (f64::from(centre.x) + radius * angle.cos(), f64::from(centre.y) + radius * angle.sin())
}

impl Crowd {
    fn random(dice: &mut Dice) -> (Self, Region) {
        let centre = StagePoint::new(dice.between(-4.0, 4.0) as f32, dice.between(-3.0, 3.0) as f32);
        match dice.below(3) {
            0 => {
                let radius = dice.between(0.1, 1.0);
                (Self::Disc(centre, radius), Region::Rounded(Rounded::disc(centre, radius as f32).expect("a disc")))
            }
            1 => {
                let (width, depth, turn) = (dice.between(0.2, 3.0), dice.between(0.2, 2.0), dice.between(-4.0, 4.0));
                let sides = (width as f32, depth as f32);
                let set = Convex::rectangle(centre, sides.0, sides.1, Angle::from_radians(turn as f32)).expect("a set");
                let crowd = Self::Rectangle { centre, width, depth, turn };
                (crowd, Region::Rounded(Rounded::new(set, 0.0).expect("a set")))
            }
            _ => {
                let inner = dice.between(0.6, 2.0);
                let outer = inner + dice.between(0.1, 0.5);
                let (middle, gap) = (dice.between(-3.0, 3.0), dice.between(0.2, outer));
                let half = (gap / (2.0 * outer)).asin();
                let ring = Ring::new(centre, inner as f32, outer as f32).expect("a ring");
                let ring = ring.with_gap(Angle::from_radians(middle as f32), gap as f32).expect("a gap");
                (Self::Ring { centre, inner, outer, middle, half }, Region::Ring(ring))
            }
        }
    }

    fn contains(&self, p: StagePoint) -> bool {
        let from = |c: StagePoint| (f64::from(p.x - c.x), f64::from(p.y - c.y));
        match *self {
            Self::Disc(c, radius) => from(c).0.hypot(from(c).1) <= radius,
            Self::Rectangle { centre, width, depth, turn } => {
                let (x, y) = from(centre);
                let (u, v) = (x * turn.cos() + y * turn.sin(), y * turn.cos() - x * turn.sin());
                u.abs() <= width / 2.0 && v.abs() <= depth / 2.0
            }
            Self::Ring { centre, inner, outer, middle, half } => {
                let (x, y) = from(centre);
                let off = (y.atan2(x) - middle + std::f64::consts::PI).rem_euclid(std::f64::consts::TAU);
                let radius = x.hypot(y);
                radius >= inner && radius <= outer && (off - std::f64::consts::PI).abs() >= half
            }
        }
    }

    /// Points of the outline, at most about 4 mm apart.
    fn outline(&self) -> Vec<(f64, f64)> {
        let shares = |n: usize| (0..=n).map(move |i| i as f64 / n as f64);
        match *self {
            Self::Disc(c, radius) => shares(2000).map(|t| polar(c, radius, t * std::f64::consts::TAU)).collect(),
            Self::Rectangle { centre, width, depth, turn } => {
                let place = |u: f64, v: f64| {
                    let (x, y) = (u * turn.cos() - v * turn.sin(), u * turn.sin() + v * turn.cos());
                    (f64::from(centre.x) + x, f64::from(centre.y) + y)
                };
                shares(800)
                    .flat_map(|t| {
                        let (u, v) = ((t - 0.5) * width, (t - 0.5) * depth);
                        [place(u, depth / 2.0), place(u, -depth / 2.0), place(width / 2.0, v), place(-width / 2.0, v)]
                    })
                    .collect()
            }
            Self::Ring { centre, inner, outer, middle, half } => {
                let span = std::f64::consts::TAU - 2.0 * half;
                let rims = shares(4000).flat_map(|t| {
                    let angle = middle + half + t * span;
                    [polar(centre, inner, angle), polar(centre, outer, angle)]
                });
                let ends = shares(200).flat_map(|t| {
                    let radius = inner + t * (outer - inner);
                    [polar(centre, radius, middle + half), polar(centre, radius, middle - half)]
                });
                rims.chain(ends).collect()
            }
        }
    }
}

fn nearest(points: &[(f64, f64)], p: StagePoint) -> f64 {
    let (x, y) = (f64::from(p.x), f64::from(p.y));
    points.iter().map(|q| (q.0 - x).hypot(q.1 - y)).fold(f64::INFINITY, f64::min)
}

#[test]
fn the_clearance_is_the_distance_to_the_nearest_of_many_points() {
    let mut dice = Dice::new(31);
    for _ in 0..60 {
        let (crowd, region) = Crowd::random(&mut dice);
        let points = crowd.outline();
        let reach = dice.between(0.3, 1.2);
        let keepout = KeepOut { limit: Limit::Physical(0), region: region.grown(reach as f32).expect("a keep-out") };
        for _ in 0..40 {
            let p = StagePoint::new(dice.between(-6.0, 6.0) as f32, dice.between(-5.0, 5.0) as f32);
            let ours = f64::from(keepout.signed_distance(p));
            if crowd.contains(p) {
                assert!(ours <= -reach + 1e-4, "inside the footprint: {ours} with a reach of {reach}");
            } else {
                let theirs = nearest(&points, p) - reach;
                // Points 4 mm apart are at most 4 mm too far; for distances over 0.1 m far less.
                assert!(ours <= theirs + 1e-4 && ours >= theirs - 4e-3, "{ours} {theirs}");
            }
        }
    }
}

/// A floor with a dent, open, wall and level sides, and two entries.
fn floor() -> (FloorOutline, [Entry; 2]) {
    let corners = [(-5.0, -4.0), (5.0, -4.0), (5.0, 1.0), (3.0, 1.0), (3.0, 4.0), (-5.0, 4.0)];
    let vertices: Bounded<_, 16> = corners.iter().map(|&(x, y)| StagePoint::new(x, y)).collect();
    let edges = Bounded::from_slice(&[Edge::Open, Edge::Open, Edge::Open, Edge::Open, Edge::Wall, Edge::Level]);
    let entry = |name: &str, x, y, width_m| Entry {
        name: Name::try_from(name).expect("a name"),
        at: StagePoint::new(x, y),
        width_m,
        passage: Passage::Both,
    };
    let edges = edges.expect("six sides");
    (
        FloorOutline { vertices, edges, edge_band_m: 0.3, step_m: 0.1 },
        [entry("a", 0.0, -4.0, 1.2), entry("b", 5.0, -1.0, 0.8)],
    )
}

/// A footprint, its outline as points, and the room that a person needs beside it, metres.
type Thing = (Crowd, Vec<(f64, f64)>, f64);

/// May a person stand at `p`? From the definitions alone.
fn allowed(p: StagePoint, things: &[Thing]) -> bool {
    let (x, y) = (f64::from(p.x), f64::from(p.y));
    let on_floor = x.abs() <= 5.0 && y.abs() <= 4.0 && !(x > 3.0 && y > 1.0);
    let beside = |a: (f64, f64), b: (f64, f64)| {
        let (u, v) = ((b.0 - a.0, b.1 - a.1), (x - a.0, y - a.1));
        let t = ((u.0 * v.0 + u.1 * v.1) / (u.0 * u.0 + u.1 * u.1)).clamp(0.0, 1.0);
        (v.0 - t * u.0).hypot(v.1 - t * u.1)
    };
    let clear_of_edges = (beside((-5.0, -4.0), (5.0, -4.0)) >= 0.3 || x.abs() <= 0.6)
        && (beside((5.0, -4.0), (5.0, 1.0)) >= 0.3 || (y + 1.0).abs() <= 0.4)
        && beside((5.0, 1.0), (3.0, 1.0)) >= 0.3
        && beside((3.0, 1.0), (3.0, 4.0)) >= 0.3
        && beside((3.0, 4.0), (-5.0, 4.0)) >= f64::from(WALL_LINE_M);
    let clear =
        |(crowd, points, reach): &(Crowd, Vec<(f64, f64)>, f64)| !crowd.contains(p) && nearest(points, p) >= *reach;
    on_floor && clear_of_edges && things.iter().all(clear)
}

struct Stage {
    things: Vec<Thing>,
    keepouts: Vec<KeepOut>,
}

fn random_stage(dice: &mut Dice) -> Stage {
    let (mut things, mut keepouts) = (Vec::new(), Vec::new());
    for i in 0..3 + dice.below(3) {
        let (crowd, region) = Crowd::random(dice);
        let reach = dice.between(0.3, 0.6);
        let region = region.grown(reach as f32).expect("a keep-out");
        keepouts.push(KeepOut { limit: Limit::Physical(i as u8), region });
        let points = crowd.outline();
        things.push((crowd, points, reach));
    }
    Stage { things, keepouts }
}

#[test]
fn where_people_may_stand_is_where_the_definitions_say() {
    let mut dice = Dice::new(32);
    let (floor, entries) = floor();
    let mut close_calls = 0;
    for _ in 0..12 {
        let stage = random_stage(&mut dice);
        let ground = Ground::new(&floor, &entries, &stage.keepouts).expect("a ground");
        for _ in 0..150 {
            let p = StagePoint::new(dice.between(-5.5, 5.5) as f32, dice.between(-4.5, 4.5) as f32);
            let standing = ground.standing(p);
            // The crowd's points are 4 mm apart: nearer than that to a limit it cannot judge.
            if standing.margin_m.abs() < 0.004 {
                close_calls += 1;
                continue;
            }
            assert_eq!(standing.is_allowed(), allowed(p, &stage.things), "{p:?}: {standing:?}");
        }
    }
    assert!(close_calls < 60, "{close_calls} of 1800 too close to judge");
}

/// Distance from `p` to a drawn piece, by points 5 mm apart.
fn piece_points(piece: &Stretch) -> Vec<(f64, f64)> {
    let steps = (piece.length() / 0.005).ceil().max(1.0) as usize;
    (0..=steps).map(|i| piece.point(i as f32 / steps as f32)).map(|p| (f64::from(p.x), f64::from(p.y))).collect()
}

#[test]
fn the_walk_outline_is_where_standing_ends_and_nowhere_else() {
    let mut dice = Dice::new(33);
    let (floor, entries) = floor();
    const STEP: f64 = 0.04;
    for _ in 0..6 {
        let stage = random_stage(&mut dice);
        let ground = Ground::new(&floor, &entries, &stage.keepouts).expect("a ground");
        let mut pieces = Vec::new();
        walk_outline(&ground, &mut |_, piece| pieces.push(piece));
        let drawn: Vec<_> = pieces.iter().flat_map(piece_points).collect();
        let on_floor_end = |p: StagePoint| {
            let level_side = p.x < -5.0 + 0.05;
            let in_entry = (p.y < -3.9 && p.x.abs() < 0.65) || (p.x > 4.9 && (p.y + 1.0).abs() < 0.45);
            level_side || in_entry
        };
        // Wherever the answer changes between neighbours, a line is drawn (except at the floor's own end).
        for i in 0..250 {
            for j in 0..200 {
                let at = |i: usize, j: usize| {
                    StagePoint::new((-5.0 + STEP * (i as f64 + 0.37)) as f32, (-4.0 + STEP * (j as f64 + 0.41)) as f32)
                };
                let here = at(i, j);
                for there in [at(i + 1, j), at(i, j + 1)] {
                    if ground.may_stand(here) != ground.may_stand(there) && !on_floor_end(here) {
                        assert!(nearest(&drawn, here) < STEP + 0.01, "no line near {here:?}");
                    }
                }
            }
        }
        // Wherever a line is drawn, standing ends: allowed on one side, not on the other.
        for piece in pieces.iter().filter(|piece| piece.length() > 0.02) {
            for share in [0.2, 0.5, 0.8] {
                let (p, ahead) = (piece.point(share), piece.heading(share));
                let aside: StageVector = ahead.perp() * 0.001;
                assert_ne!(ground.may_stand(p + aside), ground.may_stand(p - aside), "{p:?} of {piece:?}");
            }
        }
    }
}
