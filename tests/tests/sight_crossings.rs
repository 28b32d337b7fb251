//! Where ways run through footprints, beside the general library `geo`.

use geo::line_intersection::{LineIntersection, line_intersection};
use geo::{Coord, Line};
use underfoot_core::cameras::{Gap, SolidShape};
use underfoot_core::geom::{StagePoint, StageVector};
use underfoot_core::units::Angle;
use underfoot_tests::dice::Dice;

/// Far below the 1e-3 m at which anybody could tell.
const CLOSE_M: f64 = 3e-5;
/// A ring's circles as polygons of so many sides leave the circle by less than 1 µm at 2 m.
const SIDES: usize = 4000;

fn coord(p: StagePoint) -> Coord<f64> {
    Coord { x: p.x.into(), y: p.y.into() }
}

/// λ at which the way from `from` to `to` crosses the closed line through `corners`, ascending.
fn crossed(from: StagePoint, to: StagePoint, corners: &[Coord<f64>]) -> Vec<f64> {
    let way = Line::new(coord(from), coord(to));
    let square = way.dx().powi(2) + way.dy().powi(2);
    let sides = corners.iter().zip(corners.iter().cycle().skip(1)).map(|(a, b)| Line::new(*a, *b));
    let points = sides.filter_map(|side| match line_intersection(way, side) {
        Some(LineIntersection::SinglePoint { intersection, .. }) => Some(intersection),
        _ => None,
    });
    let mut at: Vec<f64> =
        points.map(|p| ((p.x - way.start.x) * way.dx() + (p.y - way.start.y) * way.dy()) / square).collect();
    at.sort_by(f64::total_cmp);
    // A crossing in a corner is found on both sides.
    at.dedup_by(|a, b| (*a - *b).abs() < 1e-12);
    at
}

fn near_somewhere(dice: &mut Dice) -> StagePoint {
    let reach = if dice.one_in(2) { 0.3 } else { 2.0 };
    StagePoint::new(dice.between(-reach, reach) as f32, dice.between(-reach, reach) as f32)
}

/// Both ends far outside the footprint, so that the whole line is crossed.
fn throw_way(dice: &mut Dice) -> (StagePoint, StagePoint) {
    let middle = near_somewhere(dice);
    let angle = dice.between(0.0, std::f64::consts::TAU);
    let half = StageVector::new((20.0 * angle.cos()) as f32, (20.0 * angle.sin()) as f32);
    (middle - half, middle + half)
}

fn hold_against(shape: &SolidShape, corners: &[Coord<f64>], dice: &mut Dice) -> usize {
    let (from, to) = throw_way(dice);
    let ours: Vec<f64> =
        shape.crossings(from, to - from).iter().flat_map(|&(a, b)| [f64::from(a), f64::from(b)]).collect();
    let theirs = crossed(from, to, corners);
    let close = CLOSE_M / 40.0;
    // A way that only grazes a corner may be inside for next to nothing, for one of the two.
    let keep = |list: &[f64]| -> Vec<f64> {
        let mut kept: Vec<f64> = Vec::new();
        for &x in list {
            if kept.len() % 2 == 1 && kept.last().is_some_and(|&y| x - y < 50.0 * close) {
                kept.pop();
            } else {
                kept.push(x);
            }
        }
        kept
    };
    let (ours, theirs) = (keep(&ours), keep(&theirs));
    assert_eq!(ours.len(), theirs.len(), "{shape:?} {from:?} {to:?}: {ours:?} {theirs:?}");
    for (a, b) in ours.iter().zip(&theirs) {
        // At a shallow angle a rounded corner moves the crossing along the way by more than it is off it.
        assert!((a - b).abs() < 60.0 * close, "{shape:?} {from:?} {to:?}: {ours:?} {theirs:?}");
    }
    ours.len() / 2
}

#[test]
fn polygons_are_crossed_where_geo_crosses_them() {
    let mut dice = Dice::new(31);
    let mut met = 0;
    for _ in 0..3000 {
        let (corners, start) = (3 + dice.below(14), dice.unit());
        let (a, b, c) = (dice.between(0.2, 2.0), dice.between(0.2, 2.0), near_somewhere(&mut dice));
        let vertices: heapless::Vec<StagePoint, 16> = (0..corners)
            .map(|i| {
                let (sin, cos) = ((i as f64 + start) / corners as f64 * std::f64::consts::TAU).sin_cos();
                c + StageVector::new((a * cos) as f32, (b * sin) as f32)
            })
            .collect();
        let theirs: Vec<_> = vertices.iter().map(|&v| coord(v)).collect();
        met += hold_against(&SolidShape::Polygon(vertices), &theirs, &mut dice);
    }
    assert!(met > 500, "{met} met");
}

#[test]
fn rings_with_gaps_are_crossed_where_geo_crosses_their_outline() {
    let mut dice = Dice::new(32);
    let mut pieces = [0; 4];
    for _ in 0..1500 {
        let (outer, c) = (dice.between(0.5, 2.0), near_somewhere(&mut dice));
        // A narrow gap in a thick wall can cut a way in three.
        let (thinnest, widest) = if dice.one_in(2) { (0.4, 0.2) } else { (0.95, 1.5) };
        let (middle, half) = (dice.between(-3.0, 3.0), dice.between(0.05, widest));
        let share = dice.between(0.1, thinnest);
        let (outer_m, inner_m) = (outer as f32, (outer * share) as f32);
        let gap = Gap::about(Angle::from_radians(middle as f32), Angle::from_radians(half as f32));
        let shape = SolidShape::Ring { centre: c, inner_m, outer_m, gap: Some(gap) };
        let span = std::f64::consts::TAU - 2.0 * f64::from(half as f32);
        let at = |i: usize, r: f32| {
            let (sin, cos) =
                (f64::from(middle as f32) + f64::from(half as f32) + span * i as f64 / SIDES as f64).sin_cos();
            Coord { x: f64::from(c.x) + f64::from(r) * cos, y: f64::from(c.y) + f64::from(r) * sin }
        };
        let outline: Vec<_> =
            (0..=SIDES).map(|i| at(i, outer_m)).chain((0..=SIDES).rev().map(|i| at(i, inner_m))).collect();
        pieces[hold_against(&shape, &outline, &mut dice)] += 1;
    }
    println!("crossed in 0, 1, 2, 3 pieces: {pieces:?}");
    assert!(pieces.iter().all(|&n| n > 3), "{pieces:?}");
}
