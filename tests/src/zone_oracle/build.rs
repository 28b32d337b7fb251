//! The oracle of a show's cue: reads plain data, computes by itself.

use underfoot_core::cameras::shots;
use underfoot_core::geom::StagePoint;
use underfoot_core::props::Limit;
use underfoot_core::show::{Cue, CueProp, MotionKey, MotionKind, Part, PartShape, Presence, Show};

use super::eye::Eye;
use super::plan::Plan;
use super::thing::{Shape, Thing};
use super::{Oracle, P2};
use crate::zone_case::ZoneCase;

/// The oracle of a case: its show, cue, class, times and the poses of its views.
///
/// # Panics
/// For what it does not know: rings with a gap, props that an earlier cue has moved.
pub fn oracle(case: &ZoneCase<'_>) -> Oracle {
    let (show, class) = (case.show, case.class);
    let chair = class.chair_m.map_or(0.0, |(width, _)| f64::from(width) / 2.0);
    let room = f64::from(class.radius_m).max(chair) + 0.15 + f64::from(show.survey_allowance_m);
    let mut plan = Plan::of(show, room);
    let (end, states) = (f64::INFINITY, show.props_in(case.cue));
    for thing in states.iter().flat_map(|state| things(show, state, end)).filter(|t| t.heights.0 < 2.3) {
        plan.keepouts.push((Limit::Part { prop: thing.id.0, part: thing.id.1 }, thing.shape, room));
    }
    let eyes = case.views.iter().map(|view| {
        let shot = &show.shots[view.shot.index()];
        let key = shots::key_at(show, view.shot, view.at_s).expect("a key");
        Eye::new(view.shot, shot, &show.cameras[shot.camera.index()], &key)
    });
    let moments = case.times.iter().map(|&t| shown(show, case.cue, f64::from(t)));
    let size = (class.height_m.into(), class.radius_m.into());
    Oracle { plan, eyes: eyes.collect(), moments: moments.collect(), size }
}

fn shown(show: &Show, cue: &Cue, t: f64) -> Vec<Thing> {
    let is_shown = |state: &&CueProp| match state.presence {
        Presence::Coming => state.coming_ms > 0 && t >= f64::from(state.coming_ms) / 1000.0 - 1e-6,
        _ => true,
    };
    show.props_in(cue).iter().filter(is_shown).flat_map(|state| things(show, state, t)).collect()
}

/// Place and lift of a prop `t` seconds after the cue began. At the end of all time what swings or goes round hangs
/// at its resting place.
fn moment(show: &Show, state: &CueProp, t: f64) -> (P2, f64) {
    let resting = (p2(show.props[state.prop.index()].at), 0.0);
    let Some(kind) = state.motion.map(|m| show.motions[m.index()].kind) else { return resting };
    let turn = |period_s: f32| std::f64::consts::TAU * t / f64::from(period_s);
    match kind {
        MotionKind::Keys { keys, ease } => (on_keys(keys.of(&show.motion_keys), ease, t), 0.0),
        MotionKind::Pendulum { .. } | MotionKind::Circle { .. } if t.is_infinite() => resting,
        MotionKind::Pendulum { pivot, length_m, swing_deg, plane_deg, period_s, .. } => {
            let angle = f64::from(swing_deg).to_radians() * turn(period_s).cos();
            let (pivot, length) = (p2(pivot), f64::from(length_m));
            let (sin, cos) = f64::from(plane_deg).to_radians().sin_cos();
            let out = length * angle.sin();
            ((pivot.0 + out * cos, pivot.1 + out * sin), length * (1.0 - angle.cos()))
        }
        MotionKind::Circle { centre, radius_m, period_s, start_deg } => {
            let (sin, cos) = (turn(period_s) + f64::from(start_deg).to_radians()).sin_cos();
            let (centre, radius) = (p2(centre), f64::from(radius_m));
            ((centre.0 + radius * cos, centre.1 + radius * sin), 0.0)
        }
        other => panic!("not known here: {other:?}"),
    }
}

fn on_keys(keys: &[MotionKey], ease: bool, t: f64) -> P2 {
    let [a, b] = keys else { panic!("two keys") };
    let share = ((t - f64::from(a.at_s)) / f64::from(b.at_s - a.at_s)).clamp(0.0, 1.0);
    let share = if ease { (1.0 - (std::f64::consts::PI * share).cos()) / 2.0 } else { share };
    let (a, b) = (p2(a.place), p2(b.place));
    (a.0 + (b.0 - a.0) * share, a.1 + (b.1 - a.1) * share)
}

/// The parts of a prop `t` seconds after the cue began.
fn things(show: &Show, state: &CueProp, t: f64) -> Vec<Thing> {
    let prop = &show.props[state.prop.index()];
    let (at, lift) = moment(show, state, t);
    let (sin, cos) = f64::from(prop.turn_deg).to_radians().sin_cos();
    let place = |p: StagePoint| {
        let (x, y) = p2(p);
        (at.0 + x * cos - y * sin, at.1 + x * sin + y * cos)
    };
    let shape = |shape: &PartShape| match *shape {
        PartShape::Disc { at, radius_m } => Shape::Disc(place(at), radius_m.into()),
        PartShape::Ring { at, inner_m, outer_m, gap_m, .. } => {
            assert_eq!(gap_m, 0.0, "no gap");
            Shape::Ring(place(at), inner_m.into(), outer_m.into())
        }
        PartShape::Polygon(run) => Shape::Polygon(run.of(&show.part_vertices).iter().map(|&v| place(v)).collect()),
    };
    let of = |(i, part): (usize, &Part)| Thing {
        id: (state.prop, i as u8),
        layer: part.layer,
        transparent: part.transparent,
        shape: shape(&part.shape),
        heights: (f64::from(part.bottom_m) + lift, f64::from(part.top_m) + lift),
    };
    show.parts_of(prop).iter().enumerate().map(of).collect()
}

fn p2(p: StagePoint) -> P2 {
    (f64::from(p.x), f64::from(p.y))
}
