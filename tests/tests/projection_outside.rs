//! Poses and distortion against OpenCV's `projectPoints`, recorded, and against nalgebra.
//!
//! The recording, the script that made it and OpenCV's version are in `fixtures/projection`. The bounds are those of
//! `f32`: places some 10 m from the origin come in steps of 1 µm, components of an axis in steps of 6e-8, and a
//! tangent is the quotient of sums of three products of them. At the shortest distance, 0.8 m, that is 1e-6 or two.

use std::collections::HashMap;
use std::path::Path;

use nalgebra::{Isometry3, Matrix3, Point3, Rotation3, Unit, Vector3};
use underfoot_core::cameras::lens::{distort, frame_of, undistort};
use underfoot_core::cameras::{Pose, Rect};
use underfoot_core::geom::StagePoint3;
use underfoot_core::show::Lens;
use underfoot_core::units::Angle;
use underfoot_tests::dice::Dice;

/// Largest difference of a tangent from what `f64` gives.
const WITHIN: f32 = 2e-6;

/// A line of the recording: its kind, its name, its numbers.
struct Line {
    kind: String,
    name: String,
    numbers: Vec<f32>,
}

fn recording() -> Vec<Line> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/projection/projection.csv");
    let text = std::fs::read_to_string(path).expect("the recording");
    assert!(text.starts_with("# OpenCV "), "the recording says what made it");
    let lines = text.lines().filter(|line| !line.starts_with('#'));
    lines
        .map(|line| {
            let mut words = line.split(',');
            let mut word = || words.next().expect("a word").to_owned();
            let (kind, name) = (word(), word());
            Line { kind, name, numbers: words.map(|w| w.parse().expect("a number")).collect() }
        })
        .collect()
}

fn of_kind<'a>(lines: &'a [Line], kind: &'a str) -> impl Iterator<Item = &'a Line> {
    lines.iter().filter(move |line| line.kind == kind)
}

fn distortions(lines: &[Line]) -> Vec<(String, [f32; 5])> {
    of_kind(lines, "lens").map(|l| (l.name.clone(), l.numbers[..].try_into().expect("five coefficients"))).collect()
}

fn place(numbers: &[f32]) -> StagePoint3 {
    StagePoint3::new(numbers[0], numbers[1], numbers[2])
}

#[test]
fn opencv_puts_every_place_where_we_do() {
    let lines = recording();
    let lenses = distortions(&lines);
    let looking = |n: &[f32]| Pose::looking(place(n), place(&n[3..]), Angle::from_degrees(n[6]), 0.0).expect("a pose");
    let poses: HashMap<&str, Pose> = of_kind(&lines, "pose").map(|l| (l.name.as_str(), looking(&l.numbers))).collect();
    assert!(poses.len() >= 5 && lenses.len() == 5);
    let (mut worst, mut count) = (0.0_f32, 0);
    for line in of_kind(&lines, "point") {
        let seen = poses[line.name.as_str()].see(place(&line.numbers)).expect("a place in front of the camera");
        for ((name, distortion), recorded) in lenses.iter().zip(line.numbers[3..].chunks(2)) {
            let (x, y) = distort(distortion, seen.x, seen.y);
            // OpenCV's y is down.
            let off = (x - recorded[0]).abs().max((y + recorded[1]).abs());
            assert!(off <= WITHIN, "{} {name} {:?}: {x} {y}, off by {off}", line.name, line.numbers);
            worst = worst.max(off);
            count += 1;
        }
    }
    assert_eq!(count, 42 * poses.len() * lenses.len());
    println!("{count} places, worst {worst:e}");
}

#[test]
fn recorded_places_lead_back_to_the_direction_without_distortion() {
    let lines = recording();
    let lenses = distortions(&lines);
    for line in of_kind(&lines, "point") {
        let [straight_x, straight_y] = line.numbers[3..5] else { panic!("the lens without distortion comes first") };
        for ((_, distortion), recorded) in lenses.iter().zip(line.numbers[3..].chunks(2)) {
            let (x, y) = undistort(distortion, recorded[0], -recorded[1]).expect("a direction");
            assert!(
                (x - straight_x).abs() <= WITHIN && (y + straight_y).abs() <= WITHIN,
                "{line:?}",
                line = line.numbers
            );
        }
    }
}

