//! The invented 3 m corner stage of the demos, its faults, and the doors.

use super::*;
use crate::geom::{StagePoint3, TrackingPoint};

fn reading(stage: (f32, f32), tracking: (f32, f32, f32)) -> Reading {
    Reading {
        stage: StagePoint3::new(stage.0, stage.1, 0.0),
        tracking: TrackingPoint::new(tracking.0, tracking.1, tracking.2),
    }
}

fn corner_stage() -> [Reading; 6] {
    [
        reading((-1.5, -1.5), (1.167, -3.660, 0.117)),
        reading((1.5, -1.5), (4.098, -3.016, 0.119)),
        reading((1.5, 1.5), (3.455, -0.088, 0.118)),
        reading((-1.5, 1.5), (0.522, -0.732, 0.118)),
        reading((0.0, 0.0), (2.310, -1.873, 0.119)),
        reading((-0.5, 1.0), (1.610, -1.003, 0.116)),
    ]
}

fn near(value: f32, expected: f32, within: f32) {
    assert!((value - expected).abs() <= within, "{value} is not {expected} ± {within}");
}

#[test]
fn a_good_survey() {
    let survey = Survey::of(&corner_stage(), Scale::Fixed).unwrap();
    near(survey.map.yaw().to_degrees(), 12.4, 0.05);
    // 1.7 mm is the figure on the floor plan; heights to the millimetre make it 1.9 in space. Both as a
    // general library's SVD gives them in double precision.
    near(survey.plan_rms_m * 1000.0, 1.686, 0.005);
    near(survey.rms_m * 1000.0, 1.912, 0.005);
    near(survey.map.height_m(), 0.118, 0.001);
    near(survey.map.tilt().to_degrees(), 0.0, 0.1);
    assert_eq!(survey.grade, Grade::Green);
    assert_eq!(survey.suspect, None);
    assert_eq!(survey.map.scale(), 1.0);
}

#[test]
fn the_map_goes_there_and_back() {
    let map = Survey::of(&corner_stage(), Scale::Common).unwrap().map;
    let p = StagePoint3::new(1.25, -0.75, 1.6);
    let back = map.to_stage(map.to_tracking(p));
    assert!((back.x - p.x).abs() < 2e-6 && (back.y - p.y).abs() < 2e-6 && (back.z - p.z).abs() < 2e-6);
}

#[test]
fn one_bad_reading_is_named() {
    let mut readings = corner_stage();
    readings[5].tracking.x = 1.644;
    let survey = Survey::of(&readings, Scale::Fixed).unwrap();
    near(survey.rms_m * 1000.0, 13.506, 0.01);
    near(survey.worst_m * 1000.0, 29.51, 0.01);
    assert_eq!((survey.worst, survey.grade), (5, Grade::Red));
    let Some(Suspect::Reading { index, rms_without_m, plan_rms_without_m, .. }) = survey.suspect else {
        panic!("{:?}", survey.suspect)
    };
    assert_eq!(index, 5);
    near(plan_rms_without_m * 1000.0, 1.415, 0.005);
    near(rms_without_m * 1000.0, 1.537, 0.005);
}

#[test]
fn swapped_sides_are_mirrored() {
    let mut readings = corner_stage();
    for r in &mut readings {
        r.stage.x = -r.stage.x;
    }
    let Err(SurveyError::Mirrored { mirror_rms_m, rms_m }) = Survey::of(&readings, Scale::Fixed) else { panic!() };
    near(mirror_rms_m * 1000.0, 1.912, 0.005);
    assert!(rms_m > 1.0);
    // Only the corners read on the wrong side: one inner point then belongs to neither picture.
    let mut corners = corner_stage();
    let read = corners.map(|r| r.tracking);
    for (i, j) in [(0, 1), (1, 0), (2, 3), (3, 2)] {
        corners[i].tracking = read[j];
    }
    assert!(matches!(Survey::of(&corners, Scale::Fixed), Err(SurveyError::Mirrored { .. })));
}

