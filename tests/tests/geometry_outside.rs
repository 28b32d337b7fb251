//! Plane geometry beside the general library `geo` (double precision) on random input.

use geo::coordinate_position::{CoordPos, CoordinatePosition};
use geo::{Area, BooleanOps, ConvexHull, Coord, Distance, Euclidean, LineString, MultiPoint, Point, Polygon};
use underfoot_core::geom::{Convex, Ring, Rounded, StagePoint, StageVector, clip, hull, polygon};
use underfoot_core::units::Angle;
use underfoot_tests::dice::Dice;

/// Far below a pixel or a tape measure, far above single precision at 30 m.
const CLOSE_M: f64 = 2e-5;

fn random_point(dice: &mut Dice, reach: f64) -> StagePoint {
    StagePoint::new(dice.between(-reach, reach) as f32, dice.between(-reach, reach) as f32)
}

fn outside(points: &[StagePoint]) -> Polygon<f64> {
    let ring = points.iter().map(|p| Coord { x: p.x.into(), y: p.y.into() });
    Polygon::new(LineString::from_iter(ring), vec![])
}

fn outside_point(p: StagePoint) -> Point<f64> {
    Point::new(p.x.into(), p.y.into())
}

fn near(ours: f32, theirs: f64, within: f64, what: &str) {
    assert!((f64::from(ours) - theirs).abs() <= within, "{what}: {ours} and {theirs}");
}

/// A simple polygon seen whole from its middle, counter-clockwise: any number of dents.
fn star(dice: &mut Dice, corners: usize) -> Vec<StagePoint> {
    let middle = random_point(dice, 10.0);
    (0..corners)
        .map(|i| {
            let angle = (i as f64 + dice.between(0.1, 0.9)) / corners as f64 * std::f64::consts::TAU;
            let radius = dice.between(0.5, 5.0);
            middle + StageVector::new((radius * angle.cos()) as f32, (radius * angle.sin()) as f32)
        })
        .collect()
}

fn convex(dice: &mut Dice, reach: f64) -> Convex {
    loop {
        let middle = random_point(dice, reach);
        let corners: Vec<_> =
            (0..3 + dice.below(10)).map(|_| middle + (random_point(dice, 2.0) - StagePoint::default())).collect();
        if let Ok(found) = Convex::hull_of(&corners) {
            return found;
        }
    }
}

#[test]
fn areas_and_places_in_dented_polygons() {
    let mut dice = Dice::new(21);
    for _ in 0..300 {
        let corners = 3 + dice.below(14);
        let points = star(&mut dice, corners);
        let theirs = outside(&points);
        near(polygon::signed_area(&points), theirs.signed_area(), 1e-4, "area");
        for _ in 0..40 {
            let p = random_point(&mut dice, 15.0);
            let distance = Euclidean.distance(&outside_point(p), theirs.exterior());
            near(polygon::boundary_distance(&points, p), distance, CLOSE_M, "distance to the boundary");
            if distance > CLOSE_M {
                let inside = theirs.coordinate_position(&outside_point(p).0) == CoordPos::Inside;
                assert_eq!(polygon::contains(&points, p), inside, "{p:?} in {points:?}");
            }
        }
        // Vertices and middles of sides are contained: the polygon is closed.
        for (a, b) in polygon::sides(&points) {
            assert!(polygon::contains(&points, a) && polygon::contains(&points, a + (b - a) * 0.5));
        }
    }
}

#[test]
fn hulls_of_random_points() {
    let mut dice = Dice::new(22);
    for case in 0..500 {
        let count = 3 + dice.below(60);
        // Every other case on a coarse grid: duplicates and points in the middle of sides.
        let points: Vec<_> = (0..count)
            .map(|_| {
                let p = random_point(&mut dice, 12.0);
                if case % 2 == 0 { p } else { StagePoint::new(p.x.round() / 4.0, p.y.round() / 4.0) }
            })
            .collect();
        let theirs = points.iter().map(|&p| outside_point(p)).collect::<MultiPoint<f64>>().convex_hull();
        let Ok(ours) = hull::hull::<64>(&points) else {
            assert!(theirs.unsigned_area() < 1e-9);
            continue;
        };
        assert!(polygon::is_convex(&ours));
        near(polygon::signed_area(&ours), theirs.unsigned_area(), 1e-4, "hull area");
        // The library keeps some points in the middle of sides; every true corner is in both.
        for &corner in &ours {
            assert!(theirs.exterior().0.contains(&outside_point(corner).0), "{corner:?} is no corner");
        }
        assert!(points.iter().all(|&p| polygon::contains(&ours, p)));
    }
}

#[test]
fn clips_of_dented_polygons() {
    let mut dice = Dice::new(23);
    for _ in 0..300 {
        let corners = 3 + dice.below(14);
        let subject = star(&mut dice, corners);
        let window = convex(&mut dice, 8.0);
        let ours = clip::clip::<96>(&subject, window.vertices()).expect("enough room");
        let theirs = outside(&subject).intersection(&outside(window.vertices())).unsigned_area();
        near(polygon::signed_area(&ours), theirs, 1e-3, "clipped area");
    }
}

