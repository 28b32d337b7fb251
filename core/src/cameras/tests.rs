//! What the cameras' unit tests share: a show with one camera and one shot. Invented.

use heapless::Vec;

use super::body::Body;
use super::framing::{Framing, Side, framing};
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

/// The two figures were worked out by hand for this invented show before there was any code for them.
#[test]
fn a_tall_guest_sticks_out_of_a_tight_shot_and_fits_a_wider_one() {
    let guest = body(0.75, 0.55, 1.96);
    let tight = framing(&view(&one_shot([3.6, -1.6, 1.55], [0.75, 0.55, 1.3], 20.0)), &guest);
    assert!((tight.head - 1.38).abs() < 0.005, "{tight:?}");
    assert_eq!(tight.state, Framing::Cut(Side::Top));
    let wider = framing(&view(&one_shot([3.6, -1.6, 1.55], [0.75, 0.55, 1.42], 16.0)), &guest);
    assert!((wider.head - 0.90).abs() < 0.005, "{wider:?}");
    assert!((wider.limit - 0.93).abs() < 1e-6);
    assert_eq!(wider.state, Framing::Framed);
}

#[test]
fn a_camera_on_a_cable_goes_as_fast_as_its_keys_say() {
    let keys = [
        key(0.0, [-15.0, -12.0, 7.0], [0.0, 0.0, 1.0], 24.0),
        key(4.5, [0.0, -12.0, 6.0], [0.0, 0.0, 1.0], 24.0),
        key(9.0, [15.0, -12.0, 5.0], [0.0, 0.0, 1.0], 24.0),
    ];
    let show = with_keys(one_shot([0.0; 3], [1.0; 3], 24.0), ShotKind::Move, &keys);
    let speed = super::shots::speed(&show, ShotId(0));
    // √(15² + 1²) m in 4.5 s.
    assert!((speed.mps - 3.3407).abs() < 0.001, "{speed:?}");
    // Nearest to the point it looks at, 13 m away, it goes round it with the part of its speed that is across.
    assert!((14.0..15.0).contains(&speed.dps), "{speed:?}");
}
