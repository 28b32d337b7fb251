//! Where a prop is, which way it is turned and how it travels.

use crate::geom::{StagePoint, StageVector};
use crate::show::{Cue, CueProp, MotionKind, Prop, PropId, Show};
use crate::units::Angle;

/// A prop's place at one moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placement {
    /// The prop's place on the stage.
    pub at: StagePoint,
    /// Its turn, counter-clockwise seen from above.
    pub turn: Angle,
    /// How it travels, metres per second.
    pub velocity: StageVector,
}

impl Placement {
    /// At rest where the show puts the prop.
    pub fn resting(prop: &Prop) -> Self {
        Self { at: prop.at, turn: Angle::from_degrees(prop.turn_deg), velocity: StageVector::default() }
    }

    /// At rest where the prop stands once the moves of `cue` have ended; `None` for a prop the show does not have.
    ///
    /// A prop that has moved stays where its last move ended until it moves again. What goes round, swings,
    /// grows or follows presence stands at its resting place.
    pub fn after(show: &Show, cue: &Cue, prop: PropId) -> Option<Self> {
        let resting = Self::resting(show.props.get(prop.index())?);
        let count = show.cues.iter().take_while(|c| c.number != cue.number).count() + 1;
        let states = show.cues.iter().take(count).flat_map(|c| show.props_in(c));
        let moved = states.filter(|s| s.prop == prop).filter_map(|s| end_of_move(show, s)).next_back();
        Some(Self { at: moved.unwrap_or(resting.at), ..resting })
    }

    /// The stage place of a point given relative to the prop.
    pub fn to_stage(&self, local: StagePoint) -> StagePoint {
        self.laid_out()(local)
    }

    /// As [`Placement::to_stage`], for many points of one prop.
    pub fn laid_out(&self) -> impl Fn(StagePoint) -> StagePoint + use<> {
        let (at, (sin, cos)) = (self.at, self.turn.sin_cos());
        move |local| {
            let v = local - StagePoint::default();
            at + v * cos + v.perp() * sin
        }
    }
}

/// Where a keyed move leaves its prop.
fn end_of_move(show: &Show, state: &CueProp) -> Option<StagePoint> {
    match show.motions.get(state.motion?.index())?.kind {
        MotionKind::Keys { keys, .. } => keys.of(&show.motion_keys).last().map(|k| k.place),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::show::{Motion, MotionId, MotionKey, Presence, Run};

    /// Three cues with one prop each time: it rests, it moves, it is merely named.
    fn moving_show() -> Show {
        let mut show = Show::default();
        let at = StagePoint::new(-7.0, -0.9);
        show.props.push(Prop { name: Default::default(), at, turn_deg: 0.0, parts: Run::default() }).unwrap();
        for (at_s, x) in [(0.0, -7.0), (8.0, 0.2)] {
            show.motion_keys.push(MotionKey { at_s, place: StagePoint::new(x, -0.9) }).unwrap();
        }
        let kind = MotionKind::Keys { keys: Run { first: 0, len: 2 }, ease: true };
        show.motions.push(Motion { prop: PropId(0), kind }).unwrap();
        for (i, motion) in [None, Some(MotionId(0)), None].into_iter().enumerate() {
            let state = CueProp { prop: PropId(0), presence: Presence::Live, coming_ms: 0, motion };
            show.cue_props.push(state).unwrap();
            let props = Run { first: i as u16, len: 1 };
            show.cues.push(Cue { number: 100 * i as u32, props, ..Cue::default() }).unwrap();
        }
        show
    }

    #[test]
    fn a_prop_stays_where_its_last_move_ended() {
        let show = moving_show();
        let x = |cue: usize| Placement::after(&show, &show.cues[cue], PropId(0)).map(|p| p.at.x);
        assert_eq!([x(0), x(1), x(2)], [Some(-7.0), Some(0.2), Some(0.2)]);
        assert_eq!(Placement::after(&show, &show.cues[0], PropId(1)), None);
    }

    #[test]
    fn turned_a_quarter_stage_left_becomes_upstage() {
        let placement = Placement {
            at: StagePoint::new(1.0, 2.0),
            turn: Angle::from_degrees(90.0),
            velocity: StageVector::default(),
        };
        let p = placement.to_stage(StagePoint::new(0.5, 0.25));
        assert!((p.x - 0.75).abs() < 1e-6 && (p.y - 2.5).abs() < 1e-6);
    }
}
