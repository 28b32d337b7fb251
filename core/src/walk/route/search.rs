//! The shortest way of one leg: A* over tangents.
//!
//! A shortest way is straight but for arcs of bends, which it touches. So from a stop or a bend the search goes
//! along every tangent to a bend on either side, where the tangent touches the outlines of both, where the arc
//! up to its start is free, and where nothing stands in its way; and to the goal. The straight rest to the goal
//! never exceeds the true one, so the first arrival at the goal that is taken is the shortest.
//!
//! An arrival is dropped when another one reaches it along the bend's free arc at no more cost: whatever
//! begins with the dropped one begins as well with the other.

use crate::geom::{StagePoint, StageVector};
use crate::limits as cap;
use crate::walk::error::{Store, WalkError};
use crate::walk::obstacle::Bend;
use crate::walk::obstacle::reach::Circle;
use crate::walk::route::work::{GOAL, Label, Labels, Life, NONE, Place, START};
use crate::walk::tangent::{self, Round, Tangent};
use crate::walk::terrain::Ground;

/// A label may be worse by this much and is still dropped, metres: far below what anybody walks.
const SAME_M: f32 = 1e-6;

/// One leg's search.
pub(in crate::walk) struct Search<'a> {
    pub(in crate::walk) ground: Ground<'a>,
    pub(in crate::walk) labels: &'a mut Labels,
    pub(in crate::walk) from: StagePoint,
    pub(in crate::walk) to: StagePoint,
    /// Length of the shortest way to the goal that is known.
    best_m: f32,
}

/// What is gone on from: a label with its circle.
#[derive(Clone, Copy)]
struct Here {
    i: u16,
    label: Label,
    round: Round,
    bend: Option<Bend>,
}

impl<'a> Search<'a> {
    pub(in crate::walk) fn new(ground: Ground<'a>, labels: &'a mut Labels, from: StagePoint, to: StagePoint) -> Self {
        Self { ground, labels, from, to, best_m: f32::INFINITY }
    }

    /// The label at the goal whose chain is the shortest way; `None` when there is no way.
    ///
    /// # Errors
    /// [`WalkError::Full`].
    pub(in crate::walk) fn run(&mut self) -> Result<Option<u16>, WalkError> {
        self.labels.clear();
        let start = Place { obstacle: START, bend: 0, clockwise: false };
        let least_m = self.from.distance(self.to);
        self.store(Label::new(start, NONE, (0.0, least_m), StageVector::default()))?;
        while let Some(i) = self.labels.pop() {
            let Some(&label) = self.labels.get(i) else { break };
            if label.place.obstacle == GOAL {
                return Ok(Some(i));
            }
            let (round, bend) = self.round(label.place);
            self.go_on(&Here { i, label, round, bend })?;
        }
        Ok(None)
    }

    /// The circle of a place; a stop is a point and no bend.
    pub(in crate::walk) fn round(&self, place: Place) -> (Round, Option<Bend>) {
        match place.obstacle {
            START => (Round::point(self.from), None),
            GOAL => (Round::point(self.to), None),
            _ => match self.ground.solid(place.obstacle).and_then(|solid| solid.bend(place.bend)) {
                Some(bend) => (rounded(&bend, place.sense()), Some(bend)),
                None => (Round::point(self.to), None),
            },
        }
    }

    fn go_on(&mut self, here: &Here) -> Result<(), WalkError> {
        let goal = Place { obstacle: GOAL, bend: 0, clockwise: false };
        self.try_way(here, goal, &Round::point(self.to), None)?;
        for (obstacle, solid) in self.ground.solids() {
            let at = here.round.centre;
            let near_m = at.distance(solid.of.middle) - solid.of.about_m - solid.radius_m() - here.round.radius_m;
            let rest_m = self.to.distance(solid.of.middle) - solid.of.about_m - solid.radius_m();
            if here.label.gone_m + near_m.max(0.0) + rest_m.max(0.0) >= self.best_m {
                continue;
            }
            for b in 0..solid.bends() {
                let Some(bend) = solid.bend(b) else { continue };
                for clockwise in [false, true] {
                    let place = Place { obstacle, bend: b, clockwise };
                    if place != here.label.place {
                        self.try_way(here, place, &rounded(&bend, place.sense()), Some(&bend))?;
                    }
                }
            }
        }
        Ok(())
    }