/// OpenCV looks at 9 places of each side, so that a tip between two of them escapes it: with p1 and p2 it does.
#[test]
fn opencv_finds_the_same_inner_and_outer_frames() {
    let lines = recording();
    let lenses: HashMap<String, [f32; 5]> = distortions(&lines).into_iter().collect();
    let mut worst = 0.0_f32;
    for line in of_kind(&lines, "frame") {
        let lens =
            Lens { sensor_width_mm: 12.0, sensor_height_mm: 6.75, pupil_m: 0.0, distortion: Some(lenses[&line.name]) };
        let found = frame_of(&lens, &Rect::centred(line.numbers[0], line.numbers[1])).expect("a frame");
        for (rect, recorded) in [found.inner, found.outer].iter().zip(line.numbers[2..].chunks(4)) {
            let ours = [rect.left, rect.right, -rect.top, -rect.bottom];
            for (value, recorded) in ours.iter().zip(recorded) {
                let off = (value - recorded).abs();
                assert!(off <= 1e-4, "{}: {ours:?}, recorded {recorded}", line.name);
                worst = worst.max(off);
            }
        }
    }
    println!("frames, worst {worst:e}");
}

fn dice_place(dice: &mut Dice, reach_m: f64) -> [f64; 3] {
    [dice.between(-reach_m, reach_m), dice.between(-reach_m, reach_m), dice.between(-1.0, 9.0)]
}

fn stage([x, y, z]: [f64; 3]) -> StagePoint3 {
    StagePoint3::new(x as f32, y as f32, z as f32)
}

fn as_f64(p: StagePoint3) -> Point3<f64> {
    Point3::new(p.x.into(), p.y.into(), p.z.into())
}

fn vector([x, y, z]: [f32; 3]) -> Vector3<f64> {
    Vector3::new(x.into(), y.into(), z.into())
}

/// Right, ahead and up as columns.
fn axes(pose: &Pose) -> Matrix3<f64> {
    Matrix3::from_columns(&[vector(pose.right), vector(pose.ahead), vector(pose.up)])
}

#[test]
fn pan_tilt_and_roll_are_three_turns_about_known_axes() {
    let mut dice = Dice::new(31);
    let about = |axis: Unit<Vector3<f64>>, deg: f64| Rotation3::from_axis_angle(&axis, deg.to_radians());
    for _ in 0..1000 {
        let (pan, tilt, roll) = (dice.between(-180.0, 180.0), dice.between(-89.0, 89.0), dice.between(-180.0, 180.0));
        // Positive pan to the left and tilt up are right-handed about up and right; a roll clockwise seen from behind
        // is right-handed about the view.
        let turn = about(Vector3::z_axis(), pan) * about(Vector3::x_axis(), tilt) * about(Vector3::y_axis(), roll);
        let angle = |deg: f64| Angle::from_degrees(deg as f32);
        let pose = Pose::of_angles(StagePoint3::default(), angle(pan), angle(tilt), angle(roll));
        let off = (axes(&pose) - turn.matrix()).abs().max();
        assert!(off < 1e-6, "{pan} {tilt} {roll}: off by {off}");
        let (back_pan, back_tilt, back_roll) = pose.angles();
        let again = Pose::of_angles(StagePoint3::default(), back_pan, back_tilt, back_roll);
        let off = (axes(&again) - axes(&pose)).abs().max();
        assert!(off < 2e-6, "{pan} {tilt} {roll}: back off by {off}");
    }
}

