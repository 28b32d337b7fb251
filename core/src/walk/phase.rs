//! A stretch of time in which a person stands, or goes along one line or arc at an even speed.

use crate::geom::{StagePoint, Stretch};

/// One phase of what a person does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Phase {
    /// When it starts, seconds after the start of the cue.
    pub from_s: f32,
    /// When it ends, seconds; infinite for the last one.
    pub to_s: f32,
    /// Where the person is meanwhile.
    pub course: Course,
}

/// Where a person is in one phase.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Course {
    /// On one place.
    Stands(StagePoint),
    /// Along a line or arc, evenly from its start to its end.
    Goes(Stretch),
}

impl Phase {
    /// The share of its time that has gone by at `t_s`, 0 to 1.
    pub fn share(&self, t_s: f32) -> f32 {
        let whole_s = self.to_s - self.from_s;
        if whole_s > 0.0 { ((t_s - self.from_s) / whole_s).clamp(0.0, 1.0) } else { 1.0 }
    }

    /// Where the person is at `t_s`; before and after the phase at its ends.
    pub fn place(&self, t_s: f32) -> StagePoint {
        match self.course {
            Course::Stands(at) => at,
            Course::Goes(stretch) => stretch.point(self.share(t_s)),
        }
    }

    /// The person's speed, metres per second.
    pub fn speed_mps(&self) -> f32 {
        match self.course {
            Course::Stands(_) => 0.0,
            Course::Goes(stretch) => stretch.length() / (self.to_s - self.from_s),
        }
    }

    /// How fast the person's velocity changes, metres per second squared: by its direction, on an arc.
    pub fn bend_mps2(&self) -> f32 {
        match self.course {
            Course::Goes(Stretch::Arc { radius_m, .. }) => self.speed_mps() * self.speed_mps() / radius_m,
            _ => 0.0,
        }
    }
}
