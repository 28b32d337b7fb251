//! Whether a prop is in the picture at a moment of its cue.

use super::{Placement, motion};
use crate::show::{Cue, CueProp, Presence, Show};

/// Where a prop is in its life at one moment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Life {
    /// It is in no picture and not announced.
    Gone,
    /// It is announced on the floor and not yet in the picture.
    Coming,
    /// It is in the picture.
    Live,
    /// It is still in the picture and on its way out.
    Leaving,
}

/// The life of the prop of `state` at `t_s` seconds after the start of its cue; times before count as the start.
///
/// What comes is announced for `coming_ms` and live from then on; with 0 it is announced for the whole cue.
/// What leaves does so until its keyed move ends, that moment included, and is then gone. Without a keyed move
/// the plan does not say when it goes: it counts as leaving, and so as being there, for the whole cue.
pub fn life_at(show: &Show, state: &CueProp, t_s: f32) -> Life {
    match state.presence {
        Presence::Live => Life::Live,
        Presence::Coming if motion::appears_s(state).is_some_and(|live_s| t_s >= live_s) => Life::Live,
        Presence::Coming => Life::Coming,
        Presence::Leaving if t_s > gone_after_s(show, state) => Life::Gone,
        Presence::Leaving => Life::Leaving,
    }
}

/// Seconds after the start of its cue from which on the prop of `state` is gone; infinite when it stays.
pub fn gone_after_s(show: &Show, state: &CueProp) -> f32 {
    let leaves = state.presence == Presence::Leaving && motion::is_keyed(show, state);
    leaves.then(|| motion::lasts_s(show, state)).flatten().unwrap_or(f32::INFINITY)
}

/// The life of the prop of `state` at `t_s` seconds after the start of `cue`, and where it is then; what is only
/// announced, where it will come into the picture. `None` for a prop that is gone, or that the show does not have.
pub fn standing(show: &Show, cue: &Cue, state: &CueProp, t_s: f32) -> Option<(Life, Placement)> {
    let there = |t_s: f32| motion::at(show, cue, state, t_s).map(|moment| moment.placement);
    let life = life_at(show, state, t_s);
    let place = match life {
        Life::Gone => None,
        Life::Coming => motion::appears_s(state).map_or_else(|| Placement::after(show, cue, state.prop), there),
        Life::Live | Life::Leaving => there(t_s),
    };
    Some((life, place?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::StagePoint;
    use crate::show::{Motion, MotionId, MotionKey, MotionKind, PropId, Run};

    /// A show whose motions are a move from 1 s to 6 s and one that grows for 4 s.
    fn show() -> Show {
        let mut show = Show::default();
        for (at_s, x) in [(1.0, 0.0), (6.0, 3.0)] {
            show.motion_keys.push(MotionKey { at_s, place: StagePoint::new(x, 0.0) }).unwrap();
        }
        let keys = MotionKind::Keys { keys: Run { first: 0, len: 2 }, ease: false };
        for kind in [keys, MotionKind::Grow { seconds_s: 4.0 }] {
            show.motions.push(Motion { prop: PropId(0), kind }).unwrap();
        }
        show
    }

    fn lives(presence: Presence, coming_ms: u32, motion: Option<u8>) -> [Life; 3] {
        let state = CueProp { prop: PropId(0), presence, coming_ms, motion: motion.map(MotionId) };
        [0.0, 6.0, 6.1].map(|t| life_at(&show(), &state, t))
    }

    #[test]
    fn a_life_from_announcement_to_exit() {
        use Life::{Coming, Gone, Leaving, Live};
        assert_eq!(lives(Presence::Live, 0, Some(0)), [Live; 3]);
        assert_eq!(lives(Presence::Coming, 6000, None), [Coming, Live, Live]);
        assert_eq!(lives(Presence::Coming, 0, Some(0)), [Coming; 3]);
        assert_eq!(lives(Presence::Leaving, 0, Some(0)), [Leaving, Leaving, Gone]);
        assert_eq!(lives(Presence::Leaving, 0, None), [Leaving; 3]);
        assert_eq!(lives(Presence::Leaving, 0, Some(1)), [Leaving; 3]);
    }
}
