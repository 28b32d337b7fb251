//! What the cameras' unit tests share: a show with one camera and one shot. Invented.

mod framing;
mod lens;
mod shots;
mod sight;
mod surfaces;

use heapless::Vec;

use super::body::Body;
use super::shots::{View, view_at};
use crate::geom::{StagePoint, StagePoint3};
use crate::show::cameras::{Crop, LowerLine};
use crate::show::{Camera, CameraId, CameraKind, Lens, Name, Run, Shot, ShotId, ShotKey, ShotKind, Show};

/// A camera with a 2/3-inch sensor and an operator without tolerance, and a preset shot of it.
pub(super) fn one_shot(from: [f32; 3], look: [f32; 3], focal_mm: f32) -> Show {
    let mut show = Show::default();
    let lens = Lens { sensor_width_mm: 9.59, sensor_height_mm: 5.39, pupil_m: 0.0, distortion: None };
    let camera = Camera {
        name: Name::default(),
        kind: CameraKind::Tracked,
        lens,
        recorded: false,
        person_matte: false,
        pan_tilt_tolerance_deg: 0.0,
        zoom_tolerance: 0.0,
    };
    show.cameras.push(camera).unwrap();
    let shot = Shot {
        name: Name::default(),
        camera: CameraId(0),
        kind: ShotKind::Preset,
        keys: Run { first: 0, len: 1 },
        safe_margin: 0.035,
        lower_line: LowerLine::Waist,
        crop: Crop::Full,
    };
    show.shots.push(shot).unwrap();
    show.shot_keys.push(key(0.0, from, look, focal_mm)).unwrap();
    show
}

pub(super) fn key(at_s: f32, from: [f32; 3], look: [f32; 3], focal_mm: f32) -> ShotKey {
    let place = |[x, y, z]: [f32; 3]| StagePoint3::new(x, y, z);
    ShotKey { at_s, from: place(from), look: place(look), roll_deg: 0.0, focal_mm }
}

/// The same show with these keys for its only shot.
pub(super) fn with_keys(mut show: Show, kind: ShotKind, keys: &[ShotKey]) -> Show {
    show.shot_keys = Vec::from_slice(keys).unwrap();
    show.shots[0].kind = kind;
    show.shots[0].keys = Run { first: 0, len: keys.len() as u16 };
    show
}

pub(super) fn view(show: &Show) -> View {
    view_at(show, ShotId(0), 0.0).unwrap()
}

pub(super) fn body(x: f32, y: f32, height_m: f32) -> Body {
    Body { at: StagePoint::new(x, y), base_m: 0.0, height_m, radius_m: 0.25 }
}
