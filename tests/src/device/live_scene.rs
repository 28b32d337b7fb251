//! The fullest question about hidden marks: 8 cameras, 24 marks, 16 parts of 16 sides each. Invented.

use underfoot_core::cameras::shots::Speed;
use underfoot_core::geom::{StagePoint, StagePoint3};
use underfoot_core::show::{
    CameraId, CueProp, Layer, Name, Part, PartShape, Presence, Prop, PropId, Run, ShotId, ShotKey, ShotKind, Show,
};
use underfoot_firmware::rig::live::{CameraAsk, MARKS};

use super::shows::demo;

const CAMERAS: u8 = 8;
const SOLIDS: usize = 16;
const SIDES: u16 = 16;

/// The arena's 24 performers with parts of these heights, each an ellipse between the cameras and the marks.
fn show(tops_m: [f32; SOLIDS]) -> Box<Show> {
    let mut show = demo("lantern-field");
    show.cues.truncate(1);
    let only = Run { first: 0, len: MARKS as u16 };
    show.cues[0].places = Run { first: show.cues[0].places.first, ..only };
    show.cues[0].shots = Run::default();
    show.cues[0].props = Run { first: 0, len: 1 };
    show.motions.clear();
    show.motion_keys.clear();
    show.cue_props.clear();
    show.cue_shots.clear();
    let state = CueProp { prop: PropId(0), presence: Presence::Live, coming_ms: 0, motion: None };
    show.cue_props.push(state).expect("room");
    show.props.clear();
    show.parts.clear();
    show.part_vertices.clear();
    let parts = Run { first: 0, len: SOLIDS as u16 };
    let at = StagePoint::new(0.0, -13.0);
    show.props.push(Prop { name: Name::default(), at, turn_deg: 0.0, parts }).expect("room");
    for (i, top_m) in (0..).zip(tops_m) {
        let corner = |k: u16| {
            let (sin, cos) = (f32::from(k) * std::f32::consts::TAU / f32::from(SIDES)).sin_cos();
            StagePoint::new(28.0 * cos, 2.0 * sin)
        };
        (0..SIDES).for_each(|k| show.part_vertices.push(corner(k)).expect("room"));
        let shape = PartShape::Polygon(Run { first: i * SIDES, len: SIDES });
        let part = Part { shape, bottom_m: 0.0, top_m, layer: Layer::Overlay, transparent: false };
        show.parts.push(part).expect("room");
    }
    add_cameras(&mut show);
    show
}

/// Eight cameras in a row, with a shot each.
fn add_cameras(show: &mut Show) {
    let (camera, shot) = (show.cameras[0].clone(), show.shots[0].clone());
    show.cameras.clear();
    show.shots.clear();
    show.shot_keys.clear();
    for i in 0..CAMERAS {
        let mut camera = camera.clone();
        camera.name = format!("CAM{}", i + 1).as_str().try_into().expect("a short name");
        show.cameras.push(camera).expect("room");
        let mut shot = shot.clone();
        shot.name = format!("SHOT{}", i + 1).as_str().try_into().expect("a short name");
        (shot.camera, shot.kind, shot.keys) = (CameraId(i), ShotKind::Preset, Run { first: i.into(), len: 1 });
        show.shots.push(shot).expect("room");
        show.shot_keys.push(key(i)).expect("room");
    }
}

/// A pose that has all marks in its picture.
fn key(i: u8) -> ShotKey {
    let from = StagePoint3::new(-7.0 + 2.0 * f32::from(i), -34.0, 6.0);
    ShotKey { at_s: 0.0, from, look: StagePoint3::new(0.0, -4.0, 0.0), roll_deg: 0.0, focal_mm: 20.0 }
}

/// Cameras that all move, so that what covers a mark has to cover it from all round each.
pub fn cameras() -> Vec<CameraAsk> {
    (0..CAMERAS).map(|i| CameraAsk { shot: ShotId(i), key: key(i), speed: Speed { mps: 0.5, dps: 1.0 } }).collect()
}

/// All marks are in every picture and none is covered: each part ends a little too low.
pub fn all_seen() -> Box<Show> {
    show([0.4; SOLIDS])
}

/// All marks are in every picture, and the last part alone covers them all, from all cameras.
pub fn all_covered_by_the_last() -> Box<Show> {
    let mut tops_m = [0.4; SOLIDS];
    tops_m[SOLIDS - 1] = 30.0;
    show(tops_m)
}
