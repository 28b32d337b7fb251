//! Why there is no way, and by how little.
//!
//! The room round props and furniture is shrunk, all of it alike, until a way opens: to a millimetre, by halving.
//! That way leads through the narrowest place; there lie two things, one on either side, whose rooms overlap by
//! what is missing: as far as one of them has to move away from the other, or from a level side of the floor. Where that
//! opens nothing, bands of the
//! floor and the room beside raised sides shrink too; and where even bare footprints leave no way, things are left
//! out one by one.

use heapless::Vec;

use crate::geom::{StagePoint, Stretch};
use crate::props::Limit;
use crate::show::LinePoint;
use crate::walk::error::{NoWay, WalkError};
use crate::walk::obstacle::Solid;
use crate::walk::path::Path;
use crate::walk::route;
use crate::walk::route::jaw::{Jaw, JawId, face_away};
use crate::walk::route::search::Search;
use crate::walk::route::work::{PlanWork, Shrink};
use crate::walk::terrain::{Ground, Terrain};

/// How near the halving comes to the least shrinking that opens a way, metres.
const FOUND_M: f32 = 5e-4;
/// Halvings at most: from a metre to a quarter of a millimetre.
const HALVINGS: u8 = 12;
/// Steps along the way that opened, at which its sides are looked at, metres.
const STEP_M: f32 = 0.02;
/// Things that leave too little room at one place.
const NEAR: usize = 12;

/// Corners of the way that opened; what goes beyond is not looked at.
type Line = Vec<LinePoint, 64>;

/// Two things with too little room between them.
#[derive(Clone, Copy)]
struct Pinch {
    between: [Limit; 2],
    /// Which two; the same twice for the two ends of a ring.
    jaws: [JawId; 2],
    at: StagePoint,
    missing_m: f32,
    /// By how much both rooms have to shrink.
    shrink_m: f32,
}

/// One leg without a way.
struct Case<'a, const N: usize> {
    terrain: &'a Terrain<N>,
    ends: (StagePoint, StagePoint),
    work: &'a mut PlanWork,
}

/// The error that says why the leg has no way, or that there is not enough memory to tell.
pub(in crate::walk) fn explain<const N: usize>(
    terrain: &Terrain<N>,
    leg: u8,
    ends: (StagePoint, StagePoint),
    work: &mut PlanWork,
) -> WalkError {
    let mut case = Case { terrain, ends, work };
    match case.pinched_or_closed() {
        Ok(Pinch { between, at, missing_m, .. }) => WalkError::NoWay(NoWay { leg, at, between, missing_m }),
        Err(error) => error,
    }
}

