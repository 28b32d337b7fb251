//! How much room a person needs beside a thing.

use crate::geom::StageVector;
use crate::show::{PersonClass, Show};

/// Clearance from what stands still that must be kept, beyond the body's edge, metres.
pub const HARD_M: f32 = 0.15;
/// Clearance from what stands still that ought to be kept, metres.
pub const ADVISORY_M: f32 = 0.30;
/// Clearance from what moves, without its lead, metres.
pub const MOVING_M: f32 = 0.50;
/// Time in which a person notices and reacts, seconds.
pub const REACTION_S: f32 = 0.7;

/// How strict a clearance is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Level {
    /// Must be kept.
    #[default]
    Hard,
    /// Ought to be kept.
    Advisory,
}

/// The room for one person class in one show.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reach {
    /// From the midpoint between the heels to the body's edge, metres.
    pub body_m: f32,
    /// Clearance from what stands still, metres.
    pub still_m: f32,
    /// How wrong the survey may be, metres.
    pub allowance_m: f32,
    /// From a thing's move to the person's, seconds: the floor's latency and the reaction.
    pub lead_s: f32,
}

impl Reach {
    /// The room that a class needs.
    ///
    /// A person in a chair needs at least half its width; its length depends on where it faces and is a
    /// question for [`crate::geom::Region::gap_to`] with the chair's rectangle.
    pub fn of(show: &Show, class: &PersonClass, level: Level) -> Self {
        let half_chair = class.chair_m.map_or(0.0, |(width_m, _)| width_m / 2.0);
        Self {
            body_m: class.radius_m.max(half_chair),
            still_m: match level {
                Level::Hard => HARD_M,
                Level::Advisory => ADVISORY_M,
            },
            allowance_m: show.survey_allowance_m,
            lead_s: f32::from(show.latency_ms) / 1000.0 + REACTION_S,
        }
    }

    /// By how much a footprint grows for what stands still, metres.
    pub fn beside_still_m(&self) -> f32 {
        self.body_m + self.still_m + self.allowance_m
    }

    /// By how much a footprint grows for what moves, metres, before its lead.
    pub fn beside_moving_m(&self) -> f32 {
        self.body_m + MOVING_M + self.allowance_m
    }

    /// How far a thing gets before a person moves.
    pub fn lead(&self, velocity: StageVector) -> StageVector {
        velocity * self.lead_s
    }
}
