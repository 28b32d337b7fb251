//! Who is where when.

use super::Schedule;
use crate::geom::{StagePoint, Stretch};
use crate::walk::phase::{Course, Phase};

/// How a person spends a cue.
#[derive(Clone, Copy, Debug)]
pub enum Way<'p> {
    /// On one place.
    Stands(StagePoint),
    /// Straight from one place to another, evenly from the start of the cue on: a change of formation.
    Evenly {
        /// Where they are at the start.
        from: StagePoint,
        /// Where they are at the end, and stay.
        to: StagePoint,
        /// Seconds that it takes; 0 or less puts them there at once.
        over_s: f32,
    },
    /// Along a path, at a pace.
    Along(Schedule<'p>),
}

/// One person during a cue.
#[derive(Clone, Copy, Debug)]
pub struct Walker<'p> {
    /// How they spend it.
    pub way: Way<'p>,
    /// From the midpoint between the heels to the body's edge, metres.
    pub body_m: f32,
}

impl Walker<'_> {
    /// Where the person is at `t_s` seconds after the start of the cue.
    pub fn place_at(&self, t_s: f32) -> StagePoint {
        match self.way {
            Way::Stands(at) => at,
            Way::Along(walk) => walk.place_at(t_s).at,
            Way::Evenly { from, to, over_s } => even(from, to, over_s).map_or(to, |phase| phase.place(t_s)),
        }
    }

    /// From when on the person stays where they are, seconds after the start of the cue.
    pub fn rests_s(&self) -> f32 {
        match self.way {
            Way::Stands(_) => 0.0,
            Way::Along(walk) => walk.arrives_s(),
            Way::Evenly { over_s, .. } => over_s.max(0.0),
        }
    }

    /// Calls `look` with the phases that overlap `span_s`, cut to it by their times only: [`Phase::place`] is
    /// still asked with the time in the cue. Touching counts only for a span without length.
    pub(super) fn phases(&self, span_s: (f32, f32), look: &mut impl FnMut(&Phase, (f32, f32))) {
        let mut cut = |phase: &Phase| {
            let moment = span_s.0 == span_s.1 && (phase.from_s..phase.to_s).contains(&span_s.0);
            let both = (phase.from_s.max(span_s.0), phase.to_s.min(span_s.1));
            if both.0 < both.1 || moment {
                look(phase, both);
            }
        };
        let stands = |at, from_s| Phase { from_s, to_s: f32::INFINITY, course: Course::Stands(at) };
        match self.way {
            Way::Stands(at) => cut(&stands(at, 0.0)),
            Way::Along(walk) => walk.phases(&mut cut),
            Way::Evenly { from, to, over_s } => {
                even(from, to, over_s).iter().for_each(&mut cut);
                cut(&stands(to, over_s.max(0.0)));
            }
        }
    }
}

fn even(from: StagePoint, to: StagePoint, over_s: f32) -> Option<Phase> {
    let course = Course::Goes(Stretch::Line { from, to });
    (over_s > 0.0).then_some(Phase { from_s: 0.0, to_s: over_s, course })
}
