//! Random meetings, for the core and for the oracle that looks at every millisecond.

use underfoot_core::geom::StagePoint;
use underfoot_core::show::{Cue, CueProp, Layer, LinePoint, Motion, MotionId, MotionKey, MotionKind, Part, PartShape};
use underfoot_core::show::{Presence, Prop, PropId, Run, Show};
use underfoot_core::walk::{Path, Schedule, Timing, Way};

use crate::dice::Dice;
use crate::meeting_oracle::{Case, Move, P, Shape, Walk, length, sub};

/// The radius of everybody's body, metres.
pub const BODY: f64 = 0.25;

/// A place for the core.
pub fn to_core(p: P) -> StagePoint {
    StagePoint::new(p[0] as f32, p[1] as f32)
}

/// A number that `f32` holds exactly, so that both sides see the same one.
fn exact(dice: &mut Dice, low: f64, high: f64) -> f64 {
    f64::from(dice.between(low, high) as f32)
}

fn spot(dice: &mut Dice, reach: f64) -> P {
    [exact(dice, -reach, reach), exact(dice, -reach, reach)]
}

fn run(first: usize, len: usize) -> Run {
    Run { first: first as u16, len: len as u16 }
}

/// A random motion, put into `show` and given to the oracle.
fn motion(dice: &mut Dice, show: &mut Show, rest: P) -> Move {
    let (kind, motion) = match dice.below(6) {
        0 => return Move::Still(rest),
        1 | 2 => {
            let (mut t, mut keys) = (exact(dice, 0.0, 2.0), Vec::new());
            for _ in 0..2 + dice.below(3) {
                // Now and then it waits at a key.
                let place = match keys.last() {
                    Some(&(_, last)) if dice.one_in(6) => last,
                    _ => spot(dice, 3.0),
                };
                keys.push((t, place));
                t += exact(dice, 0.8, 4.0);
                t = f64::from(t as f32);
            }
            for &(t, place) in &keys {
                show.motion_keys
                    .push(MotionKey { at_s: t as f32, place: to_core(place) })
                    .expect("a show has room for it");
            }
            let ease = dice.one_in(2);
            (MotionKind::Keys { keys: run(0, keys.len()), ease }, Move::Keys(keys, ease))
        }
        3 => {
            let (centre, radius) = (spot(dice, 1.0), exact(dice, 0.3, 2.5));
            let period = exact(dice, 3.0, 20.0) * if dice.one_in(2) { 1.0 } else { -1.0 };
            let start_deg = dice.between(-180.0, 180.0) as f32;
            let kind = MotionKind::Circle {
                centre: to_core(centre),
                radius_m: radius as f32,
                period_s: period as f32,
                start_deg,
            };
            (kind, Move::Circle(centre, radius, period, f64::from(start_deg).to_radians()))
        }
        4 => {
            let (pivot, long, period) = (spot(dice, 1.5), exact(dice, 0.8, 3.0), exact(dice, 1.8, 6.0));
            let (swing_deg, plane_deg) = (dice.between(5.0, 85.0) as f32, dice.between(-180.0, 180.0) as f32);
            let kind = MotionKind::Pendulum {
                pivot: to_core(pivot),
                pivot_m: 3.0,
                length_m: long as f32,
                swing_deg,
                plane_deg,
                period_s: period as f32,
            };
            let [swing, plane] = [swing_deg, plane_deg].map(|deg| f64::from(deg).to_radians());
            (kind, Move::Pendulum(pivot, long, swing, plane, period))
        }
        _ => {
            let seconds = exact(dice, 1.0, 9.0);
            (MotionKind::Grow { seconds_s: seconds as f32 }, Move::Grow(rest, seconds))
        }
    };
    show.motions.push(Motion { prop: PropId(0), kind }).expect("a show has room for it");
    motion
}

/// A random shape without turn, for both sides.
fn shape(dice: &mut Dice, show: &mut Show) -> (PartShape, Shape) {
    let at = spot(dice, 0.5);
    match dice.below(3) {
        0 => {
            let radius = exact(dice, 0.1, 0.9);
            (PartShape::Disc { at: to_core(at), radius_m: radius as f32 }, Shape::Disc(at, radius))
        }
        1 => {
            let inner = exact(dice, 0.4, 1.6);
            let outer = f64::from((inner + dice.between(0.1, 0.5)) as f32);
            let gap_deg = dice.between(-180.0, 180.0) as f32;
            let gap = if dice.one_in(3) { 0.0 } else { exact(dice, 0.1, outer) };
            let core = PartShape::Ring {
                at: to_core(at),
                inner_m: inner as f32,
                outer_m: outer as f32,
                gap_deg,
                gap_m: gap as f32,
            };
            (core, Shape::Ring(at, inner, outer, f64::from(gap_deg).to_radians(), gap))
        }
        _ => {
            // Corners on an ellipse, in order: convex.
            let count = 3 + dice.below(13);
            let (wide, deep, tilt) = (dice.between(0.2, 1.5), dice.between(0.2, 1.0), dice.between(0.0, 6.0));
            let corners: Vec<P> = (0..count)
                .map(|i| {
                    let angle = std::f64::consts::TAU * (i as f64 + dice.between(0.0, 0.6)) / count as f64;
                    let (x, y) = (wide * angle.cos(), deep * angle.sin());
                    let (sin, cos) = tilt.sin_cos();
                    [at[0] + x * cos - y * sin, at[1] + x * sin + y * cos].map(|c| f64::from(c as f32))
                })
                .collect();
            let first = show.part_vertices.len();
            for &corner in &corners {
                show.part_vertices.push(to_core(corner)).expect("a show has room for it");
            }
            (PartShape::Polygon(run(first, count)), Shape::Polygon(corners))
        }
    }
}

