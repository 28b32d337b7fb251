//! Angles of view, safe areas and bent frames, against a published lens table, standards and brute force.

use underfoot_core::cameras::lens::{angle_of_view, cropped, distort, frame, safe, sensor};
use underfoot_core::cameras::{Frame, LensError, Rect};
use underfoot_core::show::Lens;
use underfoot_core::show::cameras::{Crop, Distortion};
use underfoot_core::units::Angle;
use underfoot_tests::dice::Dice;

/// Focal length in millimetres and horizontal degrees for a 2/3-inch sensor, 9.59 mm wide, as printed in a lens
/// maker's slides "Video camera lens fundamentals".
const PRINTED: [(f32, f32); 18] = [
    (5.5, 82.2),
    (6.0, 77.3),
    (7.8, 63.2),
    (8.0, 61.9),
    (10.0, 51.2),
    (12.0, 43.6),
    (15.0, 35.5),
    (18.0, 29.8),
    (20.0, 27.0),
    (24.0, 22.6),
    (25.0, 21.7),
    (30.0, 18.2),
    (35.0, 15.6),
    (40.0, 13.7),
    (45.0, 12.2),
    (50.0, 11.0),
    (55.0, 10.0),
    (60.0, 9.1),
];

/// Size, focal length, degrees to a thousandth: 2·atan(size / 2f), worked out apart; 36 × 24 mm and 9.59 × 5.39 mm.
const EXACT: [(f32, f32, f32); 17] = [
    (9.59, 7.6, 64.497),
    (5.39, 7.6, 39.050),
    (9.59, 7.8, 63.162),
    (5.39, 7.8, 38.121),
    (9.59, 8.0, 61.875),
    (5.39, 8.0, 37.235),
    (9.59, 9.0, 56.095),
    (9.59, 4.5, 93.636),
    (9.59, 200.0, 2.747),
    (36.0, 24.0, 73.740),
    (24.0, 24.0, 53.130),
    (36.0, 35.0, 54.432),
    (24.0, 35.0, 37.849),
    (36.0, 50.0, 39.598),
    (24.0, 50.0, 26.991),
    (36.0, 85.0, 23.913),
    (24.0, 85.0, 16.071),
];

#[test]
fn angles_of_view_are_those_of_the_lens_table() {
    for (focal_mm, printed) in PRINTED {
        let ours = angle_of_view(9.59, focal_mm).to_degrees();
        assert!((ours - printed).abs() <= 0.1, "{focal_mm} mm: {ours}, printed {printed}");
    }
    for (size_mm, focal_mm, exact) in EXACT {
        let ours = angle_of_view(size_mm, focal_mm).to_degrees();
        assert!((ours - exact).abs() <= 0.0006, "{size_mm} mm at {focal_mm} mm: {ours}, exact {exact}");
    }
}

#[test]
fn the_frame_is_as_wide_as_the_angle_of_view() {
    let lens = Lens { sensor_width_mm: 9.59, sensor_height_mm: 5.39, pupil_m: 0.0, distortion: None };
    for (focal_mm, printed) in PRINTED {
        let Rect { left, right, .. } = frame(&lens, focal_mm).expect("a frame").inner;
        let degrees = f64::from(right).atan().to_degrees() - f64::from(left).atan().to_degrees();
        assert!((degrees - f64::from(printed)).abs() <= 0.1, "{focal_mm} mm: {degrees}");
    }
}

/// The rectangle in whole pixels, insets rounded: left, top, width, height.
fn in_pixels(rect: &Rect, width_px: u32, height_px: u32) -> [u32; 4] {
    let (half_x, half_y) = (width_px as f32 / 2.0, height_px as f32 / 2.0);
    let edges = [rect.left + half_x, half_y - rect.top, half_x - rect.right, half_y + rect.bottom];
    let [left, top, right, bottom] = edges.map(|inset| inset.round() as u32);
    [left, top, width_px - left - right, height_px - top - bottom]
}

