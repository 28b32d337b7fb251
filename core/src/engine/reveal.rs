//! The word to graphics: whether somebody is where an overlay stands or is about to.

use super::outlook::Reveal;
use super::state::State;
use crate::geom::StagePoint;
use crate::props::{Level, Life, Placement, Reach, keepout, standing};
use crate::show::{Cue, CueProp, Layer, Part, Presence, Show};
use crate::units::Instant;

impl State {
    /// The word to graphics at `now`.
    ///
    /// What is sensed goes before what the key says: the key speaks only while nothing is sensed. What was sensed
    /// before the cue began says that somebody was in the way, never that nobody is.
    pub(super) fn reveal(&self, now: Instant) -> Reveal {
        match (self.running, self.is_presence_fresh(now)) {
            (false, _) => Reveal::Unknown,
            (true, true) if self.heard.in_the_way => Reveal::NotClear,
            (true, true) if self.heard.judged => Reveal::Clear,
            (true, true) => Reveal::Unknown,
            (true, false) if self.heard.clear_key => Reveal::Clear,
            (true, false) => Reveal::Unknown,
        }
    }
}

/// True when one of `people` is within the hard keep-out of an opaque overlay that is coming or live `t_s` seconds
/// after the start of `now`, or that `next` brings. Nobody knows who they are: the widest class decides.
pub(super) fn in_the_way(show: &Show, (now, t_s): (&Cue, f32), next: Option<&Cue>, people: &[StagePoint]) -> bool {
    let reaches = show.classes.iter().map(|class| Reach::of(show, class, Level::Hard));
    let Some(reach) = reaches.max_by(|a, b| a.body_m.total_cmp(&b.body_m)) else { return false };
    let here = show.props_in(now).iter().any(|state| {
        let there = standing(show, now, state, t_s).filter(|&(life, _)| life != Life::Leaving);
        there.is_some_and(|(_, place)| meets(show, state, (&place, &reach), people))
    });
    let new = |state: &&CueProp| {
        state.presence == Presence::Coming
            || (state.presence == Presence::Live && show.props_in(now).iter().all(|p| p.prop != state.prop))
    };
    here || next.is_some_and(|next| {
        show.props_in(next).iter().filter(new).any(|state| {
            standing(show, next, state, 0.0).is_some_and(|(_, place)| meets(show, state, (&place, &reach), people))
        })
    })
}

/// True when one of `people` is too near to an opaque overlay part of a prop that stands there.
fn meets(show: &Show, state: &CueProp, (place, reach): (&Placement, &Reach), people: &[StagePoint]) -> bool {
    let hides = |part: &&Part| part.layer == Layer::Overlay && !part.transparent;
    let parts = show.props.get(state.prop.index()).map_or(&[][..], |prop| show.parts_of(prop));
    parts.iter().filter(hides).any(|part| match keepout::of_part(show, part, place, reach) {
        Ok(Some(region)) => people.iter().any(|&p| region.signed_distance(p) < 0.0),
        Ok(None) => false,
        // A shape that cannot be used says nothing good of anybody.
        Err(_) => !people.is_empty(),
    })
}
