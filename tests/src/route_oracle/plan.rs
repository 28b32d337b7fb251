//! Everything that a walker goes round, and whether a straight way is free.

use super::floor::{Band, leaves};
use super::shape::Shape;
use super::vector::V;

/// A footprint and the room beside it.
#[derive(Clone, Debug, PartialEq)]
pub struct Thing {
    /// The footprint, or what it is when it is shrunk by `solid`.
    pub shape: Shape,
    /// The radius of a disc, whose shape is its centre, metres; 0 for other footprints.
    pub solid: f64,
    /// How far the walker's middle stays from the shape, metres.
    pub room: f64,
    /// False for what a walker keeps from by the body alone, so that no smaller room would do.
    pub yields: bool,
}

/// What one walker of one cue goes round.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Plan {
    /// The floor's corners, counter-clockwise.
    pub outline: Vec<V>,
    /// The bands along its sides, those without width included.
    pub bands: Vec<Band>,
    /// Footprints.
    pub things: Vec<Thing>,
}

impl Plan {
    /// True when the straight way from `a` to `b` comes nearer than it may, by more than `slack` metres, to a thing,
    /// goes through a band, or leaves the floor.
    pub fn stops(&self, a: V, b: V, slack: f64) -> bool {
        self.things.iter().any(|thing| thing.is_near(a, b) && thing.shape.gap(a, b) < thing.room - slack)
            || self.bands.iter().any(|band| band.stops((a, b), slack))
            || leaves(&self.outline, (a, b), slack)
    }

    /// Least room to spare beside things along a straight way, metres; negative where it is missing.
    pub fn spare(&self, a: V, b: V) -> f64 {
        self.things.iter().map(|thing| thing.shape.gap(a, b) - thing.room).fold(f64::INFINITY, f64::min)
    }

    /// The same plan with less room beside what yields, but never less than none.
    pub fn shrunk(mut self, by: f64) -> Self {
        for thing in self.things.iter_mut().filter(|thing| thing.yields) {
            thing.room = (thing.room - by).max(thing.solid);
        }
        self
    }

    /// The same plan for a walk that begins or ends at `end`: a thing that is nearer than its room is kept from only as
    /// far as the end is.
    pub fn for_end(mut self, end: V) -> Self {
        for thing in &mut self.things {
            thing.room = thing.room.min(thing.shape.gap(end, end));
        }
        self
    }
}

impl Thing {
    /// False when a ball round it says that it is out of reach.
    fn is_near(&self, a: V, b: V) -> bool {
        let (centre, radius) = self.shape.ball();
        super::vector::to_segment(centre, a, b) < radius + self.room
    }
}
