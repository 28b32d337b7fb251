//! Who stands on their mark, by what is sensed of where people are.
//!
//! Presence has no names: each place counts for the called mark that is nearest to it, and each mark takes the nearest
//! of its places.

use crate::geom::StagePoint;
use crate::limits;
use crate::look::MarkState;
use crate::show::{Cue, CuePlace, PersonId, Show};
use crate::units::{Angle, Duration};

/// Somebody this near to the mark is on it, metres.
pub const ON_M: f32 = 0.15;
/// Somebody farther than this from the mark is off it, metres.
pub const OFF_M: f32 = 0.20;
/// Somebody farther than this from the mark is not called back to it, metres.
pub const GONE_M: f32 = 2.0;
/// It takes so long on the mark to have arrived.
pub const ARRIVE: Duration = Duration::from_millis(300);
/// It takes so long off the mark to be called back.
pub const LEAVE: Duration = Duration::from_millis(2_000);
/// Directions to move that are told apart: a step is 15 degrees.
const DIRECTIONS: f32 = 24.0;

/// What is known of everybody.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Feet([Foot; limits::PEOPLE]);

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
struct Foot {
    stand: Stand,
    /// How long that which would change it has lasted.
    lasted_ms: u16,
    /// Where the mark is from there, in steps of 15 degrees counter-clockwise from stage left.
    toward: u8,
}

/// Where somebody is, and what is about to change it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
enum Stand {
    /// Not there yet.
    #[default]
    Away,
    /// On the mark, not for long enough.
    Coming,
    /// Arrived.
    There,
    /// Arrived and off the mark, not for long enough.
    Going,
    /// Off the mark after having arrived.
    Off,
    /// On the mark again, not for long enough.
    Returning,
}

/// How far somebody is from the mark.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Near {
    off_m: f32,
    toward: u8,
}

impl Feet {
    /// Nobody was seen.
    pub const NONE: Self = Self([Foot { stand: Stand::Away, lasted_ms: 0, toward: 0 }; limits::PEOPLE]);

    /// Takes where people are, `passed` since that was known last; `None` when it was not, or not lately.
    pub(super) fn see(&mut self, show: &Show, cue: &Cue, people: &[StagePoint], passed: Option<Duration>) {
        if passed.is_none() {
            *self = Self::NONE;
        }
        let ms = passed.map_or(0, Duration::as_millis).try_into().unwrap_or(u16::MAX);
        for place in show.places_in(cue) {
            let Some(at) = mark_at(show, place) else { continue };
            let near = nearest(show, cue, (place, at), people);
            if let Some(foot) = self.0.get_mut(place.person.index()) {
                foot.see(near, ms);
            }
        }
    }

    /// Forgets everybody whose mark in `now` is not the one in `before`.
    pub(super) fn keep_those_who_stay(&mut self, show: &Show, before: Option<&Cue>, now: Option<&Cue>) {
        let mark = |cue: Option<&Cue>, i: usize| {
            show.places_in(cue?).iter().find(|p| p.person.index() == i).and_then(|p| p.mark)
        };
        for (i, foot) in self.0.iter_mut().enumerate() {
            if mark(before, i).is_none() || mark(before, i) != mark(now, i) {
                *foot = Foot::default();
            }
        }
    }

    /// What the mark of somebody has to say by that; `None` when nothing.
    pub(super) fn state_of(&self, person: PersonId) -> Option<MarkState> {
        let foot = self.0.get(person.index())?;
        match foot.stand {
            Stand::Away | Stand::Coming => None,
            Stand::There | Stand::Going => Some(MarkState::Arrived),
            Stand::Off | Stand::Returning => {
                Some(MarkState::Off { toward_deg: f32::from(foot.toward) * (360.0 / DIRECTIONS) })
            }
        }
    }
}

impl Foot {
    fn see(&mut self, near: Option<Near>, ms: u16) {
        let on = near.is_some_and(|n| n.off_m <= ON_M);
        let off = near.is_none_or(|n| n.off_m > OFF_M);
        if let Some(near) = near {
            self.toward = near.toward;
        }
        let lasted_ms = self.lasted_ms.saturating_add(ms);
        let (stand, lasted_ms) = match self.stand {
            Stand::Away if on => (Stand::Coming, 0),
            Stand::Off if on => (Stand::Returning, 0),
            Stand::There if off => (Stand::Going, 0),
            Stand::Coming | Stand::Returning if on && long(lasted_ms, ARRIVE) => (Stand::There, 0),
            Stand::Going if off && long(lasted_ms, LEAVE) => (Stand::Off, 0),
            Stand::Coming if !on => (Stand::Away, 0),
            Stand::Returning if !on => (Stand::Off, 0),
            Stand::Going if !off => (Stand::There, 0),
            stand => (stand, lasted_ms),
        };
        // Nobody near: there is nobody to call back.
        let gone = stand == Stand::Off && near.is_none();
        (self.stand, self.lasted_ms) = (if gone { Stand::Away } else { stand }, lasted_ms);
    }
}

fn long(lasted_ms: u16, span: Duration) -> bool {
    u64::from(lasted_ms) >= span.as_millis()
}

fn mark_at(show: &Show, place: &CuePlace) -> Option<StagePoint> {
    show.marks.get(place.mark?.index()).map(|mark| mark.at)
}

/// The nearest of the people who are nearer to this mark than to any other called one.
fn nearest(show: &Show, cue: &Cue, (place, at): (&CuePlace, StagePoint), people: &[StagePoint]) -> Option<Near> {
    let others = || show.places_in(cue).iter().filter(|p| p.mark != place.mark).filter_map(|p| mark_at(show, p));
    let mine = |p: &&StagePoint| others().all(|other| p.distance(at) <= p.distance(other));
    let within = people.iter().filter(|p| p.distance(at) <= GONE_M).filter(mine);
    let found = within.min_by(|a, b| a.distance(at).total_cmp(&b.distance(at)))?;
    let way = at - *found;
    let turn_deg = Angle::from_radians(libm::atan2f(way.y, way.x)).to_degrees();
    let steps = libm::roundf(turn_deg * (DIRECTIONS / 360.0));
    let toward = if steps < 0.0 { steps + DIRECTIONS } else { steps } as u8 % DIRECTIONS as u8;
    Some(Near { off_m: found.distance(at), toward })
}
