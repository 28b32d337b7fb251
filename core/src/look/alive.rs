//! Props of a cue as a view has them: by the plan, or as they are at a moment.

use crate::props::{Life, Placement, standing};
use crate::show::{Cue, CueProp, Presence, Show};

/// How a prop of `cue` is drawn and where: `None` for one that is gone, or that the show does not have.
///
/// By the plan (`cue_ms` is `None`) it is as the cue names it and where its moves leave it: that is where nobody may
/// stand. At a moment it is where it is then; what is only announced, where it will come into the picture.
pub(super) fn drawn(show: &Show, cue: &Cue, state: &CueProp, cue_ms: Option<u32>) -> Option<(Presence, Placement)> {
    let Some(ms) = cue_ms else { return Some((state.presence, Placement::after(show, cue, state.prop)?)) };
    let (life, place) = standing(show, cue, state, ms as f32 / 1000.0)?;
    let presence = match life {
        Life::Gone => return None,
        Life::Coming => Presence::Coming,
        Life::Live => Presence::Live,
        Life::Leaving => Presence::Leaving,
    };
    Some((presence, place))
}
