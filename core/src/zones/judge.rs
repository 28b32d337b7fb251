//! Whether the pictures work with a person at a place.

use core::cell::Cell;

use super::changes::Changes;
use super::{Bound, Outline, Task, Zone, ZoneError, ZoneStore, trace_set};
use crate::cameras::framing::{holds, missed_side, state};
use crate::cameras::off_wall::off_wall;
use crate::cameras::sight::first_fault;
use crate::cameras::{Body, Framing, SightFault, Solid, Surfaces, View};
use crate::geom::{StagePoint, StageVector};
use crate::props::Ground;
use crate::show::{PersonClass, Show};
use crate::units::Angle;

/// By how much the good places are shrunk all round, before the survey's allowance, metres.
pub const SHRINK_M: f32 = 0.15;
/// Directions in which [`Judge::holds`] moves the person: two neighbours are 20 mm apart.
const DIRECTIONS: u8 = 48;

/// One person class, the pictures that have to work, and everything that stands in them.
#[derive(Clone, Copy, Debug)]
pub struct Judge<'a> {
    /// The show.
    pub show: &'a Show,
    /// The person.
    pub class: &'a PersonClass,
    /// The floor with its keep-outs for this class in this cue.
    pub ground: &'a Ground<'a>,
    /// The pictures that are about the person, every pose of them that has to work: see [`about`].
    pub views: &'a [View],
    /// The parts in the picture, once for every moment that has to work.
    pub moments: &'a [&'a [Solid]],
    /// The LED surfaces.
    pub surfaces: &'a Surfaces<'a>,
}

impl Judge<'_> {
    /// Whether everything holds at `p`: first the floor and its keep-outs, then framing in every view, then what
    /// parts do in every moment and view, then backing.
    ///
    /// # Errors
    /// The first thing in this order that does not hold.
    pub fn verdict(&self, p: StagePoint) -> Result<(), Bound> {
        self.verdict_by(&Changes::of(self.moments), p)
    }

    /// [`Self::verdict`], with what changes between the moments known.
    fn verdict_by(&self, changes: &Changes, p: StagePoint) -> Result<(), Bound> {
        let standing = self.ground.standing(p);
        if !standing.is_allowed() {
            return Err(Bound::Limit(standing.limit));
        }
        let body = Body::of(self.show, self.class, p);
        self.views.iter().try_for_each(|view| framed(view, &body))?;
        self.ordered_and_backed(changes, &body)
    }

    /// True when everything holds at `p`, as [`Self::verdict`] says it, without saying what does not: the view that
    /// missed the last place, `likely`, is asked first, as it mostly misses the next one, too.
    fn works(&self, changes: &Changes, p: StagePoint, likely: &Cell<usize>) -> bool {
        let body = Body::of(self.show, self.class, p);
        let misses = |view: &View| !holds(view, &body);
        if self.views.get(likely.get()).is_some_and(misses) || !self.ground.standing(p).is_allowed() {
            return false;
        }
        if let Some(missing) = self.views.iter().position(misses) {
            likely.set(missing);
            return false;
        }
        self.ordered_and_backed(changes, &body).is_ok()
    }

    /// What parts do in every moment and view, then the backing.
    fn ordered_and_backed(&self, changes: &Changes, body: &Body) -> Result<(), Bound> {
        for (i, solids) in self.moments.iter().enumerate() {
            let changed = |view: &&View| changes.touch(self.moments, i, view, body.at, body.radius_m);
            self.views.iter().filter(changed).try_for_each(|view| ordered(view, body, solids))?;
        }
        self.views.iter().try_for_each(|view| self.backed(changes, view, body))
    }

    /// By how much the good places are shrunk: [`SHRINK_M`] and the survey's allowance.
    pub fn shrink_m(&self) -> f32 {
        SHRINK_M + self.show.survey_allowance_m
    }

    /// Whether everything holds at `p` and wherever the person is when moved from it by the shrink: asked at `p`,
    /// on the circle round it and on the one of half the radius.
    ///
    /// # Errors
    /// The first thing found that does not hold.
    pub fn holds(&self, p: StagePoint) -> Result<(), Bound> {
        self.holds_within(&Changes::of(self.moments), p, self.shrink_m())
    }

    /// The first of some places at which [`Self::holds`]; what changes between the moments is worked out once for all.
    pub fn first_held(&self, places: impl IntoIterator<Item = StagePoint>) -> Option<StagePoint> {
        let (changes, likely) = (Changes::of(self.moments), Cell::new(0));
        let works = |p| if self.works(&changes, p, &likely) { Ok(()) } else { Err(()) };
        places.into_iter().find(|&p| within(works, p, self.shrink_m()).is_ok())
    }

    /// How far a person at `p` may be moved any way, metres, up to the shrink and within 1/64 of it, and what forbids
    /// more; nothing does when it is all of the shrink.
    ///
    /// # Errors
    /// What does not hold at `p` itself.
    pub fn spare(&self, p: StagePoint) -> Result<(f32, Option<Bound>), Bound> {
        let changes = Changes::of(self.moments);
        self.verdict_by(&changes, p)?;
        let (mut held_m, mut beyond_m) = (0.0, self.shrink_m());
        let Err(mut bound) = self.holds_within(&changes, p, beyond_m) else { return Ok((beyond_m, None)) };
        for _ in 0..6 {
            let middle_m = (held_m + beyond_m) / 2.0;
            match self.holds_within(&changes, p, middle_m) {
                Ok(()) => held_m = middle_m,
                Err(nearer) => (beyond_m, bound) = (middle_m, nearer),
            }
        }
        Ok((held_m, Some(bound)))
    }

    fn holds_within(&self, changes: &Changes, p: StagePoint, radius_m: f32) -> Result<(), Bound> {
        within(|p| self.verdict_by(changes, p), p, radius_m)
    }

    fn backed(&self, changes: &Changes, view: &View, body: &Body) -> Result<(), Bound> {
        // Where all of the set beyond the LED surfaces is drawn no part matters, and one look is enough; where
        // nothing of it is, none is needed.
        let moments = match (self.surfaces.drawn, changes.extends) {
            (true, _) => &[&[][..]][..],
            (false, true) => self.moments,
            (false, false) => &[],
        };
        for solids in moments {
            let seen = |q| view.pose.see(q).is_some_and(|at| view.whole.outer.contains(at.x, at.y));
            if let Some(off) = off_wall(view.pose.centre, body, self.surfaces, solids, seen) {
                return Err(Bound::OffWall { shot: view.shot, side: off.side });
            }
        }
        Ok(())
    }
}

