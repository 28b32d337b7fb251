//! Keys, moves, jibs and what can be wrong with a shot.

use std::vec::Vec;

use super::{key, one_shot, view, with_keys};
use crate::cameras::lens::LensError;
use crate::cameras::live::Tracked;
use crate::cameras::shots::{
    Jib, ShotError, Speed, View, jib_head, jib_place, jib_tail, key_at, speed, view_at, view_of, views,
};
use crate::geom::StagePoint3;
use crate::show::{CameraId, CameraKind, ShotId, ShotKey, ShotKind, Show};

const SHOT: ShotId = ShotId(0);

/// An invented jib; its two head places were worked out by hand before there was any code for them.
const JIB: CameraKind =
    CameraKind::Jib { base: StagePoint3::new(6.5, -5.0, 0.0), pivot_m: 1.5, arm_m: 5.0, tail_m: 1.4 };
const LOW: [f32; 3] = [2.19, -2.51, 1.06];
const HIGH: [f32; 3] = [5.10, -1.15, 4.37];

fn all_views(show: &Show) -> Vec<View> {
    let mut all = Vec::new();
    views(show, SHOT, &mut |view| all.push(view)).unwrap();
    all
}

fn level() -> Show {
    one_shot([0.0, -5.0, 1.0], [0.0, 0.0, 1.0], 9.59)
}

fn near(p: StagePoint3, worked_out: [f32; 3], within: f32) {
    let [x, y, z] = worked_out;
    let off = (p.x - x).abs().max((p.y - y).abs()).max((p.z - z).abs());
    assert!(off <= within, "{p:?} should be {worked_out:?}");
}

fn swinging(last_s: f32) -> Show {
    let place = |azimuth_deg, elevation_deg| {
        let p = jib_place(&JIB, Jib { azimuth_deg, elevation_deg }).unwrap();
        [p.x, p.y, p.z]
    };
    let keys =
        [key(0.0, place(-60.0, -5.0), [-0.6, 0.4, 1.5], 7.5), key(last_s, place(-20.0, 35.0), [0.0, 0.0, 0.8], 7.5)];
    let mut show = with_keys(level(), ShotKind::Move, &keys);
    show.cameras[0].kind = JIB;
    show
}

#[test]
fn a_camera_on_a_cable_goes_as_fast_as_its_keys_say() {
    let keys = [
        key(0.0, [-15.0, -12.0, 7.0], [0.0, 0.0, 1.0], 24.0),
        key(4.5, [0.0, -12.0, 6.0], [0.0, 0.0, 1.0], 24.0),
        key(9.0, [15.0, -12.0, 5.0], [0.0, 0.0, 1.0], 24.0),
    ];
    let show = with_keys(one_shot([0.0; 3], [1.0; 3], 24.0), ShotKind::Move, &keys);
    let speed = speed(&show, SHOT);
    // √(15² + 1²) m in 4.5 s.
    assert!((speed.mps - 3.3407).abs() < 0.001, "{speed:?}");
    // Nearest to the point it looks at, 13 m away, it goes round it with the part of its speed that is across.
    assert!((14.0..15.0).contains(&speed.dps), "{speed:?}");
}

#[test]
fn a_jib_puts_its_head_where_its_arm_points() {
    near(jib_place(&JIB, Jib { azimuth_deg: -60.0, elevation_deg: -5.0 }).unwrap(), LOW, 0.006);
    near(jib_place(&JIB, Jib { azimuth_deg: -20.0, elevation_deg: 35.0 }).unwrap(), HIGH, 0.006);
    for (azimuth_deg, elevation_deg) in [(-60.0, -5.0), (170.0, 60.0), (90.0, 0.0)] {
        let found = jib_head(&JIB, jib_place(&JIB, Jib { azimuth_deg, elevation_deg }).unwrap()).unwrap();
        assert!((found.azimuth_deg - azimuth_deg).abs() < 1e-3, "{found:?}");
        assert!((found.elevation_deg - elevation_deg).abs() < 1e-3, "{found:?}");
    }
    assert_eq!(jib_head(&CameraKind::Tracked, StagePoint3::default()), None);
    assert_eq!(jib_head(&JIB, StagePoint3::new(6.5, -5.0, 1.5)), None);
}

#[test]
fn the_tail_goes_down_when_the_head_goes_up() {
    // 1.5 − 1.4 · sin: 1.622 m and 0.697 m; a plan distance of 1.4 · cos from the base.
    near(jib_tail(&JIB, -60.0, -5.0).unwrap(), [7.7078, -5.6973, 1.6220], 2e-4);
    near(jib_tail(&JIB, -20.0, 35.0).unwrap(), [6.8922, -6.0776, 0.6970], 2e-4);
    assert_eq!(jib_tail(&CameraKind::Tracked, 0.0, 0.0), None);
}

