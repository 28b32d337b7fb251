//! Sides of risers and ramps that people cannot walk over.

use heapless::Vec;

use super::error::WalkError;
use super::obstacle::Obstacle;
use crate::geom::{Convex, GeomError, Region, Rounded, StagePoint, Stretch, polygon};
use crate::limits as cap;
use crate::props::{KeepOutError, Limit, Reach, physical};
use crate::show::{PersonClass, Physical, PhysicalKind, Show, StepOver};

/// A side higher than this above what adjoins cannot be walked over, metres.
pub const RAISED_M: f32 = 0.02;
/// What is this near to a side adjoins it, metres.
const ADJOINS_M: f32 = 0.01;
/// Classes that need this clear width walk with a guide or on wheels: no steps, metres.
const GUIDED_M: f32 = 1.2;

/// Places along a side where what adjoins changes: its ends, and where other things' sides meet it.
type Places = Vec<f32, { 4 * cap::PHYSICALS + 2 }>;

/// How a walker takes steps.
pub(super) struct Feet {
    body_m: f32,
    takes_steps: bool,
}

impl Feet {
    pub(super) fn of(class: &PersonClass, reach: &Reach) -> Self {
        let takes_steps = class.chair_m.is_none() && class.walk_width_m < GUIDED_M;
        Self { body_m: reach.body_m, takes_steps }
    }
}

/// Calls `add` with a wall for each stretch of side that the walker cannot walk over, grown by the body.
pub(super) fn sides(
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
        for side in polygon::sides(area.vertices()) {
            raised(show, i, side, feet.takes_steps, &mut |from, to| {
                let wall = Convex::segment(from, to).and_then(|core| Rounded::new(core, 0.0)).map_err(named)?;
                let grown = Obstacle::grown(limit, &Region::Rounded(wall), feet.body_m).map_err(named)?;
                add(Obstacle { yields: false, falls, ..grown })
            })?;
        }
    }
    Ok(())
}

/// Calls `wall` with each stretch of the side where it is too high to walk over.
fn raised(
    show: &Show,
    i: usize,
    (a, b): (StagePoint, StagePoint),
    takes_steps: bool,
    wall: &mut impl FnMut(StagePoint, StagePoint) -> Result<(), WalkError>,
) -> Result<(), WalkError> {
    let (Some(thing), Some(along)) = (show.physicals.get(i), (b - a).unit()) else { return Ok(()) };
    let length_m = a.distance(b);
    let excess = |t_m: f32| {
        let at = a + along * t_m.clamp(ADJOINS_M / 10.0, length_m - ADJOINS_M / 10.0);
        let own_m = physical::top_at(thing, at + along.perp() * (ADJOINS_M / 10.0)).unwrap_or(0.0);
        own_m - adjoins_m(show, i, at - along.perp() * ADJOINS_M, takes_steps) - RAISED_M
    };
    let mut from_m = None;
    let places = places(show, i, (a, b));
    for (&start_m, &end_m) in places.iter().zip(places.iter().skip(1)) {
        if end_m - start_m < ADJOINS_M / 2.0 {
            continue;
        }
        // Both tops are flat or slope evenly between two places, so what is too much begins or ends once.
        let (first_m, last_m) = (start_m + ADJOINS_M / 10.0, end_m - ADJOINS_M / 10.0);
        let (first, last) = (excess(first_m), excess(last_m));
        let even_m = first_m + (last_m - first_m) * (first / (first - last)).clamp(0.0, 1.0);
        if first > 0.0 && from_m.is_none() {
            from_m = Some(start_m);
        } else if first <= 0.0
            && let Some(from_m) = from_m.take()
        {
            wall(a + along * from_m, a + along * start_m)?;
        }
        if first > 0.0 && last <= 0.0 {
            let from_m = from_m.take().unwrap_or(start_m);
            wall(a + along * from_m, a + along * even_m)?;
        } else if first <= 0.0 && last > 0.0 {
            from_m = Some(even_m);
        }
    }
    match from_m {
        Some(from_m) => wall(a + along * from_m, b),
        None => Ok(()),
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
