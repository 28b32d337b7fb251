//! Why there is no planned way.

use crate::geom::{GeomError, StagePoint};
use crate::props::{KeepOutError, Limit};

/// What was too small for a plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Store {
    /// The terrain's list of obstacles.
    Obstacles,
    /// Arrivals that a search keeps, [`crate::limits::WALK_LABELS`].
    Labels,
    /// Points of the planned line.
    Points,
}

/// Why a way could not be planned.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum WalkError {
    /// There is none.
    NoWay(NoWay),
    /// A stop that nobody may walk to.
    Stop {
        /// Which: 0 is the start.
        stop: u8,
        /// What it is in.
        limit: Limit,
        /// How far it has to move to be out of it, metres.
        missing_m: f32,
    },
    /// Fewer than two stops.
    TooFewStops,
    /// A list is full; nothing is planned then.
    Full {
        /// Which.
        what: Store,
        /// Its capacity.
        capacity: usize,
    },
    /// A footprint cannot be used.
    KeepOut(KeepOutError),
    /// The floor's outline or an entry cannot be used.
    Floor(GeomError),
}

/// Why there is no way between two stops, and by how little.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NoWay {
    /// Which leg: 0 leads from the first stop to the second.
    pub leg: u8,
    /// The middle of the narrowest place.
    pub at: StagePoint,
    /// The two limits that are too near to each other there; twice the same when it alone closes the way.
    pub between: [Limit; 2],
    /// How far one of the two has to move away from the other, metres; 0 when no clearance is at fault, so that
    /// one of them has to go or to open.
    pub missing_m: f32,
}

impl From<KeepOutError> for WalkError {
    fn from(error: KeepOutError) -> Self {
        Self::KeepOut(error)
    }
}
