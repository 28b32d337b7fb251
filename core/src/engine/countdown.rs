//! How long a mode lasts that ends by itself.

use super::state::State;
use crate::show::{Mode, Show};
use crate::units::{Duration, Instant};

/// RESET goes back to AIR this long before the cue's time limit.
pub const RESET_LEAD: Duration = Duration::from_millis(5_000);

impl State {
    /// Time until RESET goes back to AIR, zero when that is due; `None` in other modes, and for a cue without a limit.
    pub fn reset_left(&self, show: &Show, now: Instant) -> Option<Duration> {
        if self.mode != Mode::Reset || !self.running {
            return None;
        }
        let begun = if self.over.is_some() { self.over_since } else { self.since };
        let limit = show.cues.get(self.cue?.index())?.time_limit_ms;
        let lasts = Duration::from_millis(limit.into()).as_micros().saturating_sub(RESET_LEAD.as_micros());
        let left = lasts.saturating_sub(now.since(begun).as_micros());
        (limit > 0).then_some(Duration::from_micros(left))
    }
}
