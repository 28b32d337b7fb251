//! The memory of a search: arrivals at bends, each reached on the shortest way found so far.

use heapless::Vec;

use crate::geom::{StagePoint, StageVector};
use crate::limits as cap;
use crate::props::Limit;
use crate::walk::obstacle::{Obstacle, Solid};
use crate::walk::route::blocked::is_same_thing;

/// Lists of labels by where they are.
const HEADS: usize = 256;
/// No label.
pub(in crate::walk) const NONE: u16 = u16::MAX;
/// In place of an obstacle: the stop that a leg starts from and the one that it goes to.
pub(in crate::walk) const START: u8 = 254;
pub(in crate::walk) const GOAL: u8 = 255;

/// Where a way may bend: which bend of which obstacle, and on which side it is passed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::walk) struct Place {
    pub(in crate::walk) obstacle: u8,
    pub(in crate::walk) bend: u8,
    /// True when it is walked round clockwise.
    pub(in crate::walk) clockwise: bool,
}

/// Whose room shrinks when it is asked what is missing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::walk) enum Shrink {
    /// That of props and furniture.
    Yielding,
    /// Bands of the floor and raised sides, too.
    All,
}

impl Shrink {
    pub(in crate::walk) fn takes(self, of: &Obstacle) -> bool {
        self == Self::All || of.yields
    }
}

/// What became of a label.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::walk) enum Life {
    /// Not yet gone on from.
    Open,
    /// Gone on from.
    Closed,
    /// Another one is as good: its memory is free.
    Dead,
}

/// One arrival at a bend.
#[derive(Clone, Copy, Debug)]
pub(in crate::walk) struct Label {
    pub(in crate::walk) place: Place,
    pub(in crate::walk) life: Life,
    /// The label that it came from.
    pub(in crate::walk) from: u16,
    /// The next in its list.
    next: u16,
    /// Metres from the start.
    pub(in crate::walk) gone_m: f32,
    /// With the straight rest to the goal.
    pub(in crate::walk) least_m: f32,
    /// From the bend's centre to where it is reached.
    pub(in crate::walk) normal: StageVector,
    /// Radians that are free ahead on the bend.
    pub(in crate::walk) free_rad: f32,
}

/// The memory of planning, lent by the caller: about 24 KB, whatever the terrain.
#[derive(Clone, Debug)]
pub struct PlanWork {
    /// By how much each obstacle's radius is less in this plan, metres.
    pub(in crate::walk) cuts: Vec<f32, { cap::WALK_OBSTACLES }>,
    pub(in crate::walk) labels: Labels,
}

/// All labels of a search.
#[derive(Clone, Debug)]
pub(in crate::walk) struct Labels {
    list: Vec<Label, { cap::WALK_LABELS }>,
    heads: [u16; HEADS],
}

impl PlanWork {
    /// Empty memory; it may be static.
    pub const fn new() -> Self {
        Self { cuts: Vec::new(), labels: Labels { list: Vec::new(), heads: [NONE; HEADS] } }
    }

    /// Works out the cuts of a leg: what shrinks by so much, and everything as far as a stop is inside its room.
    /// What is `without` is not there: its cut is infinite.
    pub(in crate::walk) fn cut(
        &mut self,
        obstacles: &[Obstacle],
        stops: &[StagePoint],
        (what, shrink_m): (Shrink, f32),
        without: Option<Limit>,
    ) {
        self.cuts.clear();
        for of in obstacles {
            let inside = |&p: &StagePoint| -(Solid { of, cut_m: 0.0 }.signed_distance(p));
            let least_m = if what.takes(of) { shrink_m } else { 0.0 };
            let cut_m = stops.iter().map(inside).fold(least_m, f32::max).min(of.growth_m);
            let is_out = without.is_some_and(|limit| is_same_thing(limit, of.limit));
            let cut_m = if is_out { f32::INFINITY } else { cut_m };
            // A terrain has no more obstacles than there is room for cuts.
            self.cuts.push(cut_m).unwrap_or(());
        }
    }
}

impl Default for PlanWork {
    fn default() -> Self {
        Self::new()
    }
}

impl Place {
    fn head(self) -> usize {
        let mixed = usize::from(self.obstacle) * 7 + usize::from(self.bend) * 2 + usize::from(self.clockwise);
        mixed % HEADS
    }