/// How a person spends the cue, for both sides; the points of a path are the caller's.
pub enum Spends {
    /// On one place.
    Stands(P),
    /// From a place to another in so many seconds.
    Evenly(P, P, f64),
    /// Along a line.
    Along(Vec<LinePoint>, Timing),
}

/// Somebody who stands, goes evenly, or walks along a line with sharp and round corners.
pub fn spends(dice: &mut Dice) -> (Spends, Walk) {
    match dice.below(3) {
        0 => {
            let at = spot(dice, 2.5);
            (Spends::Stands(at), Walk::stands(at))
        }
        1 => {
            let (from, to, over) = (spot(dice, 3.5), spot(dice, 3.5), exact(dice, 2.0, 14.0));
            (Spends::Evenly(from, to, over), Walk::evenly(from, to, over))
        }
        _ => {
            let mut corners: Vec<(P, f64)> = vec![(spot(dice, 3.5), 0.0)];
            while corners.len() < 2 + dice.below(4) {
                let last = corners[corners.len() - 1].0;
                let next = spot(dice, 3.5);
                // Legs of 1.6 m leave room for arcs of 0.3 m in turns up to 130 degrees.
                if length(sub(next, last)) > 1.6 {
                    corners.push((next, if dice.one_in(3) { 0.0 } else { exact(dice, 0.05, 0.3) }));
                }
            }
            let count = corners.len();
            if count < 2 {
                return spends(dice);
            }
            corners[count - 1].1 = 0.0;
            for i in 1..count - 1 {
                let (u, v) = (sub(corners[i].0, corners[i - 1].0), sub(corners[i + 1].0, corners[i].0));
                let cos = (u[0] * v[0] + u[1] * v[1]) / length(u) / length(v);
                let angle = cos.acos().to_degrees();
                // Where it nearly turns back, or hardly at all, or the bend's size is in doubt, the corner is sharp.
                if !(1.0..=130.0).contains(&angle) {
                    corners[i].1 = 0.0;
                }
                if (angle - 30.0).abs() < 0.5 {
                    return spends(dice);
                }
            }
            let turn = if dice.one_in(2) { 0.0 } else { 1.5 };
            let (start, pace) = (exact(dice, 0.0, 2.0), exact(dice, 0.5, 1.3));
            let timing = Timing {
                start_s: start as f32,
                pace_mps: pace as f32,
                turn_s: turn as f32,
                turn_from_deg: 30.0,
                ramp_share: 1.0,
                settle_s: 0.7,
                extra_s: 0.0,
            };
            let walk = Walk::along(&corners, start, pace, turn, 30.0);
            let points = corners.iter().map(|&(p, r)| LinePoint { at: to_core(p), bend_m: r as f32 }).collect();
            (Spends::Along(points, timing), walk)
        }
    }
}

/// The same for the core.
pub fn way<'p>(spends: &'p Spends, show: &'p Show) -> Way<'p> {
    match spends {
        Spends::Stands(at) => Way::Stands(to_core(*at)),
        Spends::Evenly(from, to, over) => Way::Evenly { from: to_core(*from), to: to_core(*to), over_s: *over as f32 },
        Spends::Along(points, timing) => Way::Along(Schedule::of(Path::new(points), show, *timing)),
    }
}

/// A show with one prop of one to three parts, one motion and one cue, and the same for the oracle.
///
/// # Panics
/// When the show has no room, which it has.
pub fn staged(dice: &mut Dice) -> (Show, Case, Spends) {
    let mut show = Show::default();
    let rest = spot(dice, 2.0);
    let motion = motion(dice, &mut show, rest);
    let mut parts = Vec::new();
    for _ in 0..1 + dice.below(3) {
        let (core, shape) = shape(dice, &mut show);
        // Mostly low, sometimes so high that it counts for a while or never.
        let bottom = if dice.one_in(3) { exact(dice, 1.2, 2.6) } else { exact(dice, 0.0, 0.8) };
        let top = f64::from((bottom + dice.between(0.1, 1.5)) as f32);
        let heights = (bottom as f32, top as f32);
        let part =
            Part { shape: core, bottom_m: heights.0, top_m: heights.1, layer: Layer::Overlay, transparent: false };
        show.parts.push(part).expect("a show has room for it");
        parts.push((shape, bottom, top));
    }
    let prop = Prop { name: Default::default(), at: to_core(rest), turn_deg: 0.0, parts: run(0, parts.len()) };
    show.props.push(prop).expect("a show has room for it");
    let moves = (!show.motions.is_empty()).then_some(MotionId(0));
    let state = CueProp { prop: PropId(0), presence: Presence::Live, coming_ms: 0, motion: moves };
    show.cue_props.push(state).expect("a show has room for it");
    show.cues.push(Cue { number: 100, props: run(0, 1), ..Cue::default() }).expect("a show has room for it");
    let (spends, walk) = spends(dice);
    (show, Case { parts, motion, walk, body: BODY }, spends)
}