impl<const N: usize> Case<'_, N> {
    fn pinched_or_closed(&mut self) -> Result<Pinch, WalkError> {
        if let Some(pinch) = self.narrow(Shrink::Yielding)? {
            return Ok(pinch);
        }
        match self.narrow(Shrink::All)? {
            Some(pinch) => Ok(pinch),
            None => self.closed(),
        }
    }

    /// The way with rooms shrunk and one thing left out, if there is one.
    fn way(&mut self, (what, shrink_m): (Shrink, f32), without: Option<Limit>) -> Result<Option<Line>, WalkError> {
        let (from, to) = self.ends;
        self.work.cut(&self.terrain.obstacles, &[from, to], (what, shrink_m), without);
        let ground = Ground { floor: &self.terrain.floor, obstacles: &self.terrain.obstacles, cuts: &self.work.cuts };
        let mut search = Search::new(ground, &mut self.work.labels, from, to);
        let Some(goal) = search.run()? else { return Ok(None) };
        let mut line = Line::new();
        let whole = line.push(LinePoint::sharp(from)).is_ok()
            && route::write(&mut search, goal, &mut line).is_ok()
            && line.push(LinePoint::sharp(to)).is_ok();
        debug_assert!(whole || line.is_full());
        Ok(Some(line))
    }

    /// The pinch that the least shrinking opens; `None` when shrinking opens nothing.
    fn narrow(&mut self, what: Shrink) -> Result<Option<Pinch>, WalkError> {
        let growths = self.terrain.obstacles.iter().filter(|of| what.takes(of)).map(|of| of.growth_m);
        let (mut low_m, mut high_m) = (0.0_f32, growths.fold(0.0, f32::max));
        let Some(mut line) = self.way((what, high_m), None)? else { return Ok(None) };
        for _ in 0..HALVINGS {
            if high_m - low_m < FOUND_M {
                break;
            }
            let middle_m = (low_m + high_m) / 2.0;
            match self.way((what, middle_m), None)? {
                Some(way) => (line, high_m) = (way, middle_m),
                None => low_m = middle_m,
            }
        }
        let (from, to) = self.ends;
        self.work.cut(&self.terrain.obstacles, &[from, to], (what, 0.0), None);
        Ok(self.pinch(&line, what))
    }

    /// The obstacle or level side of the floor, as this plan sees it.
    fn jaw(&self, id: JawId) -> Option<Jaw<'_>> {
        match id {
            JawId::Thing(i) => {
                let (of, &cut_m) = (self.terrain.obstacles.get(i)?, self.work.cuts.get(i)?);
                Some(Jaw::Thing(Solid { of, cut_m }))
            }
            JawId::Level(side) => self.terrain.floor.level(side).map(|ends| Jaw::Level(side, ends)),
        }
    }

    fn jaws(&self) -> impl Iterator<Item = (JawId, Jaw<'_>)> {
        let things = (0..self.terrain.obstacles.len()).map(JawId::Thing);
        let levels = (0..self.terrain.floor.sides()).map(JawId::Level);
        things.chain(levels).filter_map(|id| self.jaw(id).map(|jaw| (id, jaw)))
    }

    /// The place along the line whose two sides have to shrink the most.
    fn pinch(&self, line: &Line, what: Shrink) -> Option<Pinch> {
        let mut worst: Option<(Pinch, Stretch, f32)> = None;
        for stretch in Path::new(line).stretches() {
            let steps = libm::ceilf(stretch.length() / STEP_M).max(1.0);
            for i in 0..=steps as u32 {
                let share = i as f32 / steps;
                let found = self.pinch_at(stretch.point(share), what);
                if let Some(pinch) = found
                    && worst.is_none_or(|(known, ..)| pinch.shrink_m > known.shrink_m)
                {
                    worst = Some((pinch, stretch, share));
                }
            }
        }
        worst.map(|(pinch, stretch, share)| self.refined(pinch, &stretch, share))
    }

    /// The two things on either side of `p` that have to shrink the most.
    fn pinch_at(&self, p: StagePoint, what: Shrink) -> Option<Pinch> {
        let mut near: Vec<(JawId, Jaw<'_>, f32), NEAR> = Vec::new();
        for (id, jaw) in self.jaws() {
            let room_m = jaw.room_m(p);
            if room_m < jaw.growth_m().max(0.5) {
                near.push((id, jaw, room_m)).unwrap_or(());
            }
        }
        let mut worst: Option<Pinch> = None;
        for (k, &(i, a, room_a)) in near.iter().enumerate() {
            for &(j, b, room_b) in near.iter().skip(k) {
                let shrinking = [a, b].iter().filter(|jaw| jaw.shrinks(what)).count() as f32;
                let missing_m = -(room_a + room_b);
                let shrink_m = if shrinking > 0.0 { missing_m / shrinking } else { 0.0 };
                let is_between = || if i == j { a.has_in_mouth(p) } else { face_away(&a, &b, p) };
                if shrink_m > worst.map_or(0.0, |known| known.shrink_m) && is_between() {
                    let between = [a.limit(), b.limit()];
                    worst = Some(Pinch { between, jaws: [i, j], at: p, missing_m, shrink_m });
                }
            }
        }
        worst
    }

    /// The pinch where its two rooms overlap the most, near a share of a stretch.
    fn refined(&self, pinch: Pinch, stretch: &Stretch, share: f32) -> Pinch {
        let room = |t: f32| {
            let at = stretch.point(t);
            pinch.jaws.map(|id| self.jaw(id).map_or(0.0, |jaw| jaw.room_m(at))).iter().sum::<f32>()
        };
        let step = STEP_M / stretch.length().max(STEP_M);
        let (mut low, mut high) = ((share - step).max(0.0), (share + step).min(1.0));
        for _ in 0..24 {
            let (a, b) = (low + (high - low) / 3.0, high - (high - low) / 3.0);
            if room(a) <= room(b) { high = b } else { low = a }
        }
        let best = (low + high) / 2.0;
        Pinch { at: stretch.point(best), missing_m: (-room(best)).max(pinch.missing_m), ..pinch }
    }

    /// The one thing without which there would be a way through bare footprints; else the first on the straight way.
    fn closed(&mut self) -> Result<Pinch, WalkError> {
        let most_m = self.terrain.obstacles.iter().map(|of| of.growth_m).fold(0.0, f32::max);
        let mut tried: Option<Limit> = None;
        for i in 0..self.terrain.obstacles.len() {
            let Some(limit) = self.terrain.obstacles.get(i).map(|of| of.limit) else { break };
            if tried.is_some_and(|old| is_same_thing(old, limit)) {
                continue;
            }
            tried = Some(limit);
            if let Some(line) = self.way((Shrink::All, most_m), Some(limit))? {
                return Ok(self.named(&line, |of| is_same_thing(of, limit)));
            }
        }
        let (from, to) = self.ends;
        let straight = [LinePoint::sharp(from), LinePoint::sharp(to)];
        Ok(self.named(&straight, |_| true))
    }

    /// The thing among `those` that the line goes through most deeply.
    fn named(&self, line: &[LinePoint], those: impl Fn(Limit) -> bool) -> Pinch {
        let (from, to) = self.ends;
        let middle = from + (to - from) * 0.5;
        let (between, jaws) = ([Limit::OffFloor; 2], [JawId::Thing(0); 2]);
        let mut worst = Pinch { between, jaws, at: middle, missing_m: 0.0, shrink_m: f32::NEG_INFINITY };
        for stretch in Path::new(line).stretches() {
            let steps = libm::ceilf(stretch.length() / STEP_M).max(1.0);
            for at in (0..=steps as u32).map(|i| stretch.point(i as f32 / steps)) {
                for of in self.terrain.obstacles.iter().filter(|of| those(of.limit)) {
                    let inside_m = -(Solid { of, cut_m: 0.0 }).signed_distance(at);
                    if inside_m > worst.shrink_m {
                        worst = Pinch { between: [of.limit; 2], at, shrink_m: inside_m, ..worst };
                    }
                }
            }
        }
        worst
    }
}

/// True for limits of one prop, one physical thing or one side.
pub(in crate::walk) fn is_same_thing(a: Limit, b: Limit) -> bool {
    match (a, b) {
        (Limit::Part { prop: a, .. }, Limit::Part { prop: b, .. }) => a == b,
        _ => a == b,
    }
}