    /// Goes along the tangent to a place, unless something speaks against it.
    fn try_way(&mut self, here: &Here, place: Place, round: &Round, bend: Option<&Bend>) -> Result<(), WalkError> {
        let Some(tangent) = tangent::between(&here.round, round) else { return Ok(()) };
        let touches = |bend: Option<&Bend>, sense: f32| bend.is_none_or(|bend| bend.admits(tangent.way, sense));
        if !touches(bend, round.sense) || !touches(here.bend.as_ref(), here.round.sense) {
            return Ok(());
        }
        let Some(turned_m) = here.turned_m(&tangent) else { return Ok(()) };
        let gone_m = here.label.gone_m + turned_m + tangent.length_m;
        let least_m = gone_m + tangent.to.distance(self.to);
        let normal = round.normal(tangent.way);
        if least_m >= self.best_m || self.is_known(place, round, normal, gone_m) {
            return Ok(());
        }
        let touched = [here.label.place.obstacle, place.obstacle].map(|o| self.convex_or_none(o));
        if self.ground.blocks(tangent.from, tangent.to, touched) {
            return Ok(());
        }
        self.arrive(Label::new(place, here.i, (gone_m, least_m), normal), round, bend)
    }

    /// Stores an arrival with the turn that is free ahead of it.
    fn arrive(&mut self, mut label: Label, round: &Round, bend: Option<&Bend>) -> Result<(), WalkError> {
        if label.place.obstacle == GOAL {
            self.best_m = label.gone_m;
        }
        if let Some(bend) = bend {
            let mut circle = Circle::new(*round, label.normal, bend.most_turn());
            self.ground.shorten(&mut circle);
            label.free_rad = circle.free_rad;
        }
        // One at a time: a place rarely has more than two labels.
        while let Some(worse) = self.worse(&label, round) {
            self.labels.kill(worse);
        }
        self.store(label)
    }

    fn store(&mut self, label: Label) -> Result<(), WalkError> {
        let full = WalkError::Full { what: Store::Labels, capacity: cap::WALK_LABELS };
        self.labels.add(label).map(|_| ()).ok_or(full)
    }

    /// True when a label at the place comes to `normal` at no more cost.
    fn is_known(&self, place: Place, round: &Round, normal: StageVector, gone_m: f32) -> bool {
        self.labels.at(place).any(|(_, old)| {
            let turn = round.turn(old.normal, normal);
            turn <= old.free_rad && old.gone_m + turn * round.radius_m <= gone_m + SAME_M
        })
    }

    /// An open label at the same place that `new` comes to at no more cost.
    fn worse(&self, new: &Label, round: &Round) -> Option<u16> {
        let is_worse = |old: &Label| {
            let turn = round.turn(new.normal, old.normal);
            old.life == Life::Open && turn <= new.free_rad && new.gone_m + turn * round.radius_m <= old.gone_m
        };
        self.labels.at(new.place).find(|(_, old)| is_worse(old)).map(|(i, _)| i)
    }

    /// The obstacle when a tangent of it cannot pass through itself, or else an index that none has.
    fn convex_or_none(&self, obstacle: u8) -> u8 {
        let solid = self.ground.solid(obstacle);
        if solid.is_some_and(|solid| solid.is_convex()) { obstacle } else { START }
    }
}

impl Here {
    /// Metres on this bend to where the tangent leaves it; `None` when the arc there is not free.
    fn turned_m(&self, tangent: &Tangent) -> Option<f32> {
        if self.bend.is_none() {
            return Some(0.0);
        }
        let turn = self.round.turn(self.label.normal, self.round.normal(tangent.way));
        // Arcs that join, as those of a ring's end do, end where the next begins, but for rounding.
        let end_rad = self.label.free_rad + tangent::INNER_M / self.round.radius_m;
        (turn <= end_rad).then_some(turn * self.round.radius_m)
    }
}

fn rounded(bend: &Bend, sense: f32) -> Round {
    Round { centre: bend.centre, radius_m: bend.radius_m, sense }
}