/// Pan, tilt and roll: forward, right and up. Worked from the rotation matrix that an open camera-data standard
/// defines (SMPTE RIS OSVP OpenTrackIO 1.0.1, order Z X Y).
#[test]
#[allow(clippy::approx_constant, reason = "the figures stand as they are printed")]
fn angles_give_the_axes_that_are_printed() {
    let printed: &[([f32; 3], [f64; 9])] = &[
        ([90.0, 0.0, 0.0], [-1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0]),
        ([0.0, 30.0, 0.0], [0.0, 0.866025, 0.5, 1.0, 0.0, 0.0, 0.0, -0.5, 0.866025]),
        ([0.0, 0.0, 10.0], [0.0, 1.0, 0.0, 0.984808, 0.0, -0.173648, 0.173648, 0.0, 0.984808]),
        ([30.0, -15.0, 0.0], [-0.482963, 0.836516, -0.258819, 0.866025, 0.5, 0.0, -0.129410, 0.224144, 0.965926]),
        ([180.0, 90.0, 45.0], [0.0, 0.0, 1.0, -0.707107, -0.707107, 0.0, -0.707107, 0.707107, 0.0]),
    ];
    for ([pan, tilt, roll], axes) in printed {
        let angle = Angle::from_degrees;
        let pose = Pose::of_angles(StagePoint3::default(), angle(*pan), angle(*tilt), angle(*roll));
        let ours = [pose.ahead, pose.right, pose.up].concat();
        for (value, printed) in ours.iter().zip(axes) {
            assert!((f64::from(*value) - printed).abs() < 1e-6, "{pan} {tilt} {roll}: {ours:?}");
        }
    }
}

/// Components right, up and behind by nalgebra, which looks along −z with y up; a roll clockwise turns the picture
/// counter-clockwise.
fn seen_by_nalgebra(from: StagePoint3, look: StagePoint3, roll_deg: f64, q: StagePoint3) -> Vector3<f64> {
    let level = Isometry3::look_at_rh(&as_f64(from), &as_f64(look), &Vector3::z());
    Rotation3::from_axis_angle(&Vector3::z_axis(), roll_deg.to_radians()) * (level * as_f64(q)).coords
}

#[test]
fn looking_at_a_point_is_what_nalgebra_makes_of_it() {
    let mut dice = Dice::new(32);
    let mut compared = 0;
    for _ in 0..2000 {
        let (from, look) = (stage(dice_place(&mut dice, 15.0)), stage(dice_place(&mut dice, 15.0)));
        let (roll, q) = (dice.between(-30.0, 30.0), stage(dice_place(&mut dice, 15.0)));
        if (from.x - look.x).hypot(from.y - look.y) < 0.5 {
            continue;
        }
        let [x, y, z]: [f64; 3] = seen_by_nalgebra(from, look, roll, q).into();
        let pose = Pose::looking(from, look, Angle::from_degrees(roll as f32), 0.0).expect("a pose");
        assert!(z.abs() < 0.01 || pose.see(q).is_some() == (z < 0.0), "{q:?} is {} m in front", -z);
        let Some(ours) = pose.see(q).filter(|_| z < -0.5) else { continue };
        let (x, y) = (x / -z, y / -z);
        // An error of the depth counts as often as the tangent is long.
        let bound = 2e-5 * (1.0 + x.abs().max(y.abs()));
        let off = (f64::from(ours.x) - x).abs().max((f64::from(ours.y) - y).abs());
        assert!(off < bound, "{from:?} to {look:?}, {q:?}: off by {off}");
        compared += 1;
    }
    assert!(compared > 500, "{compared}");
}

#[test]
fn an_operator_turns_about_the_vertical_and_about_the_cameras_own_right() {
    let mut dice = Dice::new(33);
    for _ in 0..500 {
        let angles = [dice.between(-180.0, 180.0), dice.between(-80.0, 80.0), dice.between(-20.0, 20.0)];
        let [pan, tilt, roll] = angles.map(|deg| Angle::from_degrees(deg as f32));
        let pose = Pose::of_angles(StagePoint3::new(1.0, 2.0, 3.0), pan, tilt, roll);
        let (pan, tilt) = (dice.between(-10.0, 10.0), dice.between(-10.0, 10.0));
        let own_right = Unit::new_normalize(vector(pose.right));
        let turn = Rotation3::from_axis_angle(&Vector3::z_axis(), pan.to_radians())
            * Rotation3::from_axis_angle(&own_right, tilt.to_radians());
        let turned = pose.turned(Angle::from_degrees(pan as f32), Angle::from_degrees(tilt as f32));
        let off = (axes(&turned) - turn.matrix() * axes(&pose)).abs().max();
        assert!(off < 1e-6 && turned.centre == pose.centre, "off by {off}");
    }
}
