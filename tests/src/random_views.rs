//! Random cameras, marks and overlays, as the core has them and as the ray oracle has them.

use underfoot_core::cameras::{Solid, SolidShape, View, shots};
use underfoot_core::geom::{StagePoint, StagePoint3};
use underfoot_core::show::cameras::{Crop, LowerLine};
use underfoot_core::show::{Camera, CameraId, CameraKind, Lens, Run, Shot, ShotId, ShotKey, ShotKind, Show};

use crate::dice::Dice;
use crate::oracle::eye::{Eye, Foot, Triple, Upright};

/// A camera as both have it.
#[derive(Clone, Debug)]
pub struct Case {
    /// A show with this one camera and one shot of it.
    pub show: Box<Show>,
    /// The core's view.
    pub view: View,
    /// The oracle's eye at the planned pose.
    pub eye: Eye,
    /// The operator's tolerance each way, degrees, and how much wider the picture may get.
    pub tolerance: (f64, f64),
}

impl Case {
    /// A camera 2 to 30 m away from somewhere on a stage of 10 m, half of them with an operator's tolerance, half with
    /// a lens that bends.
    pub fn random(dice: &mut Dice) -> Self {
        let tolerance = if dice.one_in(2) { (0.0, 0.0) } else { (dice.between(0.2, 2.5), dice.between(0.0, 0.08)) };
        let lens = if dice.one_in(2) {
            [0.0; 5]
        } else {
            let small = |dice: &mut Dice| dice.between(-0.003, 0.003);
            [dice.between(-0.08, 0.08), dice.between(-0.01, 0.01), small(dice), small(dice), 0.0]
        };
        let (turn, far) = (dice.between(0.0, std::f64::consts::TAU), dice.between(2.0, 30.0));
        let look = [dice.between(-4.0, 4.0), dice.between(-4.0, 4.0), dice.between(0.0, 2.0)];
        let at = [look[0] + far * turn.cos(), look[1] + far * turn.sin(), dice.between(0.3, 9.0)];
        let focal_mm = dice.between(7.0, 7.0 + far * 3.0);
        Self::of((at, look), focal_mm, lens, tolerance)
    }

    /// The camera with these figures, rounded as a show rounds them.
    pub fn of((at, look): (Triple, Triple), focal_mm: f64, lens: [f64; 5], tolerance: (f64, f64)) -> Self {
        let single = |v: Triple| v.map(|x| x as f32);
        let double = |v: [f32; 3]| v.map(f64::from);
        let (at, look, coefficients) = (single(at), single(look), lens.map(|k| k as f32));
        let (focal_mm, deg, zoom) = (focal_mm as f32, tolerance.0 as f32, tolerance.1 as f32);
        let mut show = Box::new(Show::default());
        let distortion = (lens != [0.0; 5]).then_some(coefficients);
        let camera = Camera {
            name: Default::default(),
            kind: CameraKind::Tracked,
            lens: Lens { sensor_width_mm: 9.59, sensor_height_mm: 5.39, pupil_m: 0.0, distortion },
            recorded: false,
            person_matte: false,
            pan_tilt_tolerance_deg: deg,
            zoom_tolerance: zoom,
        };
        show.cameras.push(camera).expect("room");
        let place = |[x, y, z]: [f32; 3]| StagePoint3::new(x, y, z);
        let key = ShotKey { at_s: 0.0, from: place(at), look: place(look), roll_deg: 0.0, focal_mm };
        show.shot_keys.push(key).expect("room");
        show.shots.push(preset()).expect("room");
        let view = shots::view_at(&show, ShotId(0), 0.0).expect("a view");
        let half = |mm: f32| f64::from(mm) / 2.0 / f64::from(focal_mm);
        let eye = Eye::looking(double(at), double(look), (half(9.59), half(5.39)), coefficients.map(f64::from));
        Self { show, view, eye, tolerance: (f64::from(deg), 1.0 / (1.0 - f64::from(zoom))) }
    }

    /// Eyes all over the tolerance, as wide as it goes; one eye without tolerance.
    pub fn eyes(&self) -> Vec<Eye> {
        let (deg, wide) = self.tolerance;
        let shares = if deg > 0.0 { &[-1.0, -0.5, 0.0, 0.5, 1.0][..] } else { &[0.0][..] };
        let turned =
            |pan: &f64| shares.iter().map(|tilt| self.eye.turned(pan * deg, tilt * deg, wide)).collect::<Vec<_>>();
        shares.iter().flat_map(turned).collect()
    }
}

/// A shot of the first camera with one pose, the first key: down to the waist, 3.5 % of margin, the whole picture.
pub fn preset() -> Shot {
    Shot {
        name: Default::default(),
        camera: CameraId(0),
        kind: ShotKind::Preset,
        keys: Run { first: 0, len: 1 },
        safe_margin: 0.035,
        lower_line: LowerLine::Waist,
        crop: Crop::Full,
    }
}

/// A convex outline of 3 to 16 corners about a place, as both have it.
pub fn outline(dice: &mut Dice, centre: [f64; 2], reach: (f64, f64)) -> (Vec<StagePoint>, Vec<[f64; 2]>) {
    let (count, turn) = (3 + dice.below(14), dice.between(0.0, 6.0));
    let (a, b) = (dice.between(reach.0, reach.1), dice.between(reach.0, reach.1));
    let points: Vec<StagePoint> = (0..count)
        .map(|i| {
            // Corners of an ellipse are convex, whatever their spacing.
            let (sin, cos) = (std::f64::consts::TAU * i as f64 / count as f64).sin_cos();
            let (x, y) = (a * cos, b * sin);
            let (ts, tc) = turn.sin_cos();
            StagePoint::new((centre[0] + x * tc - y * ts) as f32, (centre[1] + x * ts + y * tc) as f32)
        })
        .collect();
    let doubles = points.iter().map(|p| [f64::from(p.x), f64::from(p.y)]).collect();
    (points, doubles)
}

/// An opaque overlay, disc or polygon, as both have it.
pub fn overlay(dice: &mut Dice, centre: [f64; 2], reach: (f64, f64)) -> (Solid, Upright) {
    let bottom = if dice.one_in(3) { dice.between(0.05, 1.0) as f32 } else { 0.0 };
    let top = bottom + dice.between(0.1, 4.0) as f32;
    let (shape, foot) = if dice.one_in(2) {
        let (x, y, radius_m) = (centre[0] as f32, centre[1] as f32, dice.between(reach.0, reach.1) as f32);
        let foot = Foot::Disc([f64::from(x), f64::from(y)], f64::from(radius_m));
        (SolidShape::Disc { centre: StagePoint::new(x, y), radius_m }, foot)
    } else {
        let (points, doubles) = outline(dice, centre, reach);
        (SolidShape::Polygon(points.iter().copied().collect()), Foot::Polygon(doubles))
    };
    (Solid::new(shape, bottom, top), Upright { foot, heights: (f64::from(bottom), f64::from(top)) })
}
