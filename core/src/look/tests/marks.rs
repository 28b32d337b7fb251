//! Corners of marks in stage metres, worked out by hand.

use std::vec::Vec;

use super::stage::mark;
use super::{area, assert_points, p, polygons};
use crate::geom::StagePoint;
use crate::look::MarkState;
use crate::look::marks::{self, Dress};
use crate::look::sizes::Sizes;
use crate::paint::scene::Contour;
use crate::show::{MarkKind, Who};

const SIZES: Sizes = Sizes { line_m: 0.05, keyline_m: 0.012, pitch_m: 0.004, tolerance_m: 0.001 };

/// The polygons of a mark in a white circle: the circle is two ellipses, so these are the mark's own,
/// keyline first.
fn form(at: StagePoint, facing_deg: f32, kind: MarkKind, state: MarkState) -> Vec<Vec<StagePoint>> {
    let dress = Dress { who: Who::WhiteCircle, state, line_m: 0.05, level: 255 };
    polygons(|scene| marks::draw(scene, &SIZES, &mark(at, facing_deg, kind), dress))
}

/// Toe bar 300 x 50 mm on the eye-line side, its centre line 0.15 m ahead of the heels; stem 250 x 50 mm
/// behind it (common practice).
#[test]
fn a_tee_that_faces_downstage_has_its_toe_bar_downstage() {
    let got = form(p(1.0, 2.0), 270.0, MarkKind::Tee, MarkState::Steady);
    let core = [
        (0.975, 2.125),
        (0.975, 1.875),
        (0.85, 1.875),
        (0.85, 1.825),
        (1.15, 1.825),
        (1.15, 1.875),
        (1.025, 1.875),
        (1.025, 2.125),
    ];
    assert_eq!(got.len(), 2);
    assert_points(&got[1], &core);
    // 0.3 x 0.05 and 0.25 x 0.05 square metres.
    assert!((area(&got[1]) - (0.015 + 0.0125)).abs() < 1e-6);
}

#[test]
fn the_keyline_moves_every_side_of_a_tee_out_by_its_width() {
    let got = form(p(0.0, 0.0), 0.0, MarkKind::Tee, MarkState::Steady);
    let grown = [
        (-0.137, -0.037),
        (0.113, -0.037),
        (0.113, -0.162),
        (0.187, -0.162),
        (0.187, 0.162),
        (0.113, 0.162),
        (0.113, 0.037),
        (-0.137, 0.037),
    ];
    assert_points(&got[0], &grown);
}

/// 0.8 x 1.3 m, lines 50 mm, open at the back (common practice).
#[test]
fn a_bracket_is_open_behind_the_chair() {
    let got = form(p(2.2, 2.6), 90.0, MarkKind::Bracket, MarkState::Steady);
    let core =
        [(2.6, 1.95), (2.6, 3.25), (1.8, 3.25), (1.8, 1.95), (1.85, 1.95), (1.85, 3.2), (2.55, 3.2), (2.55, 1.95)];
    assert_points(&got[1], &core);
}

#[test]
fn a_cross_is_turned_by_an_eighth() {
    let got = form(p(0.0, 0.0), 0.0, MarkKind::Cross, MarkState::Steady);
    // Two bars of 300 x 50 mm less the square that they share.
    assert!((area(&got[1]) - (2.0 * 0.3 * 0.05 - 0.05 * 0.05)).abs() < 1e-6);
    // The end of a bar lies on a diagonal: 0.15 m along it and 0.025 m to each side.
    let k = core::f32::consts::FRAC_1_SQRT_2;
    let corner = p((0.15 - 0.025) * k, (0.15 + 0.025) * k);
    assert!(got[1].iter().any(|q| q.distance(corner) < 1e-5), "{got:?}");
}

#[test]
fn a_mark_for_later_is_hollow_and_its_hole_turns_the_other_way() {
    for kind in [MarkKind::Tee, MarkKind::Bracket, MarkKind::Cross] {
        let now = form(p(0.0, 0.0), 30.0, kind, MarkState::Steady);
        let later = form(p(0.0, 0.0), 30.0, kind, MarkState::Later);
        assert_eq!((now.len(), later.len()), (2, 3), "{kind:?}");
        let (core, hole) = (area(&later[1]), area(&later[2]));
        assert!(core > 0.0 && hole < 0.0 && core + hole > 0.3 * core && core + hole < 0.8 * core, "{kind:?}");
    }
}

#[test]
fn arrived_dims_to_thirty_percent_of_the_light() {
    // A display of gamma 2.4 gives (drive / 255)^2.4 of its light (ITU-R BT.1886, from memory).
    let light = (f64::from(marks::ARRIVED) / 255.0).powf(2.4);
    assert!((light - 0.30).abs() < 0.005, "{light}");
}

#[test]
fn reach_covers_every_corner() {
    for kind in super::stage::KINDS {
        for who in super::stage::WHOS {
            let dress = Dress { who, state: MarkState::Steady, line_m: 0.05, level: 255 };
            let reach = marks::reach_m(kind, who, 0.05);
            let all = polygons(|scene| marks::draw(scene, &SIZES, &mark(p(0.0, 0.0), 0.0, kind), dress));
            // Mitred tips of the shape round the mark may reach a line's width beyond its centre line.
            let far = all.iter().flatten().map(|q| q.distance(p(0.0, 0.0))).fold(0.0, f32::max);
            assert!(far <= reach + 0.05, "{kind:?} {who:?}: {far} {reach}");
        }
    }
}

#[test]
fn the_outline_holds_all_that_is_drawn_and_no_more_than_its_hull() {
    for kind in super::stage::KINDS {
        for who in super::stage::WHOS {
            let mark = mark(p(0.4, -0.3), 100.0, kind);
            let outline = marks::outline(&mark, who, (0.05, SIZES.keyline_m)).unwrap();
            assert!(crate::geom::polygon::is_convex(&outline), "{kind:?} {who:?}");
            let mut drawn = Vec::new();
            for state in [MarkState::Steady, MarkState::StandBy, MarkState::Later, MarkState::Off { toward_deg: 70.0 }]
            {
                let dress = Dress { who, state, line_m: 0.05, level: 255 };
                let mut store = super::Store::new();
                let mut scene = store.scene();
                marks::draw(&mut super::Sheet::whole(&mut scene), &SIZES, &mark, dress).unwrap();
                for contour in scene.shapes().iter().flat_map(|s| scene.contours_of(s)) {
                    match *contour {
                        Contour::Polygon { .. } => drawn.extend_from_slice(scene.points_of(contour)),
                        Contour::Ellipse { centre, u, v } => drawn.extend((0..720).map(|i| {
                            let (sin, cos) = (i as f32 * core::f32::consts::TAU / 720.0).sin_cos();
                            centre + u * cos + v * sin
                        })),
                    }
                }
            }
            for i in 0..360 {
                let (sin, cos) = (i as f32).to_radians().sin_cos();
                let farthest =
                    |points: &[StagePoint]| points.iter().map(|q| q.x * cos + q.y * sin).fold(-9.0, f32::max);
                let (given, due) = (farthest(&outline), farthest(&drawn));
                // 1 / cos(11.25 degrees) - 1 of the largest circle: round a ring, sqrt(2) x 0.175 + 0.075 + 0.037 = 0.3595 m.
                assert!((-1e-5..0.00706).contains(&(given - due)), "{kind:?} {who:?} {i}: {given} {due}");
            }
        }
    }
}
