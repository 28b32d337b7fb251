//! A camera as a picture: pixels to lines of sight and back.

use underfoot_core::cameras::{Pose, lens};
use underfoot_core::show::Lens;
use underfoot_core::show::cameras::Distortion;

use super::ray::{Ray, V3, dot};

/// Anything nearer than this is not projected, metres.
const NEAREST_M: f64 = 0.05;

/// A piece of a picture, in pixels: first and last of its columns and of its rows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Reach {
    pub(super) columns: (f64, f64),
    pub(super) rows: (f64, f64),
}

/// A camera and the size of its picture. The picture is the whole sensor.
#[derive(Clone, Debug)]
pub struct Eye {
    centre: V3,
    right: V3,
    up: V3,
    ahead: V3,
    /// Half the sensor in distorted tangents.
    half: (f64, f64),
    distortion: Option<Distortion>,
    width: usize,
    height: usize,
}

impl Eye {
    /// The picture of `width` × `height` pixels that a camera takes.
    pub fn new(pose: &Pose, lens: &Lens, focal_mm: f32, (width, height): (usize, usize)) -> Self {
        let wide = |v: [f32; 3]| v.map(f64::from);
        let half = |size_mm: f32| f64::from(size_mm) / f64::from(focal_mm) / 2.0;
        Self {
            centre: wide([pose.centre.x, pose.centre.y, pose.centre.z]),
            right: wide(pose.right),
            up: wide(pose.up),
            ahead: wide(pose.ahead),
            half: (half(lens.sensor_width_mm), half(lens.sensor_height_mm)),
            distortion: lens.distortion.filter(|d| d.iter().any(|&k| k != 0.0)),
            width,
            height,
        }
    }

    /// Width of the picture in pixels.
    pub fn width(&self) -> usize {
        self.width
    }

    /// Height of the picture in pixels.
    pub fn height(&self) -> usize {
        self.height
    }

    pub(super) fn centre(&self) -> V3 {
        self.centre
    }

    /// True when straight lines are bent in the picture.
    pub(super) fn bends(&self) -> bool {
        self.distortion.is_some()
    }

    /// Metres across one pixel in the middle of the picture, for each metre of depth.
    pub(super) fn pixel(&self) -> f64 {
        2.0 * self.half.0 / self.width as f64
    }

    /// The line of sight through a place of the picture; `None` where the lens shows nothing.
    #[inline(always)]
    pub(super) fn ray(&self, (x_px, y_px): (f64, f64)) -> Option<Ray> {
        let x = (2.0 * x_px / self.width as f64 - 1.0) * self.half.0;
        let y = (1.0 - 2.0 * y_px / self.height as f64) * self.half.1;
        let (x, y) = match &self.distortion {
            Some(bend) => lens::undistort(bend, x as f32, y as f32).map(|(x, y)| (x.into(), y.into())).ok()?,
            None => (x, y),
        };
        let way = [0, 1, 2].map(|i| self.ahead[i] + self.right[i] * x + self.up[i] * y);
        Some(Ray { from: self.centre, way })
    }

    /// Where a direction, in undistorted tangents, is in the picture, in pixels.
    pub fn place(&self, (x, y): (f64, f64)) -> (f64, f64) {
        let (x, y) = match &self.distortion {
            Some(bend) => {
                let (x, y) = lens::distort(bend, x as f32, y as f32);
                (x.into(), y.into())
            }
            None => (x, y),
        };
        let share = |v: f64, half: f64, size: usize| (v / half + 1.0) * 0.5 * size as f64;
        (share(x, self.half.0, self.width), share(-y, self.half.1, self.height))
    }

    /// Where a stage place is in the picture, in pixels; `None` for what is not in front of the camera.
    pub fn project(&self, p: [f64; 3]) -> Option<(f64, f64)> {
        let v = [0, 1, 2].map(|i| p[i] - self.centre[i]);
        let depth = dot(v, self.ahead);
        (depth > NEAREST_M).then(|| self.place((dot(v, self.right) / depth, dot(v, self.up) / depth)))
    }

    /// The piece of the picture that a body inside these corners may reach, with some room; all of it when in doubt.
    pub(super) fn reach(&self, corners: &[V3]) -> Reach {
        let all = Reach { columns: (0.0, self.width as f64), rows: (0.0, self.height as f64) };
        if self.bends() {
            return all;
        }
        let places: Option<Vec<(f64, f64)>> = corners.iter().map(|&p| self.project(p)).collect();
        let Some(places) = places else { return all };
        let range = |of: fn(&(f64, f64)) -> f64| {
            let (low, high) = places.iter().map(of).fold((f64::MAX, f64::MIN), |(l, h), v| (l.min(v), h.max(v)));
            (low - 2.0, high + 2.0)
        };
        Reach { columns: range(|p| p.0), rows: range(|p| p.1) }
    }
}

#[cfg(test)]
mod tests {
    use underfoot_core::geom::StagePoint3;
    use underfoot_core::units::Angle;

    use super::*;

    fn eye(distortion: Option<Distortion>) -> Eye {
        let (from, look) = (StagePoint3::new(1.0, -4.0, 1.5), StagePoint3::new(0.0, 0.5, 1.0));
        let pose = Pose::looking(from, look, Angle::from_degrees(3.0), 0.0).unwrap();
        let lens = Lens { sensor_width_mm: 9.59, sensor_height_mm: 5.39, pupil_m: 0.0, distortion };
        Eye::new(&pose, &lens, 7.5, (1280, 720))
    }

    #[test]
    fn a_place_on_a_pixels_line_of_sight_is_in_that_pixel() {
        for distortion in [None, Some([-0.08, 0.01, 0.001, -0.0005, 0.0])] {
            let eye = eye(distortion);
            for (x, y) in [(0.5, 0.5), (640.0, 360.0), (1279.5, 3.0), (200.25, 700.75)] {
                let place = eye.ray((x, y)).unwrap().at(5.3);
                let (px, py) = eye.project(place).unwrap();
                assert!((px - x).abs() < 0.02 && (py - y).abs() < 0.02, "{x} {y}: {px} {py} with {distortion:?}");
            }
        }
    }

    /// By hand: half the sensor is 9.59 / 2 / 7.5 = 0.63933 wide, so x 0.3 lies at 640 (1 + 0.3 / 0.63933); with k1
    /// = -0.1 and r squared = 0.09 it moves in to 0.3 (1 - 0.009) = 0.2973 (Brown 1966, as OpenCV has it).
    #[test]
    fn a_barrel_lens_moves_places_towards_the_middle() {
        let straight = eye(None).place((0.3, 0.0)).0;
        let bent = eye(Some([-0.1, 0.0, 0.0, 0.0, 0.0])).place((0.3, 0.0)).0;
        assert!((straight - 940.31).abs() < 0.01, "{straight}");
        assert!((bent - 640.0 * (1.0 + 0.2973 / 0.639_333)).abs() < 0.01, "{bent}");
    }
}
