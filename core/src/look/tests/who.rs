//! The shape round a mark: it clears the mark, it is what it is called, its openings tell the state.

use super::stage::WHOS;
use super::{area, p, polygons};
use crate::geom::{StageVector, segment};
use crate::look::MarkState;
use crate::look::frame::Frame;
use crate::look::item::Pass;
use crate::look::who::{CLEAR_M, Extent, OPEN, Outline};
use crate::show::Who;

const TEE: Extent = Extent { front_m: 0.175, back_m: -0.125, side_m: 0.15 };
const CORE: Pass = Pass { grow_m: 0.0, keyline: false };
const KEY: Pass = Pass { grow_m: 0.012, keyline: true };

fn outline(who: Who, facing: f32) -> Outline {
    Outline::of(who, &Frame::facing(p(0.3, -0.2), facing), TEE, 0.025)
}

#[test]
fn every_shape_leaves_the_clear_floor_round_the_tee() {
    for who in WHOS {
        let frame = Frame::facing(p(0.3, -0.2), 281.0);
        let corners = [(0.175, 0.15), (0.175, -0.15), (-0.125, 0.15), (-0.125, -0.15)].map(|(a, l)| frame.at(a, l));
        let nearest = match outline(who, 281.0) {
            Outline::Circle { centre, radius_m, .. } => {
                corners.iter().map(|c| radius_m - c.distance(centre)).fold(f32::INFINITY, f32::min)
            }
            Outline::Polygon { corners: shape, .. } => {
                let sides = || shape.iter().zip(shape.iter().skip(1).chain(shape.first()));
                let to_shape = |c| sides().map(|(&a, &b)| segment::distance(c, a, b)).fold(f32::INFINITY, f32::min);
                corners.iter().map(|&c| to_shape(c)).fold(f32::INFINITY, f32::min)
            }
        };
        // From the mark to the shape's centre line: the clear floor and half its line.
        assert!((nearest - (CLEAR_M + 0.025)).abs() < 1e-4, "{who:?}: {nearest}");
    }
}

#[test]
fn the_triangle_is_equilateral_and_points_ahead() {
    let Outline::Polygon { corners, .. } = outline(Who::CyanTriangle, 90.0) else { panic!("a polygon") };
    let sides = [0, 1, 2].map(|i| corners[i].distance(corners[(i + 1) % 3]));
    assert!((sides[0] - sides[1]).abs() < 1e-5 && (sides[1] - sides[2]).abs() < 1e-5, "{sides:?}");
    assert!((corners[1].x - 0.3).abs() < 1e-5 && corners[1].y > corners[0].y + 0.5);
}

/// A diamond as long as wide would be a square to whoever comes along its side.
#[test]
fn the_diamond_is_no_square_from_any_side() {
    let Outline::Polygon { corners, .. } = outline(Who::MagentaDiamond, 0.0) else { panic!("a polygon") };
    let (long, wide) = (corners[0].distance(corners[2]), corners[1].distance(corners[3]));
    assert!((long / wide - 1.5).abs() < 1e-5);
    let corner = |i: usize| {
        let (a, b) = (corners[(i + 3) % 4] - corners[i], corners[(i + 1) % 4] - corners[i]);
        (a.dot(b) / (a.length() * b.length())).acos().to_degrees()
    };
    // 2 atan(1 / 1.5) = 67.38 degrees and its supplement.
    assert!((corner(0) - 67.38).abs() < 0.01 && (corner(1) - 112.62).abs() < 0.01);
}

fn lit(who: Who, state: MarkState, pass: Pass) -> f64 {
    polygons(|scene| {
        scene.begin(crate::look::ink::TEXT);
        outline(who, 33.0).draw(scene, (0.025, 0.0002), pass, state)
    })
    .iter()
    .map(|c| area(c))
    .sum()
}

#[test]
fn stand_by_opens_each_side_and_off_opens_a_quarter() {
    for who in WHOS {
        // A mitred band has the area of its centre line times its width; the circle's band is two ellipses.
        let length = match outline(who, 33.0) {
            Outline::Circle { radius_m, .. } => f64::from(radius_m) * core::f64::consts::TAU,
            Outline::Polygon { corners, .. } => {
                let next = corners.iter().skip(1).chain(corners.first());
                corners.iter().zip(next).map(|(a, b)| f64::from(a.distance(*b))).sum()
            }
        };
        let whole = length * 0.05;
        let share = |state| lit(who, state, CORE) / whole;
        assert!((share(MarkState::StandBy) - f64::from(1.0 - OPEN)).abs() < 3e-3, "{who:?}");
        assert!((share(MarkState::Go) - f64::from(1.0 - OPEN)).abs() < 3e-3, "{who:?}");
        assert!((share(MarkState::Off { toward_deg: 100.0 }) - 0.75).abs() < 3e-3, "{who:?}");
    }
}

#[test]
fn the_gap_is_on_the_side_to_move_toward() {
    for who in WHOS {
        for toward_deg in [0.0, 75.0, 100.0, 190.0, 299.0_f32] {
            let state = MarkState::Off { toward_deg };
            let band = polygons(|scene| {
                scene.begin(crate::look::ink::TEXT);
                outline(who, 33.0).draw(scene, (0.025, 0.0005), CORE, state)
            });
            let middle = match outline(who, 33.0) {
                Outline::Circle { centre, .. } | Outline::Polygon { centre, .. } => centre,
            };
            let lit_along = |deg: f32| {
                let (sin, cos) = deg.to_radians().sin_cos();
                (1..400).any(|i| {
                    let q = middle + StageVector::new(cos, sin) * (0.003 * i as f32);
                    band.iter().any(|c| super::holds(c, q))
                })
            };
            assert!(!lit_along(toward_deg), "{who:?} {toward_deg}");
            assert!(lit_along(toward_deg + 120.0) && lit_along(toward_deg + 180.0), "{who:?} {toward_deg}");
        }
    }
}

#[test]
fn the_keyline_runs_on_below_the_openings() {
    for who in [Who::AmberSquare, Who::CyanTriangle, Who::MagentaDiamond] {
        let whole = lit(who, MarkState::Steady, KEY);
        assert!((lit(who, MarkState::StandBy, KEY) - whole).abs() < 1e-9, "{who:?}");
    }
}
