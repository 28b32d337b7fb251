//! Sides of risers and ramps that people cannot walk over.

use heapless::Vec;

use crate::geom::{Convex, GeomError, Region, Rounded, StagePoint, StageVector, Stretch, polygon};
use crate::limits as cap;
use crate::props::{KeepOutError, Limit, Reach, physical};
use crate::show::{PersonClass, Physical, PhysicalKind, Show, StepOver};
use crate::walk::error::WalkError;
use crate::walk::obstacle::Obstacle;

/// A side higher than this above what adjoins cannot be walked over, metres.
pub const RAISED_M: f32 = 0.02;
/// What is this near to a side adjoins it, metres.
const ADJOINS_M: f32 = 0.01;
/// From the end of a run to where it is looked at, metres.
const HAIR_M: f32 = ADJOINS_M / 10.0;
/// Classes that need this clear width walk with a guide or on wheels: no steps, metres.
const GUIDED_M: f32 = 1.2;

/// Places along a side where what adjoins changes: its ends, and where other things' sides meet it.
type Places = Vec<f32, { 4 * cap::PHYSICALS + 2 }>;

/// How a walker takes steps.
pub(in crate::walk) struct Feet {
    body_m: f32,
    takes_steps: bool,
}

impl Feet {
    pub(in crate::walk) fn of(class: &PersonClass, reach: &Reach) -> Self {
        let takes_steps = class.chair_m.is_none() && class.walk_width_m < GUIDED_M;
        Self { body_m: reach.body_m, takes_steps }
    }
}

/// Calls `add` with a wall for each stretch of side that the walker cannot walk over, grown by the body.
pub(in crate::walk) fn sides(
    show: &Show,
    feet: &Feet,
    add: &mut impl FnMut(Obstacle) -> Result<(), WalkError>,
) -> Result<(), WalkError> {
    for (i, thing) in show.physicals.iter().enumerate() {
        let carries = matches!(thing.kind, PhysicalKind::Riser | PhysicalKind::Ramp { .. });
        if !carries || (feet.takes_steps && thing.step_over == StepOver::Both) {
            continue;
        }
        let limit = Limit::Physical(i as u8);
        let named = |fault: GeomError| KeepOutError::Shape { limit, fault };
        let area = physical::rectangle(thing).map_err(named)?;
        let falls = (feet.takes_steps && thing.step_over == StepOver::Down).then_some(i as u8);
        for (a, b) in polygon::sides(area.vertices()) {
            let (Some(along), takes_steps) = ((b - a).unit(), feet.takes_steps) else { continue };
            let side = Side { show, i, thing, from: a, along, length_m: a.distance(b), takes_steps };
            side.walls(&mut |from, to| {
                let wall = Convex::segment(from, to).and_then(|core| Rounded::new(core, 0.0)).map_err(named)?;
                let grown = Obstacle::grown(limit, &Region::Rounded(wall), feet.body_m).map_err(named)?;
                add(Obstacle { yields: false, falls, ..grown })
            })?;
        }
    }
    Ok(())
}

/// Calls `side` with each stretch of side of a riser or ramp that nobody may cross on foot, up or down, from and to its
/// ends, counter-clockwise round its thing. Plans show them; what cannot be used as a thing has none.
pub fn closed_sides(show: &Show, side: &mut impl FnMut(StagePoint, StagePoint)) {
    for (i, thing) in show.physicals.iter().enumerate() {
        let carries = matches!(thing.kind, PhysicalKind::Riser | PhysicalKind::Ramp { .. });
        let Ok(area) = physical::rectangle(thing) else { continue };
        for (a, b) in polygon::sides(area.vertices()).filter(|_| carries && thing.step_over == StepOver::Never) {
            let Some(along) = (b - a).unit() else { continue };
            let whole = Side { show, i, thing, from: a, along, length_m: a.distance(b), takes_steps: true };
            // Never an error: nothing is added to anything.
            let _ = whole.walls(&mut |from, to| {
                side(from, to);
                Ok(())
            });
        }
    }
}

/// One side of a thing that carries people.
struct Side<'s> {
    show: &'s Show,
    i: usize,
    thing: &'s Physical,
    from: StagePoint,
    along: StageVector,
    length_m: f32,
    takes_steps: bool,
}