#[test]
fn a_mirrored_survey_with_heights_is_mirrored_too() {
    let mut readings = corner_stage();
    readings[4].stage.z = 0.4;
    readings[4].tracking.z += 0.4;
    assert_eq!(Survey::of(&readings, Scale::Fixed).unwrap().grade, Grade::Green);
    for r in &mut readings {
        r.stage.y = -r.stage.y;
    }
    assert!(matches!(Survey::of(&readings, Scale::Fixed), Err(SurveyError::Mirrored { .. })));
}

#[test]
fn two_exchanged_readings_are_named() {
    let mut readings = corner_stage();
    (readings[1].tracking, readings[4].tracking) = (readings[4].tracking, readings[1].tracking);
    let survey = Survey::of(&readings, Scale::Fixed).unwrap();
    let Some(Suspect::Swapped { first, second, rms_m }) = survey.suspect else { panic!("{:?}", survey.suspect) };
    assert_eq!((first, second), (1, 4));
    near(rms_m * 1000.0, 1.912, 0.005);
}

#[test]
fn a_grown_floor_is_accepted_up_to_the_limit() {
    let mut readings =
        corner_stage().map(|r| Reading { stage: StagePoint3::new(r.stage.x * 5.0, r.stage.y * 5.0, 0.0), ..r });
    let exact = |r: &mut Reading, k: f32| {
        let p = r.stage;
        r.tracking = TrackingPoint::new(p.x / k + 3.0, p.y / k - 2.0, 0.1);
    };
    readings.iter_mut().for_each(|r| exact(r, 1.001));
    let survey = Survey::of(&readings, Scale::Common).unwrap();
    near(survey.map.scale(), 1.001, 1e-6);
    assert!(survey.rms_m < 1e-5 && !survey.scale_held);
    readings.iter_mut().for_each(|r| exact(r, 1.004));
    let survey = Survey::of(&readings, Scale::Common).unwrap();
    near(survey.map.scale(), 1.0 + SCALE_LIMIT, 1e-6);
    assert!(survey.scale_held && survey.grade == Grade::Red);
}

#[test]
fn what_cannot_be_fitted_is_named() {
    let all = corner_stage();
    let of = |readings: &[Reading]| Survey::of(readings, Scale::Fixed).unwrap_err();
    assert_eq!(of(&all[..2]), SurveyError::TooFew { given: 2 });
    assert_eq!(of(&[]), SurveyError::TooFew { given: 0 });
    assert_eq!(of(&[all[0]; crate::limits::SURVEY_POINTS + 1]), SurveyError::TooMany);
    // Corner, centre and the opposite corner.
    assert_eq!(of(&[all[0], all[4], all[2]]), SurveyError::Collinear);
    assert_eq!(of(&[all[0], all[1], all[2], all[1]]), SurveyError::Duplicate { first: 1, second: 3 });
    let mut far = all;
    far[3].tracking.z = f32::INFINITY;
    assert_eq!(of(&far), SurveyError::NotFinite { index: 3 });
    let small = all.map(|r| Reading { stage: StagePoint3::new(r.stage.x * 0.1, r.stage.y * 0.1, 0.0), ..r });
    assert_eq!(of(&small), SurveyError::TooClose);
}

#[test]
fn limits_belong_to_the_better_band() {
    assert_eq!(Grade::of(0.005, 0.010), Grade::Green);
    assert_eq!(Grade::of(0.0051, 0.010), Grade::Amber);
    assert_eq!(Grade::of(0.010, 0.020), Grade::Amber);
    assert_eq!(Grade::of(0.004, 0.0201), Grade::Red);
}

#[test]
fn four_points_cannot_tell_which_height_is_wrong() {
    let mut readings = [corner_stage()[0], corner_stage()[1], corner_stage()[2], corner_stage()[3]];
    readings[2].tracking.z += 0.08;
    let survey = Survey::of(&readings, Scale::Fixed).unwrap();
    assert!(survey.grade != Grade::Green);
    assert_eq!(survey.suspect, None);
}