/// SMPTE ST 2046-1:2009 (action 93 %, title 90 % of the aperture) and EBU R 95 (insets of 3.5 % and 5 %): the pixels
/// at 1920 × 1080 are printed with them, the others follow from the rule with the inset rounded.
#[test]
fn safe_areas_are_the_rectangles_of_the_standards() {
    let printed = [
        ((1920, 1080), [67, 38, 1786, 1004], [96, 54, 1728, 972]),
        ((3840, 2160), [134, 76, 3572, 2008], [192, 108, 3456, 1944]),
        ((1280, 720), [45, 25, 1190, 670], [64, 36, 1152, 648]),
    ];
    for ((width, height), action, title) in printed {
        let picture = Rect::centred(width as f32, height as f32);
        assert_eq!(in_pixels(&safe(&picture, Crop::Full, 0.035), width, height), action);
        assert_eq!(in_pixels(&safe(&picture, Crop::Full, 0.05), width, height), title);
        assert_eq!(in_pixels(&picture.inset(0.035), width, height), action);
    }
}

/// A 9:16 column of 1080 lines is 607.5 pixels wide (by its name); a lower third starts at two thirds of the height.
#[test]
fn crops_are_what_their_names_say() {
    let picture = Rect::centred(1920.0, 1080.0);
    let column = cropped(&picture, Crop::Column);
    assert_eq!([column.left, column.right, column.bottom, column.top], [-303.75, 303.75, -540.0, 540.0]);
    let strip = cropped(&picture, Crop::LowerThird);
    assert_eq!([strip.left, strip.right, strip.bottom, strip.top], [-960.0, 960.0, -180.0, 540.0]);
    let inside = safe(&picture, Crop::LowerThird, 0.035);
    assert_eq!(inside.bottom, -180.0);
    assert!((inside.top - 502.2).abs() < 1e-3 && (inside.left + 892.8).abs() < 1e-3);
}

/// Brown–Conrady in `f64`, y down, written from the formula in the public documentation of OpenCV's calib module.
fn brown_conrady(&[k1, k2, p1, p2, k3]: &[f64; 5], [x, y]: [f64; 2]) -> [f64; 2] {
    let r2 = x * x + y * y;
    let radial = 1.0 + k1 * r2 + k2 * r2.powi(2) + k3 * r2.powi(3);
    [x * radial + 2.0 * p1 * x * y + p2 * (r2 + 2.0 * x * x), y * radial + p1 * (r2 + 2.0 * y * y) + 2.0 * p2 * x * y]
}

/// The direction of a place, by fixed-point steps: slow, and nothing in common with Newton's.
fn straightened(k: &[f64; 5], place: [f64; 2]) -> [f64; 2] {
    let mut found = place;
    for _ in 0..100 {
        let bent = brown_conrady(k, found);
        found = [found[0] + 0.7 * (place[0] - bent[0]), found[1] + 0.7 * (place[1] - bent[1])];
    }
    let [x, y] = brown_conrady(k, found);
    assert!((x - place[0]).abs() + (y - place[1]).abs() < 1e-9, "no direction for {place:?} with {k:?}");
    found
}

/// Directions, y up, of 1600 places on each side of the sensor: left, right, bottom, top.
fn bent_sides(k: &[f64; 5], sensor: &Rect) -> [Vec<[f64; 2]>; 4] {
    let [left, right, bottom, top] = [sensor.left, sensor.right, sensor.bottom, sensor.top].map(f64::from);
    let side = |a: [f64; 2], b: [f64; 2]| -> Vec<[f64; 2]> {
        (0..=1600)
            .map(|i| f64::from(i) / 1600.0)
            .map(|t| [a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t])
            .map(|[x, y]| straightened(k, [x, -y]))
            .map(|[x, y]| [x, -y])
            .collect()
    };
    [
        side([left, bottom], [left, top]),
        side([right, bottom], [right, top]),
        side([left, bottom], [right, bottom]),
        side([left, top], [right, top]),
    ]
}

