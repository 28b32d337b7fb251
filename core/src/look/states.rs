//! What marks tell people, person by person.

use crate::limits;
use crate::show::PersonId;

/// What a mark tells the person it is for. The form says it, never the colour.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum MarkState {
    /// No state: the whole outline, bright.
    #[default]
    Steady,
    /// Later, not now: hollow mark inside a thin outline.
    Later,
    /// Be ready: the outline is open in the middle of each side.
    StandBy,
    /// Walk now: as stand by, while the dots of the walk line flow.
    Go,
    /// In place: the outline is closed and dimmed to 30 % of its light.
    Arrived,
    /// Off its place: the outline is open on the one side to move toward.
    Off {
        /// Direction to move, degrees counter-clockwise from stage left (+X).
        toward_deg: f32,
    },
}

impl MarkState {
    /// True for the states whose light goes up and down.
    pub const fn pulses(self) -> bool {
        matches!(self, Self::StandBy | Self::Off { .. })
    }
}

/// One state for each person of the show.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct States([MarkState; limits::PEOPLE]);

impl States {
    /// The same state for all.
    pub const fn all(state: MarkState) -> Self {
        Self([state; limits::PEOPLE])
    }

    /// The state of a person's mark.
    pub fn of(&self, person: PersonId) -> MarkState {
        self.0.get(person.index()).copied().unwrap_or_default()
    }

    /// Gives a person's mark another state; does nothing for somebody whom no show can have.
    pub fn set(&mut self, person: PersonId, state: MarkState) {
        if let Some(slot) = self.0.get_mut(person.index()) {
            *slot = state;
        }
    }

    /// All of them, in the order of the show's people.
    pub fn iter(&self) -> impl Iterator<Item = MarkState> {
        self.0.into_iter()
    }
}
