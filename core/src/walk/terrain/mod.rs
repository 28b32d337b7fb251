//! What a walker goes round: the floor's end and its bands, props, furniture, raised sides.

mod bands;
pub(in crate::walk) mod cue;
pub(in crate::walk) mod floor;
pub(in crate::walk) mod gate;
pub(in crate::walk) mod raised;

use heapless::Vec;

use crate::geom::{Region, StagePoint};
use crate::props::{KeepOutError, Limit};
use crate::show::{Entry, FloorOutline};
use crate::walk::error::{Store, WalkError};
use crate::walk::obstacle::leg::Leg;
use crate::walk::obstacle::reach::Circle;
use crate::walk::obstacle::{Obstacle, Solid};
use crate::walk::terrain::bands::bands;
use crate::walk::terrain::floor::Floor;

/// What a walker of one class goes round, `N` things at most ([`crate::limits::WALK_OBSTACLES`] is the most
/// that a plan takes). About 190 bytes for each, so the caller chooses.
#[derive(Clone, Debug)]
pub struct Terrain<const N: usize> {
    pub(in crate::walk) floor: Floor,
    pub(in crate::walk) obstacles: Vec<Obstacle, N>,
}

impl<const N: usize> Terrain<N> {
    /// Neither floor nor things: memory that is filled where it lies, because it is too large to be handed about.
    /// It may be static.
    pub const fn vacant() -> Self {
        Self { floor: Floor::vacant(), obstacles: Vec::new() }
    }

    /// The floor alone: its end, its bands, and the entries through them.
    ///
    /// # Errors
    /// As [`Terrain::lay`].
    pub fn bare(floor: &FloorOutline, entries: &[Entry]) -> Result<Self, WalkError> {
        let mut terrain = Self::vacant();
        terrain.lay(floor, entries)?;
        Ok(terrain)
    }

    /// Forgets everything and lays the floor alone: its end, its bands, and the entries through them.
    ///
    /// # Errors
    /// [`WalkError::Floor`] for an outline that is not a simple counter-clockwise polygon, [`WalkError::Full`].
    pub fn lay(&mut self, floor: &FloorOutline, entries: &[Entry]) -> Result<(), WalkError> {
        self.obstacles.clear();
        self.floor = Floor::of(floor, entries)?;
        bands(floor, entries, &mut |obstacle| self.add(obstacle))
    }

    /// Adds a thing: `footprint`, which nobody may walk into, and room of `growth_m` round it, which only a stop
    /// may be in. Things thinner than 0.1 mm count as that thick.
    ///
    /// # Errors
    /// [`WalkError::KeepOut`] for a growth that is negative or not finite, [`WalkError::Full`].
    pub fn push(&mut self, limit: Limit, footprint: &Region, growth_m: f32) -> Result<(), WalkError> {
        let obstacle = Obstacle::grown(limit, footprint, growth_m);
        self.add(obstacle.map_err(|fault| KeepOutError::Shape { limit, fault })?)
    }

    /// Adds an obstacle unless the same is there.
    pub(in crate::walk) fn add(&mut self, obstacle: Obstacle) -> Result<(), WalkError> {
        if self.obstacles.contains(&obstacle) {
            return Ok(());
        }
        let full = WalkError::Full { what: Store::Obstacles, capacity: N.min(crate::limits::WALK_OBSTACLES) };
        if self.obstacles.len() >= crate::limits::WALK_OBSTACLES {
            return Err(full);
        }
        self.obstacles.push(obstacle).map_err(|_| full)
    }
}

/// A terrain as one plan sees it: every obstacle's radius is less by its cut.
#[derive(Clone, Copy, Debug)]
pub(in crate::walk) struct Ground<'a> {
    pub(in crate::walk) floor: &'a Floor,
    pub(in crate::walk) obstacles: &'a [Obstacle],
    pub(in crate::walk) cuts: &'a [f32],
}

impl<'a> Ground<'a> {
    /// The obstacles that are there, each with its index.
    pub(in crate::walk) fn solids(&self) -> impl Iterator<Item = (u8, Solid<'a>)> + use<'a> {
        let all = self.obstacles.iter().zip(self.cuts).enumerate();
        all.filter(|(_, (_, cut_m))| cut_m.is_finite()).map(|(i, (of, &cut_m))| (i as u8, Solid { of, cut_m }))
    }

    /// Obstacle `i`.
    pub(in crate::walk) fn solid(&self, i: u8) -> Option<Solid<'a>> {
        let i = usize::from(i);
        Some(Solid { of: self.obstacles.get(i)?, cut_m: *self.cuts.get(i)? })
    }

    /// True when the straight way leaves the floor or passes through an obstacle other than the two that it
    /// touches from outside, whose indices are `touched`.
    pub(in crate::walk) fn blocks(&self, from: StagePoint, to: StagePoint, touched: [u8; 2]) -> bool {
        let leg = Leg::new(from, to);
        let others = self.solids().filter(|(i, _)| !touched.contains(i));
        let stops = |solid: Solid<'_>| solid.blocks(&leg) && !self.steps_down(&leg, solid.of.falls);
        self.floor.blocks(&leg) || others.map(|(_, solid)| solid).any(stops)
    }

    /// True when the leg goes down over a side of the thing and up over none: then none of its sides is in the way.
    pub(in crate::walk) fn steps_down(&self, leg: &Leg, thing: Option<u8>) -> bool {
        let sides = self.solids().map(|(_, solid)| solid).filter(|solid| thing.is_some() && solid.of.falls == thing);
        let mut crossed = sides.filter_map(|solid| solid.crossed_down(leg)).peekable();
        crossed.peek().is_some() && crossed.all(|is_down| is_down)
    }

    /// Shortens the circle's free turn to where it leaves the floor or enters an obstacle.
    pub(in crate::walk) fn shorten(&self, circle: &mut Circle) {
        self.floor.shorten(circle);
        self.solids().for_each(|(_, solid)| solid.shorten(circle));
    }
}
