//! Lenses that bend, and lenses that cannot be used.

use super::{one_shot, view};
use crate::cameras::frame::{Frame, Rect};
use crate::cameras::lens::{LensError, distort, frame, sensor, undistort};
use crate::show::Lens;
use crate::show::cameras::Crop;
use crate::units::Angle;

const BARREL: [f32; 5] = [-0.18, 0.04, 0.0, 0.0, -0.005];
const PINCUSHION: [f32; 5] = [0.12, 0.03, 0.0, 0.0, 0.01];

fn lens(distortion: Option<[f32; 5]>) -> Lens {
    Lens { sensor_width_mm: 9.59, sensor_height_mm: 5.39, pupil_m: 0.0, distortion }
}

fn holds(outer: &Rect, inner: &Rect) -> bool {
    outer.contains(inner.left, inner.bottom) && outer.contains(inner.right, inner.top)
}

#[test]
fn without_distortion_both_frames_are_the_sensor() {
    let straight = Frame::straight(sensor(&lens(None), 8.0).unwrap());
    assert_eq!(frame(&lens(None), 8.0), Ok(straight));
    assert_eq!(frame(&lens(Some([0.0; 5])), 8.0), Ok(straight));
}

#[test]
fn a_barrel_sees_more_than_its_sensor_and_a_pincushion_less() {
    let plain = sensor(&lens(None), 8.0).unwrap();
    let barrel = frame(&lens(Some(BARREL)), 8.0).unwrap();
    assert!(holds(&barrel.inner, &plain) && holds(&barrel.outer, &barrel.inner));
    let pincushion = frame(&lens(Some(PINCUSHION)), 8.0).unwrap();
    assert!(holds(&plain, &pincushion.outer) && holds(&pincushion.outer, &pincushion.inner));
}

#[test]
fn the_way_back_finds_the_direction_that_was_distorted() {
    for distortion in [BARREL, PINCUSHION, [-0.05, 0.01, 0.004, -0.003, 0.0]] {
        for i in -6..=6 {
            for j in -4..=4 {
                let (x, y) = (i as f32 * 0.1, j as f32 * 0.1);
                let (u, v) = distort(&distortion, x, y);
                let (back_x, back_y) = undistort(&distortion, u, v).unwrap();
                assert!((back_x - x).abs() < 2e-6 && (back_y - y).abs() < 2e-6, "{x} {y}: {back_x} {back_y}");
            }
        }
    }
}

#[test]
fn tangential_distortion_has_y_down_inside() {
    // With p1 alone the axis of the picture moves by p1 · 3y² along y down: upward places move down.
    let (x, y) = distort(&[0.0, 0.0, 0.01, 0.0, 0.0], 0.0, 0.5);
    assert_eq!(x, 0.0);
    assert!((y - (0.5 - 0.0075)).abs() < 1e-6, "{y}");
}

#[test]
fn lenses_that_fold_over_or_have_bad_numbers_are_refused() {
    // r − 0.6 r³ turns back at r = 0.745, where it is 0.497.
    let folding = lens(Some([-0.6, 0.0, 0.0, 0.0, 0.0]));
    let corner = |focal_mm: f32| libm::hypotf(9.59, 5.39) / (2.0 * focal_mm);
    assert!(corner(12.5) < 0.45 && corner(10.5) > 0.52);
    assert!(frame(&folding, 12.5).is_ok());
    assert_eq!(frame(&folding, 10.5), Err(LensError::FoldsOver));
    assert_eq!(frame(&lens(Some([f32::NAN, 0.0, 0.0, 0.0, 0.0])), 8.0), Err(LensError::BadDistortion));
    assert_eq!(frame(&lens(None), 0.0), Err(LensError::BadFocal));
    assert_eq!(frame(&lens(None), f32::INFINITY), Err(LensError::BadFocal));
    let no_sensor = Lens { sensor_width_mm: -1.0, ..lens(None) };
    assert_eq!(frame(&no_sensor, 8.0), Err(LensError::BadSensor));
}

#[test]
fn crops_and_margins_are_cut_from_the_picture_before_it_is_straightened() {
    let mut show = one_shot([0.0, -5.0, 1.0], [0.0, 0.0, 1.0], 8.0);
    show.cameras[0].lens.distortion = Some(PINCUSHION);
    show.shots[0].crop = Crop::Column;
    let column = view(&show);
    // The column's upper edge is straighter than that of the whole picture, whose corners are pulled in.
    assert!(column.frame.inner.top > column.whole.inner.top);
    assert!(holds(&column.frame.inner, &column.safe) && holds(&column.whole.inner, &column.whole_safe));
    let in_picture = |x: f32, y: f32| distort(&PINCUSHION, x, y);
    let (right, _) = in_picture(column.safe.right, column.safe.top);
    let half = 5.39 / 8.0 * 9.0 / 32.0;
    assert!((right - 0.93 * half).abs() < 1e-5, "{right}");
}

#[test]
fn a_widened_rectangle_holds_what_a_turn_brings_in() {
    let rect = Rect { left: -0.6, right: 0.5, bottom: -0.2, top: 0.35 };
    let wide = rect.widened(Angle::from_degrees(2.0));
    // On the axis of each edge: at least the turn itself.
    let turned = |edge: f32| libm::tanf(libm::atanf(edge) + 2.0_f32.to_radians());
    assert!(wide.right >= turned(0.5) && wide.top >= turned(0.35));
    assert!(-wide.left >= turned(0.6) && -wide.bottom >= turned(0.2));
    // And no more than a third beyond it.
    assert!(wide.right - 0.5 < 1.33 * (turned(0.5) - 0.5), "{wide:?}");
    let all = rect.widened(Angle::from_degrees(80.0));
    assert!(all.right.is_finite() && all.right > 1000.0);
}