/// Lenses of all sorts, none that folds over in the sizes used here.
fn some_lenses() -> Vec<Distortion> {
    let mut dice = Dice::new(95);
    let mut between = |low: f64, high: f64| dice.between(low, high) as f32;
    let mut lenses =
        vec![[-0.18, 0.04, 0.0, 0.0, -0.005], [0.12, 0.03, 0.0, 0.0, 0.01], [-0.22, 0.16, -0.002, 0.0015, 0.02]];
    lenses.extend((0..12).map(|_| {
        let (p1, p2) = (between(-0.005, 0.005), between(-0.005, 0.005));
        [between(-0.2, 0.2), between(-0.05, 0.1), p1, p2, between(-0.02, 0.02)]
    }));
    lenses
}

fn bent(distortion: Distortion, focal_mm: f32) -> (Rect, Result<Frame, LensError>) {
    let lens = Lens { sensor_width_mm: 9.59, sensor_height_mm: 5.39, pupil_m: 0.0, distortion: Some(distortion) };
    (sensor(&lens, focal_mm).expect("a sensor"), frame(&lens, focal_mm))
}

/// A thirtieth of a pixel of 1920 at 7.5 mm: the tip of a bent side is looked for between 17 places of it.
const WITHIN: f64 = 2e-5;

/// The frame of the bent sides as they are.
fn brute_force(sides: &[Vec<[f64; 2]>; 4]) -> [f64; 8] {
    let [left, right, bottom, top] = sides;
    let most = |side: &[[f64; 2]], axis: usize| side.iter().map(|p| p[axis]).fold(f64::MIN, f64::max);
    let least = |side: &[[f64; 2]], axis: usize| side.iter().map(|p| p[axis]).fold(f64::MAX, f64::min);
    let inner = [most(left, 0), least(right, 0), most(bottom, 1), least(top, 1)];
    let outer = [least(left, 0), most(right, 0), least(bottom, 1), most(top, 1)];
    [inner, outer].concat().try_into().expect("eight edges")
}

#[test]
fn inner_and_outer_frames_touch_the_bent_sides() {
    let mut worst = 0.0_f64;
    for distortion in some_lenses() {
        for focal_mm in [7.5, 12.0] {
            let (sensor, found) = bent(distortion, focal_mm);
            let Frame { inner, outer } = found.expect("a frame");
            let ours = [inner, outer].map(|r| [r.left, r.right, r.bottom, r.top]).concat();
            for (ours, brute) in ours.iter().zip(brute_force(&bent_sides(&distortion.map(f64::from), &sensor))) {
                let off = (f64::from(*ours) - brute).abs();
                assert!(off < WITHIN, "{distortion:?} at {focal_mm} mm: {ours}, brute force {brute}");
                worst = worst.max(off);
            }
        }
    }
    println!("frames against brute force, worst {worst:e}");
}

#[test]
fn all_of_an_inner_frame_is_in_the_picture_and_nothing_outside_an_outer_one_is() {
    for distortion in some_lenses() {
        let (sensor, found) = bent(distortion, 7.5);
        let Frame { inner, outer } = found.expect("a frame");
        let (mut held, mut tried) = (0, 0);
        let wide = outer.scaled(1.1);
        for i in 0..=200 {
            for j in 0..=200 {
                let share = |low: f32, high: f32, n: i32| low + (high - low) * n as f32 / 200.0;
                let (x, y) = (share(inner.left, inner.right, i), share(inner.bottom, inner.top, j));
                let (u, v) = distort(&distortion, x, y);
                assert!(sensor.scaled(1.0 + 1e-5).contains(u, v), "{distortion:?}: {x} {y} is seen at {u} {v}");
                let (x, y) = (share(wide.left, wide.right, i), share(wide.bottom, wide.top, j));
                let (u, v) = distort(&distortion, x, y);
                let seen = sensor.contains(u, v);
                assert!(!seen || outer.scaled(1.0 + 1e-5).contains(x, y), "{distortion:?}: {x} {y} is seen");
                (held, tried) = (held + i32::from(seen), tried + 1);
            }
        }
        assert!(held > tried / 2 && held < tried, "{held} of {tried}");
    }
}

