//! Bands and dashes: areas and sums that must close.

use core::f32::consts::TAU;

use super::{area, assert_points, p, polygons};
use crate::geom::StagePoint;
use crate::look::arc;
use crate::look::dash::{DASH_M, Dashes, GAP_M, MOST};
use crate::look::ink;
use crate::look::sides::Sides;

const BOX: [StagePoint; 4] = [p0(-0.4, -0.3), p0(0.4, -0.3), p0(0.4, 0.3), p0(-0.4, 0.3)];

const fn p0(x: f32, y: f32) -> StagePoint {
    StagePoint::new(x, y)
}

#[test]
fn closed_dashes_and_gaps_fill_the_line() {
    for tenth in 1..400 {
        let length = tenth as f32 * 0.1;
        let d = Dashes::closed(length, 4);
        assert!(d.count >= 4 && d.count <= MOST);
        assert!((f32::from(d.count) * (d.dash_m + d.gap_m) - length).abs() < 1e-4 * length.max(1.0));
        assert!((d.dash_m / d.gap_m - DASH_M / GAP_M).abs() < 1e-3);
    }
    // A disc of 0.35 m has 2.199 m round it: 6.66 periods of 0.33 m, so 7.
    assert_eq!(Dashes::closed(TAU * 0.35, 4).count, 7);
}

#[test]
fn open_dashes_begin_and_end_with_a_dash() {
    for tenth in 1..400 {
        let length = tenth as f32 * 0.1;
        let d = Dashes::open(length);
        let n = f32::from(d.count);
        assert!((n * d.dash_m + (n - 1.0) * d.gap_m - length).abs() < 1e-4 * length.max(1.0));
    }
}

#[test]
fn a_band_has_the_area_between_its_borders() {
    let got = polygons(|scene| {
        scene.begin(ink::PROP);
        Sides(&BOX).band(scene, 0.025)
    });
    assert_points(&got[0], &[(-0.425, -0.325), (0.425, -0.325), (0.425, 0.325), (-0.425, 0.325)]);
    assert!((area(&got[1]) + 0.75 * 0.55).abs() < 1e-6, "the inner border turns the other way");
}

/// A side shorter than the inset takes away must vanish from the hole, not fold it over.
#[test]
fn a_tiny_side_does_not_fold_the_hole() {
    let cut = [p(0.0, 0.0), p(1.0, 0.0), p(1.0, 0.98), p(0.98, 1.0), p(0.0, 1.0)];
    let got = polygons(|scene| {
        scene.begin(ink::PROP);
        Sides(&cut).band(scene, 0.1)
    });
    assert!((area(&got[1]) + 0.64).abs() < 1e-5, "{got:?}");
}

#[test]
fn a_part_too_thin_for_a_hole_is_filled() {
    let wall = [p(0.0, 0.0), p(3.6, 0.0), p(3.6, 0.05), p(0.0, 0.05)];
    let got = polygons(|scene| {
        scene.begin(ink::PROP);
        Sides(&wall).band(scene, 0.025)
    });
    assert_eq!(got.len(), 1);
    assert!(Sides(&wall).narrow(0.025) && !Sides(&wall).narrow(0.02));
}

#[test]
fn the_dashes_of_a_box_are_its_perimeter_less_the_gaps() {
    let got = polygons(|scene| {
        scene.begin(ink::PROP);
        Sides(&BOX).dashed(scene, 0.025)
    });
    // Sides of 0.8 and 0.6 m take 2 periods each.
    assert_eq!(got.len(), 8);
    let lit: f64 = got.iter().map(|c| area(c)).sum();
    // A mitred piece has the area of its centre line times its width.
    let share = f64::from(DASH_M / (DASH_M + GAP_M));
    assert!((lit - 2.8 * share * 0.05).abs() < 1e-6, "{lit}");
    for corner in BOX {
        assert!(got.iter().any(|c| super::holds(c, corner)), "{corner:?} is covered");
    }
}

#[test]
fn the_dashes_of_a_ring_have_their_share_of_its_area() {
    let got = polygons(|scene| {
        scene.begin(ink::PROP);
        arc::dashed(scene, p(1.0, 1.0), (0.6, 0.025), 0.3, 0.0002)
    });
    // 2 pi 0.6 = 3.770 m: 11.42 periods, so 11.
    assert_eq!(got.len(), 11);
    let lit: f64 = got.iter().map(|c| area(c)).sum();
    let share = f64::from(DASH_M / (DASH_M + GAP_M));
    let ring = core::f64::consts::PI * (0.625_f64 * 0.625 - 0.575 * 0.575);
    assert!((lit / (ring * share) - 1.0).abs() < 2e-3, "{lit}");
}

/// A chord over angle a leaves its circle by r (1 - cos(a / 2)): check-values of polygonal offsets.
#[test]
fn chords_keep_to_the_tolerance() {
    for (radius, tolerance) in [(0.35_f32, 0.001_f32), (0.6, 0.001), (2.0, 0.002), (0.05, 0.0005)] {
        let n = f32::from(arc::steps(radius, TAU, tolerance));
        let sagitta = radius * (1.0 - (core::f32::consts::PI / n).cos());
        assert!(sagitta <= tolerance * 1.01, "{radius}: {sagitta}");
    }
}