#[test]
fn distances_of_convex_sets() {
    let mut dice = Dice::new(24);
    for _ in 0..400 {
        let (a, b) = (convex(&mut dice, 6.0), convex(&mut dice, 6.0));
        let theirs = Euclidean.distance(&outside(a.vertices()), &outside(b.vertices()));
        near(a.gap(&b), theirs, CLOSE_M, "gap");
        let radius = dice.between(0.0, 1.5);
        let grown = Rounded::new(a.clone(), radius as f32).expect("a rounded set");
        let p = random_point(&mut dice, 9.0);
        let to_core = Euclidean.distance(&outside_point(p), &outside(a.vertices()));
        if to_core > CLOSE_M {
            near(grown.signed_distance(p), to_core - radius, CLOSE_M, "distance outside the core");
        } else {
            let depth = Euclidean.distance(&outside_point(p), outside(a.vertices()).exterior());
            near(grown.signed_distance(p), -depth - radius, CLOSE_M, "depth inside the core");
        }
    }
}

#[test]
fn a_flattened_rounded_set_has_the_area_of_steiners_formula() {
    let mut dice = Dice::new(25);
    for _ in 0..100 {
        let core = convex(&mut dice, 6.0);
        let radius = dice.between(0.2, 1.5);
        let grown = Rounded::new(core.clone(), radius as f32).expect("a rounded set");
        let theirs = outside(core.vertices());
        let perimeter: f64 = theirs.exterior().lines().map(|l| Euclidean.distance(l.start, l.end)).sum();
        // Steiner: A + P r + pi r².
        let exact = theirs.unsigned_area() + perimeter * radius + std::f64::consts::PI * radius * radius;
        near(grown.area(), exact, 1e-3, "area");
        let flat = grown.flatten::<600>(1e-4).expect("enough room");
        // Inscribed: never more, and less by at most the tolerance along the boundary.
        let area = outside(&flat).unsigned_area();
        assert!(area <= exact + 1e-3 && area >= exact - 1e-4 * f64::from(grown.perimeter()) - 1e-3);
    }
}

#[test]
fn sweeping_covers_every_place_on_the_way() {
    let mut dice = Dice::new(26);
    for _ in 0..200 {
        let set = convex(&mut dice, 6.0);
        let way = random_point(&mut dice, 3.0) - StagePoint::default();
        let swept = set.swept(way).expect("room for two more");
        // A dense row of copies: never outside, and together within their spacing of all of it.
        let p = random_point(&mut dice, 10.0);
        let copies = (0..=400).map(|i| {
            let share = i as f32 / 400.0;
            let moved: Vec<_> = set.vertices().iter().map(|&v| v + way * share).collect();
            Euclidean.distance(&outside_point(p), &outside(&moved))
        });
        let least = copies.fold(f64::INFINITY, f64::min);
        let ours = f64::from(swept.signed_distance(p).max(0.0));
        let spacing = f64::from(way.length()) / 400.0;
        assert!(ours <= least + CLOSE_M && ours >= least - spacing - CLOSE_M, "{ours} {least}");
    }
}

#[test]
fn distances_to_rings_by_brute_force() {
    let mut dice = Dice::new(27);
    for case in 0..60 {
        let centre = random_point(&mut dice, 6.0);
        let (inner, thick) = (dice.between(0.3, 4.0), dice.between(0.05, 1.0));
        let outer = inner + thick;
        let middle = dice.between(-9.0, 9.0);
        let width = if case % 3 == 0 { 0.0 } else { dice.between(0.1, 1.9 * outer) };
        let ring = Ring::new(centre, inner as f32, outer as f32).expect("a ring");
        let ring = ring.with_gap(Angle::from_radians(middle as f32), width as f32).expect("a gap");
        let half = (width / (2.0 * outer)).asin();
        // The ring as a polygon with 2000 corners a side: chords fall short by r (1 - cos(pi/2000)) < 7 um.
        let at = |radius: f64, i: usize| {
            let angle = middle + half + (std::f64::consts::TAU - 2.0 * half) * i as f64 / 2000.0;
            Coord { x: f64::from(centre.x) + radius * angle.cos(), y: f64::from(centre.y) + radius * angle.sin() }
        };
        let outward = (0..=2000).map(|i| at(outer, i));
        let back = (0..=2000).rev().map(|i| at(inner, i));
        let outline = LineString::from_iter(outward.chain(back).chain([at(outer, 0)]));
        for _ in 0..60 {
            let p = random_point(&mut dice, 9.0);
            let (v, radius) = (p - centre, f64::from(p.distance(centre)));
            let off = (f64::from(v.y).atan2(f64::from(v.x)) - middle).rem_euclid(std::f64::consts::TAU);
            let in_gap = off < half || off > std::f64::consts::TAU - half;
            let inside = radius > inner && radius < outer && !in_gap;
            // Without a gap the polygon's seam is no boundary.
            let distance = if width > 0.0 {
                Euclidean.distance(&outside_point(p), &outline)
            } else {
                (radius - inner).abs().min((radius - outer).abs())
            };
            let theirs = if inside { -distance } else { distance };
            near(ring.signed_distance(p), theirs, 2e-5, "ring");
        }
    }
}
