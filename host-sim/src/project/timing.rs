//! How long somebody takes along a line, by the rules of a show file.

use underfoot_core::show::{LineId, PersonClass};
use underfoot_core::walk::Timing;
use underfoot_core::walk::timing::TURN_FROM_DEG;

use super::Project;

impl Project {
    /// What a walk costs in time for somebody of `class` who goes at `pace_mps`, on `line` or on no line.
    ///
    /// Turns take their time on wheels; a line that says its own time for all turns takes that instead, whoever walks.
    pub fn timing(&self, line: Option<LineId>, class: Option<&PersonClass>, pace_mps: f32) -> Timing {
        let said_s = line.and_then(|l| self.line_turns_s.get(l.index()).copied().flatten());
        let on_wheels = class.is_some_and(|class| class.chair_m.is_some());
        Timing {
            start_s: self.limits.start_delay_s,
            pace_mps,
            turn_s: if on_wheels && said_s.is_none() { self.limits.turn_s } else { 0.0 },
            turn_from_deg: TURN_FROM_DEG,
            ramp_share: self.limits.ramp_share,
            settle_s: self.limits.settle_s,
            extra_s: said_s.unwrap_or(0.0),
        }
    }
}