impl Side<'_> {
    fn at(&self, t_m: f32) -> StagePoint {
        self.from + self.along * t_m
    }

    /// By how much the side is too high to be walked over, metres; negative where it is not.
    fn excess_m(&self, t_m: f32) -> f32 {
        let at = self.at(t_m.clamp(HAIR_M, self.length_m - HAIR_M));
        let own_m = physical::top_at(self.thing, at + self.along.perp() * HAIR_M).unwrap_or(0.0);
        own_m - adjoins_m(self.show, self.i, at - self.along.perp() * ADJOINS_M, self.takes_steps) - RAISED_M
    }

    /// The part that is too high of a run along which nothing begins or ends. Both tops are flat there or slope
    /// evenly, so what is too much begins or ends once.
    fn raised(&self, (start_m, end_m): (f32, f32)) -> Option<(f32, f32)> {
        let (first_m, last_m) = (start_m + HAIR_M, end_m - HAIR_M);
        let (first, last) = (self.excess_m(first_m), self.excess_m(last_m));
        let even_m = first_m + (last_m - first_m) * (first / (first - last)).clamp(0.0, 1.0);
        match (first > 0.0, last > 0.0) {
            (true, true) => Some((start_m, end_m)),
            (true, false) => Some((start_m, even_m)),
            (false, true) => Some((even_m, end_m)),
            (false, false) => None,
        }
    }

    /// Calls `wall` with each stretch where the side is too high, runs that follow one another in one.
    fn walls(&self, wall: &mut impl FnMut(StagePoint, StagePoint) -> Result<(), WalkError>) -> Result<(), WalkError> {
        let places = places(self.show, self.i, (self.from, self.at(self.length_m)));
        let runs = places.iter().copied().zip(places.iter().copied().skip(1));
        let mut open: Option<(f32, f32)> = None;
        for (from_m, to_m) in
            runs.filter(|(start_m, end_m)| end_m - start_m > 2.0 * HAIR_M).filter_map(|r| self.raised(r))
        {
            open = match open {
                Some((start_m, end_m)) if from_m - end_m <= 2.0 * HAIR_M => Some((start_m, to_m)),
                Some((start_m, end_m)) => {
                    wall(self.at(start_m), self.at(end_m))?;
                    Some((from_m, to_m))
                }
                None => Some((from_m, to_m)),
            };
        }
        open.map_or(Ok(()), |(start_m, end_m)| wall(self.at(start_m), self.at(end_m)))
    }
}

/// Height of what a walker at `p`, just beside thing `i`, stands on; as high as need be on a step unit.
fn adjoins_m(show: &Show, i: usize, p: StagePoint, takes_steps: bool) -> f32 {
    let others = show.physicals.iter().enumerate().filter(|&(j, thing)| j != i && !physical::stops_people(thing.kind));
    let height = |thing: &Physical| match (physical::top_at(thing, p), thing.kind) {
        (Some(_), PhysicalKind::Step) => takes_steps.then_some(f32::INFINITY),
        (top_m, _) => top_m,
    };
    others.filter_map(|(_, thing)| height(thing)).fold(0.0, f32::max)
}

/// Where along the side other things begin or end, ascending, with the side's ends.
fn places(show: &Show, i: usize, (a, b): (StagePoint, StagePoint)) -> Places {
    let (along, length_m) = ((b - a).unit().unwrap_or_default(), a.distance(b));
    let off = along.perp() * -ADJOINS_M;
    let beside = Stretch::Line { from: a + off, to: b + off };
    let mut places = Places::new();
    let mut note = |t: f32| {
        if (0.0..=1.0).contains(&t) {
            // There is room for the ends and for four sides of every other thing.
            places.push(t * length_m).unwrap_or(());
        }
    };
    note(0.0);
    note(1.0);
    for (_, thing) in show.physicals.iter().enumerate().filter(|&(j, _)| j != i) {
        let Ok(area) = physical::rectangle(thing) else { continue };
        for (from, to) in polygon::sides(area.vertices()) {
            beside.cuts(&Stretch::Line { from, to }, &mut note);
        }
    }
    places.sort_unstable_by(f32::total_cmp);
    places
}