#[test]
fn between_keys_a_jib_goes_round_its_pivot_and_others_go_straight() {
    let half = key_at(&swinging(12.0), SHOT, 6.0).unwrap();
    // Azimuth −40, elevation 15: 5 · cos 15 = 4.8296 out, 1.2941 up.
    near(half.from, [6.5 - 3.1044, -5.0 + 3.6997, 2.7941], 1e-3);
    near(half.look, [-0.3, 0.2, 1.15], 1e-5);
    let mut straight = swinging(12.0);
    straight.cameras[0].kind = CameraKind::Tracked;
    near(key_at(&straight, SHOT, 6.0).unwrap().from, [3.6445, -1.8292, 2.7161], 2e-3);
}

#[test]
fn a_jib_swings_the_short_way_across_downstage() {
    let arm = |azimuth_deg| {
        let p = jib_place(&JIB, Jib { azimuth_deg, elevation_deg: 0.0 }).unwrap();
        [p.x, p.y, p.z]
    };
    let keys = [key(0.0, arm(170.0), [0.0; 3], 8.0), key(2.0, arm(-170.0), [0.0; 3], 8.0)];
    let mut show = with_keys(level(), ShotKind::Move, &keys);
    show.cameras[0].kind = JIB;
    near(key_at(&show, SHOT, 1.0).unwrap().from, [6.5, -10.0, 1.5], 1e-4);
}

#[test]
fn the_speed_of_a_jib_is_that_of_its_arc() {
    // Level, both angles change by 40 degrees in 12 s: 5 · √2 · 0.05818 rad/s.
    let fastest = speed(&swinging(12.0), SHOT);
    assert!((fastest.mps - 0.4114).abs() < 0.002, "{fastest:?}");
}

#[test]
fn only_what_moves_has_a_speed() {
    let mut show = level();
    assert_eq!((speed(&show, SHOT).mps, speed(&show, SHOT).dps), (0.0, 0.0));
    show.shots[0].kind = ShotKind::Live;
    assert_eq!((speed(&show, SHOT).mps, speed(&show, SHOT).dps), (0.0, 30.0));
    // A pan on the spot: 45 degrees in 3 s.
    let keys = [key(0.0, [0.0; 3], [0.0, 4.0, 0.0], 8.0), key(3.0, [0.0; 3], [4.0, 4.0, 0.0], 8.0)];
    let pan = speed(&with_keys(show, ShotKind::Move, &keys), SHOT);
    assert_eq!(pan.mps, 0.0);
    // The point goes straight: 4/3 m/s seen from 4 m, 19.1 degrees a second at first.
    assert!((18.5..19.1).contains(&pan.dps), "{pan:?}");
}

#[test]
fn presets_give_one_view_and_moves_as_many_as_they_need() {
    assert_eq!(all_views(&level()).len(), 1);
    let count = |kind, times: &[f32]| {
        let keys: Vec<ShotKey> = times.iter().map(|&t| key(t, [t, -5.0, 1.0], [0.0, 0.0, 1.0], 9.0)).collect();
        let all = all_views(&with_keys(level(), kind, &keys));
        assert!(all.windows(2).all(|pair| pair[0].at_s < pair[1].at_s));
        all.len()
    };
    assert_eq!(count(ShotKind::Move, &[0.0, 4.5, 9.0]), 11);
    assert_eq!(count(ShotKind::Move, &[0.0, 0.8]), 2);
    assert_eq!(count(ShotKind::Move, &[0.0, 60.0]), 16);
    assert_eq!(count(ShotKind::Move, &[0.0, 2.0, 30.0, 31.0]), 15);
    assert_eq!(count(ShotKind::Range, &[0.0, 1.0]), 9);
    // More keys than views: all the keys, and nothing in between.
    let many: Vec<f32> = (0..20).map(|i| i as f32 * 3.0).collect();
    assert_eq!(count(ShotKind::Move, &many), 20);
}

#[test]
fn no_two_views_of_a_short_move_are_more_than_a_second_apart() {
    let keys =
        [key(0.0, [0.0; 3], [1.0; 3], 8.0), key(3.4, [1.0; 3], [2.0; 3], 8.0), key(9.0, [2.0; 3], [3.0; 3], 8.0)];
    let all = all_views(&with_keys(level(), ShotKind::Move, &keys));
    assert!(all.windows(2).all(|pair| pair[1].at_s - pair[0].at_s <= 1.0 + 1e-5));
    assert!(keys.iter().all(|k| all.iter().any(|v| v.at_s == k.at_s && v.pose.centre == k.from)));
}

#[test]
fn the_time_of_a_range_counts_its_keys() {
    let keys = [key(0.0, [0.0; 3], [0.0, 4.0, 0.0], 8.0), key(0.0, [2.0, 0.0, 0.0], [0.0, 4.0, 0.0], 12.0)];
    let show = with_keys(level(), ShotKind::Range, &keys);
    let half = key_at(&show, SHOT, 0.5).unwrap();
    near(half.from, [1.0, 0.0, 0.0], 1e-6);
    assert_eq!(half.focal_mm, 10.0);
    assert_eq!(key_at(&show, SHOT, 9.0).unwrap().focal_mm, 12.0);
}