/// Traces the in-shot zone of a judge.
///
/// # Errors
/// [`ZoneError`].
pub fn trace<const N: usize>(
    judge: &Judge<'_>,
    mark: StagePoint,
    store: &mut ZoneStore,
    outline: &mut Outline<N>,
) -> Result<Zone, ZoneError> {
    let task = Task { floor: &judge.show.floor.vertices, shrink_m: judge.shrink_m(), mark };
    let changes = Changes::of(judge.moments);
    trace_set(&|p| judge.verdict_by(&changes, p), &task, store, outline)
}

/// The views that are about a person at a place: those whose picture has the person's middle line, whole or cut.
pub fn about<'v>(views: &'v [View], body: &'v Body) -> impl Iterator<Item = &'v View> {
    views.iter().filter(|view| matches!(state(view, body), Framing::Cut(_) | Framing::Framed))
}

/// Asks at `p`, on the circle round it and on the one of half the radius.
fn within<E>(test: impl Fn(StagePoint) -> Result<(), E>, p: StagePoint, radius_m: f32) -> Result<(), E> {
    test(p)?;
    for radius_m in [radius_m, radius_m / 2.0] {
        for i in 0..DIRECTIONS {
            let turn = Angle::from_radians(core::f32::consts::TAU * f32::from(i) / f32::from(DIRECTIONS));
            let (sin, cos) = turn.sin_cos();
            test(p + StageVector::new(cos, sin) * radius_m)?;
        }
    }
    Ok(())
}

fn framed(view: &View, body: &Body) -> Result<(), Bound> {
    missed_side(view, body).map_or(Ok(()), |side| Err(Bound::Frame { shot: view.shot, side }))
}

fn ordered(view: &View, body: &Body, solids: &[Solid]) -> Result<(), Bound> {
    let shot = view.shot;
    match first_fault(view.pose.centre, view.person_matte, body, solids) {
        None => Ok(()),
        Some(SightFault::Painted((prop, part))) => Err(Bound::Painted { shot, prop, part }),
        Some(SightFault::Hidden((prop, part))) => Err(Bound::Hidden { shot, prop, part }),
        Some(SightFault::InFront((prop, part))) => Err(Bound::InFront { shot, prop, part }),
    }
}
