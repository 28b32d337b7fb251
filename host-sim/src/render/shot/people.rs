//! People in a picture: upright rectangles that face the camera, with a figure inside.

use underfoot_core::cameras::Body;
use underfoot_core::geom::StagePoint3;
use underfoot_core::show::Who;

use super::palette::{DARK, Tint, lit, mixed, of};
use super::ray::{Ray, V3};

/// Width of a person's outline in pixels.
const LINE_PX: f64 = 2.4;
/// Half the width of a figure's head, metres.
const HEAD_HALF_M: f64 = 0.085;

/// A person who stands in a cue.
#[derive(Clone, Debug)]
pub struct Actor {
    /// The role.
    pub name: String,
    /// The mark.
    pub mark: String,
    /// Colour and shape.
    pub who: Who,
    /// The body at its place.
    pub body: Body,
    /// Sits in a chair.
    pub seated: bool,
    /// Length of the way to the mark, metres; 0 for who is there from the start.
    pub walk_m: f32,
}

/// A person as one camera has it.
#[derive(Clone, Debug)]
pub(super) struct Upright {
    at: (f64, f64),
    ahead: (f64, f64),
    across: (f64, f64),
    radius: f64,
    /// Feet, hip, neck and top, metres above the floor.
    bands: [f64; 4],
    tint: Tint,
    seated: bool,
}

/// Where a ray meets a person's rectangle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Met {
    /// Depth, metres.
    pub(super) depth: f64,
    /// Metres to the right of the middle.
    pub(super) u: f64,
    /// Height above the floor, metres.
    pub(super) z: f64,
}

impl Upright {
    /// `None` for a person straight below or above the camera.
    pub(super) fn of(actor: &Actor, centre: V3) -> Option<Self> {
        let [x, y, z] = centre.map(|c| c as f32);
        let upright = actor.body.upright(StagePoint3::new(x, y, z))?;
        let bands = actor.body.bands();
        Some(Self {
            at: (upright.at.x.into(), upright.at.y.into()),
            ahead: (upright.ahead.x.into(), upright.ahead.y.into()),
            across: (upright.across.x.into(), upright.across.y.into()),
            radius: actor.body.radius_m.into(),
            bands: [bands.feet_m, bands.hip_m, bands.neck_m, bands.top_m].map(f64::from),
            tint: of(actor.who),
            seated: actor.seated,
        })
    }

    /// Distance on the floor plan from a camera, metres.
    pub(super) fn distance(&self, centre: V3) -> f64 {
        (self.at.0 - centre[0]) * self.ahead.0 + (self.at.1 - centre[1]) * self.ahead.1
    }

    /// The place on the rectangle, `u` metres right of its middle.
    pub(super) fn point(&self, u: f64, z: f64) -> V3 {
        [self.at.0 + self.across.0 * u, self.at.1 + self.across.1 * u, z]
    }

    /// The four corners of the rectangle: lower left, lower right, upper right, upper left.
    pub(super) fn corners(&self) -> [V3; 4] {
        let [low, .., high] = self.bands;
        let r = self.radius;
        [(-r, low), (r, low), (r, high), (-r, high)].map(|(u, z)| self.point(u, z))
    }

    /// Where the ray meets the rectangle.
    pub(super) fn met(&self, ray: &Ray) -> Option<Met> {
        let rate = ray.way[0] * self.ahead.0 + ray.way[1] * self.ahead.1;
        let away = (self.at.0 - ray.from[0]) * self.ahead.0 + (self.at.1 - ray.from[1]) * self.ahead.1;
        let depth = away / rate;
        if !(depth.is_finite() && depth > 0.0) {
            return None;
        }
        let [x, y, z] = ray.at(depth);
        let u = (x - self.at.0) * self.across.0 + (y - self.at.1) * self.across.1;
        let [low, .., high] = self.bands;
        (u.abs() <= self.radius && z >= low && z <= high).then_some(Met { depth, u, z })
    }

    /// True for a place on the head or the torso.
    pub(super) fn is_upper(&self, met: &Met) -> bool {
        met.z >= self.bands[1]
    }

    /// What is seen at a place of the rectangle, in front of `behind`; a pixel is `px` metres wide there.
    pub(super) fn color(&self, met: &Met, behind: Tint, px: f64) -> Tint {
        let [low, hip, neck, high] = self.bands;
        let line = (LINE_PX * px).min(self.radius * 0.2);
        let rim = (self.radius - met.u.abs()).min(met.z - low).min(high - met.z);
        if rim < line {
            return self.tint;
        }
        if rim < line * 1.6 {
            return mixed(behind, DARK, 0.7);
        }
        let field = mixed(behind, lit(self.tint, 0.45), 0.55);
        let field = if self.in_figure(met) { mixed(behind, lit(self.tint, 0.72), 0.92) } else { field };
        let band = [hip, neck].iter().map(|z| (met.z - z).abs()).fold(f64::MAX, f64::min);
        if band < line * 0.35 { mixed(field, DARK, 0.8) } else { field }
    }

    /// True inside the figure that tells people from boxes: head, torso, two legs or a seat.
    fn in_figure(&self, met: &Met) -> bool {
        let [low, hip, neck, high] = self.bands;
        let (u, k) = (met.u.abs(), self.radius / 0.25);
        if met.z >= neck {
            let (dx, dz) = (u / HEAD_HALF_M, (met.z - (neck + high) / 2.0) / ((high - neck) / 2.0));
            return dx * dx + dz * dz < 1.0;
        }
        if met.z >= hip {
            // Shoulders taper into the neck and narrow to the hip.
            let share = (met.z - hip) / (neck - hip).max(0.01);
            let half = if share > 0.88 { 0.05 + (1.0 - share) / 0.12 * 0.15 } else { 0.13 + 0.07 * share };
            return u < half * k;
        }
        let share = (met.z - low) / (hip - low).max(0.01);
        if self.seated { u < 0.19 * k && share > 0.1 } else { u < 0.13 * k && u > 0.02 + 0.02 * (1.0 - share) }
    }
}