    /// +1 counter-clockwise, -1 clockwise.
    pub(in crate::walk) fn sense(self) -> f32 {
        if self.clockwise { -1.0 } else { 1.0 }
    }
}

impl Label {
    pub(in crate::walk) fn new(place: Place, from: u16, (gone_m, least_m): (f32, f32), normal: StageVector) -> Self {
        Self { place, life: Life::Open, from, next: NONE, gone_m, least_m, normal, free_rad: 0.0 }
    }
}

impl Labels {
    pub(in crate::walk) fn clear(&mut self) {
        self.list.clear();
        self.heads = [NONE; HEADS];
    }

    pub(in crate::walk) fn get(&self, i: u16) -> Option<&Label> {
        self.list.get(usize::from(i))
    }

    /// The open label with the least way; the first of several.
    pub(in crate::walk) fn pop(&mut self) -> Option<u16> {
        let mut best: Option<(usize, f32)> = None;
        for (i, label) in self.list.iter().enumerate() {
            if label.life == Life::Open && best.is_none_or(|(_, least_m)| label.least_m < least_m) {
                best = Some((i, label.least_m));
            }
        }
        let (i, _) = best?;
        self.list.get_mut(i)?.life = Life::Closed;
        Some(i as u16)
    }

    /// Labels at a place, dead ones left out.
    pub(in crate::walk) fn at(&self, place: Place) -> impl Iterator<Item = (u16, &Label)> {
        let mut i = self.heads.get(place.head()).copied().unwrap_or(NONE);
        let all = core::iter::from_fn(move || {
            let (here, label) = (i, self.get(i)?);
            i = label.next;
            Some((here, label))
        });
        all.filter(move |(_, label)| label.place == place && label.life != Life::Dead)
    }

    /// Frees an open label.
    pub(in crate::walk) fn kill(&mut self, i: u16) {
        if let Some(label) = self.list.get_mut(usize::from(i)) {
            label.life = Life::Dead;
        }
    }

    /// Stores a label; `None` when there is no room. The memory of a dead one at the same head is used again first.
    pub(in crate::walk) fn add(&mut self, label: Label) -> Option<u16> {
        let head = label.place.head();
        let mut i = self.heads.get(head).copied()?;
        while let Some(old) = self.list.get_mut(usize::from(i)) {
            if old.life == Life::Dead {
                *old = Label { next: old.next, ..label };
                return Some(i);
            }
            i = old.next;
        }
        let new = self.list.len() as u16;
        let first = self.heads.get_mut(head)?;
        self.list.push(Label { next: *first, ..label }).ok()?;
        *first = new;
        Some(new)
    }

    /// Turns the chain that ends at `last` round, so that each label's `from` is the one after it; gives its first.
    pub(in crate::walk) fn reverse(&mut self, last: u16) -> u16 {
        let (mut after, mut here) = (NONE, last);
        while let Some(label) = self.list.get_mut(usize::from(here)) {
            let before = label.from;
            label.from = after;
            (after, here) = (here, before);
        }
        after
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn label(obstacle: u8, least_m: f32, from: u16) -> Label {
        let place = Place { obstacle, bend: 0, clockwise: false };
        Label::new(place, from, (0.0, least_m), StageVector::default())
    }

    #[test]
    fn the_nearest_open_label_comes_first_and_dead_memory_is_used_again() {
        let mut labels = PlanWork::new().labels;
        let first = labels.add(label(1, 3.0, NONE)).unwrap();
        let second = labels.add(label(1, 2.0, first)).unwrap();
        labels.kill(second);
        assert_eq!(labels.add(label(1, 1.0, first)), Some(second));
        assert_eq!(labels.at(label(1, 0.0, NONE).place).count(), 2);
        assert_eq!([labels.pop(), labels.pop(), labels.pop()], [Some(second), Some(first), None]);
        assert_eq!(labels.reverse(second), first);
        assert_eq!(labels.get(first).map(|l| l.from), Some(second));
    }

    #[test]
    fn memory_is_as_large_as_its_document_says() {
        let bytes = core::mem::size_of::<PlanWork>();
        assert!((22_000..=24_576).contains(&bytes), "{bytes}");
    }
}