#[test]
fn a_live_pose_gives_the_view_of_a_preset_there() {
    let mut show = level();
    let planned = view(&show);
    let reported = show.shot_keys[0];
    show.shots[0].kind = ShotKind::Live;
    show.shot_keys[0].from.x = 3.0;
    assert_eq!(view_of(&show, SHOT, &reported), Ok(planned));
}

#[test]
fn a_camera_that_is_followed_is_where_it_is_heard_to_be() {
    let mut show = level();
    show.cameras[0].lens.distortion = Some([-0.1, 0.02, 0.001, 0.0, 0.0]);
    let heard = |from: [f32; 3], focal_mm| key(0.02, from, [0.1, 0.2, 1.1], focal_mm);
    let of = |key: &ShotKey| Tracked::of(&show, CameraId(0), key, Speed::default());
    let mut followed = of(&heard([0.0, -5.0, 1.0], 9.59)).unwrap();
    for focal_mm in [9.59, 14.0] {
        let there = heard([0.4, -4.9, 1.3], focal_mm);
        followed.follow(&show, &there, Speed::default()).unwrap();
        assert_eq!(Ok(followed), of(&there));
    }
    let before = followed;
    let nowhere = key(0.0, [1.0; 3], [1.0; 3], 14.0);
    assert_eq!(followed.follow(&show, &nowhere, Speed::default()), Err(ShotError::BadPose));
    assert_eq!(followed, before);
}

/// A metre to the side in half a second, and 45 degrees with it; then twice the focal length: half the picture's diagonal
/// goes from atan(d) to atan(d / 2).
#[test]
fn speeds_are_how_far_it_went() {
    let show = level();
    let of = |key: &ShotKey| Tracked::of(&show, CameraId(0), key, Speed::default()).unwrap();
    let first = of(&key(0.0, [0.0, 0.0, 1.0], [0.0, 10.0, 1.0], 10.0));
    let second = of(&key(0.0, [1.0, 0.0, 1.0], [11.0, 10.0, 1.0], 10.0));
    let went = second.went(&first, 0.5);
    assert!((went.mps - 2.0).abs() < 1e-5 && (went.dps - 90.0).abs() < 1e-3, "{went:?}");
    let zoomed = of(&key(0.0, [0.0, 0.0, 1.0], [0.0, 10.0, 1.0], 20.0));
    let lens = &show.cameras[0].lens;
    let half = lens.sensor_width_mm.hypot(lens.sensor_height_mm) / 20.0;
    let due = (half.atan() - (half / 2.0).atan()).to_degrees();
    assert!((zoomed.went(&first, 1.0).dps - due).abs() < 1e-3 && due > 5.0, "{due}");
    let rolled = of(&ShotKey { roll_deg: 10.0, ..key(0.0, [0.0, 0.0, 1.0], [0.0, 10.0, 1.0], 10.0) });
    let due = 10.0 * half.atan().sin();
    assert!((rolled.went(&first, 1.0).dps - due).abs() < 1e-3, "{due}");
}

#[test]
fn tolerance_turns_about_the_tracked_point_and_takes_the_pupil_along() {
    let mut show = level();
    assert!(view(&show).corners.is_empty());
    show.cameras[0].pan_tilt_tolerance_deg = 2.0;
    show.cameras[0].lens.pupil_m = 0.2;
    let view = view(&show);
    near(view.pose.centre, [0.0, -4.8, 1.0], 1e-6);
    assert_eq!(view.corners.len(), 4);
    for corner in &view.corners {
        let (pan, tilt, roll) = corner.angles();
        assert!((pan.to_degrees().abs() - 2.0).abs() < 1e-3 && (tilt.to_degrees().abs() - 2.0).abs() < 1e-3);
        assert!(roll.to_degrees().abs() < 1e-3);
        near(corner.advanced(-0.2).centre, [0.0, -5.0, 1.0], 1e-6);
    }
}

#[test]
fn what_is_wrong_with_a_shot_is_named() {
    let show = level();
    assert_eq!(view_at(&show, ShotId(7), 0.0).unwrap_err(), ShotError::Unknown);
    assert_eq!(view_at(&with_keys(show.clone(), ShotKind::Move, &[]), SHOT, 0.0).unwrap_err(), ShotError::NoKeys);
    let own_place = key(0.0, [1.0; 3], [1.0; 3], 8.0);
    assert_eq!(view_of(&show, SHOT, &own_place).unwrap_err(), ShotError::BadPose);
    let no_lens = key(0.0, [0.0; 3], [1.0; 3], 0.0);
    assert_eq!(view_of(&show, SHOT, &no_lens).unwrap_err(), ShotError::Lens(LensError::BadFocal));
}