/// A radial lens folds over inside the frame when r·(1 + k1 r² + k2 r⁴ + k3 r⁶) stops growing before it reaches the
/// corner: a scan in steps of a ten-thousandth. Where it hardly grows, either answer is right.
#[test]
fn radial_lenses_are_refused_when_they_fold_over_and_only_then() {
    let mut dice = Dice::new(96);
    let (mut refused, mut accepted, mut close) = (0, 0, 0);
    for _ in 0..3000 {
        let k = [dice.between(-0.7, 0.4), dice.between(-0.4, 0.5), dice.between(-0.3, 0.3)];
        let focal_mm = dice.between(6.0, 14.0) as f32;
        let (sensor, found) = bent([k[0] as f32, k[1] as f32, 0.0, 0.0, k[2] as f32], focal_mm);
        let corner = f64::from(sensor.right).hypot(f64::from(sensor.top));
        let (mut r, mut bent_r, mut least) = (0.0_f64, 0.0, f64::MAX);
        while bent_r < corner && least > 0.0 {
            r += 1e-4;
            let r2 = r * r;
            bent_r = r * (1.0 + r2 * (k[0] + r2 * (k[1] + r2 * k[2])));
            least = least.min(1.0 + r2 * (3.0 * k[0] + r2 * (5.0 * k[1] + r2 * 7.0 * k[2])));
        }
        let fold = least <= 0.0;
        if !fold && least < 0.06 {
            close += 1;
            continue;
        }
        assert_eq!(found.is_err(), fold, "{k:?} at {focal_mm} mm: slope {least}, {found:?}");
        (refused, accepted) = (refused + i32::from(fold), accepted + i32::from(!fold));
    }
    assert!(refused > 200 && accepted > 200 && close < 150, "{refused} refused, {accepted} accepted, {close} close");
}

/// Every direction within the angle of one in a rectangle is in the widened rectangle: directions turned about random
/// axes with nalgebra.
#[test]
fn a_widened_rectangle_holds_every_turned_direction() {
    use nalgebra::{Rotation3, Unit, Vector3};
    let mut dice = Dice::new(97);
    for _ in 0..200 {
        let mut edge = |low: f64, high: f64| dice.between(low, high) as f32;
        let rect =
            Rect { left: edge(-0.9, -0.1), right: edge(0.1, 0.9), bottom: edge(-0.6, -0.05), top: edge(0.05, 0.6) };
        let degrees = dice.between(0.1, 10.0);
        let wide = rect.widened(Angle::from_degrees(degrees as f32));
        for _ in 0..300 {
            let (x, y) =
                (dice.between(rect.left.into(), rect.right.into()), dice.between(rect.bottom.into(), rect.top.into()));
            let corner = dice.one_in(2);
            let (x, y) = if corner { (f64::from(rect.right), f64::from(rect.top)) } else { (x, y) };
            let axis = Vector3::new(dice.between(-1.0, 1.0), dice.between(-1.0, 1.0), dice.between(-1.0, 1.0));
            let turn = Rotation3::from_axis_angle(&Unit::new_normalize(axis), degrees.to_radians());
            let turned = turn * Vector3::new(x, y, 1.0);
            let (x, y) = ((turned.x / turned.z) as f32, (turned.y / turned.z) as f32);
            assert!(wide.scaled(1.0 + 1e-5).contains(x, y), "{rect:?} by {degrees}: {x} {y} not in {wide:?}");
        }
    }
}
