//! A picture: pinhole, safe frame, operator's tolerance.

use underfoot_core::cameras::Side;
use underfoot_core::show::cameras::{Crop, LowerLine};
use underfoot_core::show::{Camera, Shot, ShotId, ShotKey};

use super::Person;

type V3 = [f64; 3];

/// One pose of a shot.
#[derive(Clone, Debug)]
pub struct Eye {
    /// The shot.
    pub shot: ShotId,
    /// Where the camera is.
    pub centre: V3,
    /// True when nobody is painted over.
    pub person_matte: bool,
    /// Axes to the right, up and ahead: planned first, then the corners of the tolerance.
    poses: Vec<[V3; 3]>,
    /// Tangents of left, right, bottom and top of the safe frame, zoomed in.
    safe: [f64; 4],
    /// The same of the whole frame.
    whole: [f64; 4],
    lower: f64,
}

fn dot(a: V3, b: V3) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn turn(axis: V3, v: V3, angle: f64) -> V3 {
    // Rodrigues' formula.
    let (sin, cos) = angle.sin_cos();
    let cross = [axis[1] * v[2] - axis[2] * v[1], axis[2] * v[0] - axis[0] * v[2], axis[0] * v[1] - axis[1] * v[0]];
    let along = dot(axis, v) * (1.0 - cos);
    [0, 1, 2].map(|i| v[i] * cos + cross[i] * sin + axis[i] * along)
}

impl Eye {
    /// A pose of a shot; no lens distortion, no roll.
    ///
    /// # Panics
    /// For a lens with distortion, a roll or a view straight up or down.
    pub fn new(id: ShotId, shot: &Shot, camera: &Camera, key: &ShotKey) -> Self {
        assert!(camera.lens.distortion.is_none() && key.roll_deg == 0.0 && camera.lens.pupil_m == 0.0);
        let place = |p: underfoot_core::geom::StagePoint3| [f64::from(p.x), f64::from(p.y), f64::from(p.z)];
        let (from, look) = (place(key.from), place(key.look));
        let way = [0, 1, 2].map(|i| look[i] - from[i]);
        let (level, length) = (way[0].hypot(way[1]), dot(way, way).sqrt());
        assert!(level > 0.0);
        let ahead = way.map(|c| c / length);
        let right = [way[1] / level, -way[0] / level, 0.0];
        // right × ahead.
        let up = [right[1] * ahead[2], -right[0] * ahead[2], right[0] * ahead[1] - right[1] * ahead[0]];
        let tolerance = f64::from(camera.pan_tilt_tolerance_deg).to_radians();
        let mut poses = vec![[right, up, ahead]];
        if tolerance > 0.0 {
            for (pan, tilt) in [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)] {
                // The operator tilts about the camera's own axis and pans about the vertical.
                let tilted = [right, up, ahead].map(|axis| turn(right, axis, tilt * tolerance));
                poses.push(tilted.map(|axis| turn([0.0, 0.0, 1.0], axis, pan * tolerance)));
            }
        }
        let half = |mm: f32| f64::from(mm) / 2.0 / f64::from(key.focal_mm);
        let (w, h) = (half(camera.lens.sensor_width_mm), half(camera.lens.sensor_height_mm));
        let (crop_w, foot) = match shot.crop {
            Crop::Full => (w, -h),
            Crop::Column => (h * 9.0 / 16.0, -h),
            Crop::LowerThird => (w, -h / 3.0),
        };
        let (margin, zoom) = (2.0 * f64::from(shot.safe_margin), 1.0 + f64::from(camera.zoom_tolerance));
        let bottom = if shot.crop == Crop::LowerThird { foot } else { -h * (1.0 - margin) };
        let side = crop_w * (1.0 - margin);
        let top = if shot.crop == Crop::LowerThird { h - margin * (h - foot) / 2.0 } else { h * (1.0 - margin) };
        let lower = match shot.lower_line {
            LowerLine::Feet => 0.0,
            LowerLine::Knee => 0.28,
            LowerLine::Waist => 0.60,
            LowerLine::Chest => 0.72,
        };
        let safe = [-side, side, bottom, top].map(|t| t / zoom);
        Self { shot: id, centre: from, person_matte: camera.person_matte, poses, safe, whole: [-w, w, -h, h], lower }
    }

    /// Tangents and depth of a point at one pose.
    fn see(&self, pose: usize, q: V3) -> [f64; 3] {
        let v = [0, 1, 2].map(|i| q[i] - self.centre[i]);
        self.poses[pose].map(|axis| dot(axis, v))
    }

    /// The sides of the safe frame that the person leaves.
    pub fn missed(&self, person: &Person) -> Vec<Side> {
        let (right, _) = person.across(self.centre);
        let mut sides = Vec::new();
        let heights = [person.base + person.height, person.base + self.lower * person.height];
        for (z, u) in heights.into_iter().flat_map(|z| [-person.radius, person.radius].map(|u| (z, u))) {
            let q = [person.at.0 + right.0 * u, person.at.1 + right.1 * u, z];
            for pose in 0..self.poses.len() {
                let [x, y, depth] = self.see(pose, q);
                let [left, right, bottom, top] = self.safe.map(|t| t * depth);
                let out = [
                    (x < left, Side::Left),
                    (x > right, Side::Right),
                    (y < bottom, Side::Bottom),
                    (y > top, Side::Top),
                ];
                sides.extend(out.iter().filter(|o| o.0 || depth <= 0.0).map(|o| o.1));
            }
        }
        sides
    }

    /// True when the planned picture, uncropped, has the point.
    pub fn shows(&self, q: V3) -> bool {
        let [x, y, depth] = self.see(0, q);
        let [left, right, bottom, top] = self.whole.map(|t| t * depth);
        depth > 0.0 && x >= left && x <= right && y >= bottom && y <= top
    }
}
