//! Cameras and shots.

use underfoot_core::geom::StagePoint3;
use underfoot_core::limits;
use underfoot_core::show::{Camera, CameraId, CameraKind, Lens, Shot, ShotKey, ShotKind};

use super::resolver::Take::{Needed, Optional, Stray};
use super::resolver::{Resolver, metres, name, point, point3, run, small};
use crate::project::model::CameraDetails;
use crate::project::raw::RawFile;
use crate::project::raw::cameras::{Known, RawCamera, RawShot, RawShotKey};

impl Resolver<'_> {
    pub(super) fn cameras(&mut self, raw: &RawFile) {
        self.unique("camera", raw.camera.iter().map(|c| c.name.0.as_str()));
        self.unique("shot", raw.shot.iter().map(|s| s.name.0.as_str()));
        for (i, c) in raw.camera.iter().enumerate() {
            self.camera(c, i);
        }
        let keys: usize = raw.shot.iter().map(|s| s.key.as_ref().map_or(1, Vec::len)).sum();
        if keys > limits::SHOT_KEYS {
            return self.full("shot", "poses over all shots", keys, limits::SHOT_KEYS);
        }
        let cameras: Vec<&str> = raw.camera.iter().map(|c| c.name.0.as_str()).collect();
        for (i, s) in raw.shot.iter().enumerate() {
            let camera = self.find(&format!("shot[{i}].camera"), "camera", &s.camera, &cameras);
            self.shot(s, i, camera);
        }
    }

    fn camera(&mut self, c: &RawCamera, i: usize) {
        let path = format!("camera[{i}]");
        let jib = c.kind.0 == Known::Jib;
        let needed = if jib { Needed } else { Stray };
        let owner = if jib { "a jib" } else { "a camera that is not on a jib" };
        self.takes(
            &path,
            owner,
            &[
                ("base", c.base.is_some(), needed),
                ("pivot_m", c.pivot_m.is_some(), needed),
                ("arm_m", c.arm_m.is_some(), needed),
                ("tail_m", c.tail_m.is_some(), needed),
                ("at", c.at.is_some(), if jib { Stray } else { Optional }),
            ],
        );
        let kind = camera_kind(c);
        self.cameras.push(CameraDetails { mount: c.mount.0, at: c.at.map(point3) });
        self.put("cameras", i, &path);
        let lens = Lens {
            sensor_width_mm: c.sensor_mm[0].get(),
            sensor_height_mm: c.sensor_mm[1].get(),
            pupil_m: metres(c.pupil_mm),
            distortion: c.distortion.map(|d| d.map(|k| k.get())),
        };
        let _ = self.show.cameras.push(Camera {
            name: name(&c.name.0),
            kind,
            lens,
            recorded: c.recorded,
            person_matte: c.person_matte,
            pan_tilt_tolerance_deg: c.pan_tilt_tolerance_deg as f32,
            zoom_tolerance: (c.zoom_tolerance_percent / 100.0) as f32,
        });
    }

    fn shot(&mut self, s: &RawShot, i: usize, camera: Option<usize>) {
        let path = format!("shot[{i}]");
        let moving = matches!(s.kind.0, ShotKind::Range | ShotKind::Move);
        let owner = if moving { "a range or a move" } else { "a preset or live shot" };
        self.takes(&path, owner, &[("key", s.key.is_some(), if moving { Needed } else { Stray })]);
        let before = self.show.shot_keys.len();
        match &s.key {
            Some(keys) if moving => {
                for (k, key) in keys.iter().enumerate() {
                    let path = format!("{path}.key[{k}]");
                    let last = k.checked_sub(1).and_then(|b| keys.get(b)).map(|last| last.at_s.0);
                    if s.kind.0 == ShotKind::Move && last.is_some_and(|last| key.at_s.0 <= last) {
                        let what = format!("key {} is at {} s, not after the one before", k + 1, key.at_s.0);
                        self.fault(&format!("{path}.at_s"), what, "write keys in time order");
                    }
                    self.pose(s, key, camera, &path);
                }
            }
            _ => self.pose(s, &RawShotKey::default(), camera, &path),
        }
        self.put("shots", i, &path);
        let keys = run(before, self.show.shot_keys.len());
        let _ = self.show.shots.push(Shot {
            name: name(&s.name.0),
            camera: CameraId(small(camera.unwrap_or(0))),
            kind: s.kind.0,
            keys,
            safe_margin: (s.safe_margin_percent / 100.0) as f32,
            lower_line: s.lower_line.0,
            crop: s.crop.0,
        });
    }

    /// One pose: what the key leaves out, the shot gives, then the camera.
    fn pose(&mut self, s: &RawShot, key: &RawShotKey, camera: Option<usize>, path: &str) {
        let look = key.look.or(s.look).map(point3);
        let focal_mm = key.focal_mm.or(s.focal_mm).map(|f| f.get());
        self.takes(path, "a pose", &[("look", look.is_some(), Needed), ("focal_mm", focal_mm.is_some(), Needed)]);
        let from = self.pose_place(s, key, camera, path);
        let (Some(from), Some(look), Some(focal_mm)) = (from, look, focal_mm) else { return };
        let apart = [from.x - look.x, from.y - look.y, from.z - look.z].map(f32::abs);
        if apart.iter().all(|&d| d < 0.01) {
            let what = format!("shot `{}` looks at its own place", s.name.0);
            self.fault(&format!("{path}.look"), what, "look at a point in front of the camera");
        }
        self.put("shot_keys", self.show.shot_keys.len(), path);
        let roll_deg = key.roll_deg.unwrap_or(s.roll_deg).get();
        let _ = self.show.shot_keys.push(ShotKey { at_s: key.at_s.get(), from, look, roll_deg, focal_mm });
    }

    fn pose_place(&mut self, s: &RawShot, key: &RawShotKey, camera: Option<usize>, path: &str) -> Option<StagePoint3> {
        let camera = camera?;
        let kind = self.show.cameras.get(camera)?.kind;
        let usual = self.cameras.get(camera).and_then(|c| c.at);
        let azimuth = key.azimuth_deg.or(s.azimuth_deg);
        let elevation = key.elevation_deg.or(s.elevation_deg);
        let from = key.from.or(s.from);
        match (azimuth, elevation, kind) {
            (None, None, _) => from.map(point3).or(usual).or_else(|| {
                let what = format!("shot `{}` has no place: camera `{}` has no `at`", s.name.0, s.camera.0);
                self.fault(path, what, "add `from` to the shot, or `at` to the camera");
                None
            }),
            (Some(azimuth), Some(elevation), CameraKind::Jib { base, pivot_m, arm_m, .. }) if from.is_none() => {
                let (azimuth, elevation) = (azimuth.0.to_radians(), elevation.0.to_radians());
                let reach = f64::from(arm_m) * elevation.cos();
                Some(StagePoint3::new(
                    (f64::from(base.x) + reach * azimuth.sin()) as f32,
                    (f64::from(base.y) + reach * azimuth.cos()) as f32,
                    (f64::from(pivot_m) + f64::from(arm_m) * elevation.sin()) as f32,
                ))
            }
            _ => {
                let what = format!("shot `{}` has an arm direction that cannot be used", s.name.0);
                let remedy = "write `azimuth_deg` and `elevation_deg` together, on a jib, without `from`";
                self.fault(path, what, remedy);
                None
            }
        }
    }
}

/// How the camera moves; a jib that lacks a key is refused elsewhere.
fn camera_kind(c: &RawCamera) -> CameraKind {
    match c.kind.0 {
        Known::Tracked => CameraKind::Tracked,
        Known::HandHeld => CameraKind::TrackedHandHeld,
        Known::Untracked => CameraKind::Untracked,
        Known::Jib => CameraKind::Jib {
            base: c.base.map(|b| point(b).at_height(0.0)).unwrap_or_default(),
            pivot_m: c.pivot_m.map_or(1.0, |m| m.get()),
            arm_m: c.arm_m.map_or(1.0, |m| m.get()),
            tail_m: c.tail_m.map_or(1.0, |m| m.get()),
        },
    }
}
