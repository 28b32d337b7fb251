//! The map that a survey finds, and how the floor lies in the tracking system's frame.

use super::vector::Triple;
use crate::geom::{StagePoint3, TrackingPoint};
use crate::units::Angle;

/// Tracking places to stage places: turn, common scale, shift.
///
/// `stage = scale · R · (tracking − tracking centre) + stage centre`. The centres are those of the surveyed
/// points, so that nothing is lost when the tracking origin is far away.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TrackingToStage {
    /// Rows of the turn: the stage's axes seen from the tracking system.
    pub(super) rows: [Triple; 3],
    pub(super) scale: f32,
    pub(super) tracking_centre: Triple,
    pub(super) stage_centre: Triple,
}

impl TrackingToStage {
    /// The stage place of a tracking place.
    pub fn to_stage(&self, p: TrackingPoint) -> StagePoint3 {
        let v = Triple::from(p).minus(self.tracking_centre);
        let [x, y, z] = self.rows.map(|row| row.dot(v) * self.scale);
        let at = Triple::new(x, y, z).plus(self.stage_centre);
        StagePoint3::new(at.x, at.y, at.z)
    }

    /// The tracking place of a stage place.
    pub fn to_tracking(&self, p: StagePoint3) -> TrackingPoint {
        let v = Triple::from(p).minus(self.stage_centre).times(1.0 / self.scale);
        let [x, y, z] = self.rows;
        let at = x.times(v.x).plus(y.times(v.y)).plus(z.times(v.z)).plus(self.tracking_centre);
        TrackingPoint::new(at.x, at.y, at.z)
    }

    /// Stage metres per tracking metre, 0.998 to 1.002; 1 when the scale was not free.
    pub fn scale(&self) -> f32 {
        self.scale
    }

    /// Direction of stage left (+X) on the tracking system's plan, counter-clockwise from its X.
    pub fn yaw(&self) -> Angle {
        let [x, _, _] = self.rows;
        Angle::from_radians(libm::atan2f(x.y, x.x))
    }

    /// Angle between the floor's up and the tracking system's up.
    pub fn tilt(&self) -> Angle {
        let [_, _, z] = self.rows;
        Angle::from_radians(libm::atan2f(libm::sqrtf(z.x * z.x + z.y * z.y), z.z))
    }

    /// Height of the stage origin in the tracking system's frame, metres.
    pub fn height_m(&self) -> f32 {
        self.to_tracking(StagePoint3::default()).z
    }
}
