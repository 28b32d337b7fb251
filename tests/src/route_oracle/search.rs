//! The shortest way through a plan, between two bounds: a visibility graph and Dijkstra's search.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::corners::{Corner, Polygon, corners, relaxed_room};
use super::plan::Plan;
use super::vector::V;

/// Two lengths between which that of the shortest way is, metres; `None` for no way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// It is not shorter.
    pub low: Option<f64>,
    /// It is not longer.
    pub high: Option<f64>,
}

/// Rounding of places to `f32`, which is no step into a keep-out, metres.
const ROUNDING: f64 = 1e-6;

/// The bounds of the shortest way from `from` to `to`.
pub fn shortest(plan: &Plan, from: V, to: V) -> Bounds {
    Bounds {
        low: best(plan, (from, to), Polygon::Inscribed).map(|(length, _)| length),
        high: best(plan, (from, to), Polygon::Circumscribed).map(|(length, _)| length),
    }
}

/// The shortest way round polygons that stand for the keep-outs: its length and places.
pub fn best(plan: &Plan, (from, to): (V, V), polygon: Polygon) -> Option<(f64, Vec<V>)> {
    let mut all = vec![Corner::free(from), Corner::free(to)];
    all.extend(corners(plan, polygon));
    let relaxed = match polygon {
        Polygon::Circumscribed => plan.clone(),
        Polygon::Inscribed => relax(plan),
    };
    let mut index = 0;
    all.retain(|corner| {
        index += 1;
        index <= 2 || !relaxed.stops(corner.at, corner.at, ROUNDING)
    });
    let is_free = |a: &Corner, b: &Corner| !relaxed.stops(a.at, b.at, ROUNDING);
    dijkstra(&all, &is_free)
}

/// The plan whose keep-outs are held by the inscribed polygons' sides.
fn relax(plan: &Plan) -> Plan {
    let mut relaxed = plan.clone();
    relaxed.things.iter_mut().for_each(|thing| thing.room = relaxed_room(thing));
    for band in &mut relaxed.bands {
        band.width *= (std::f64::consts::PI / super::corners::FULL_TURN).cos();
    }
    relaxed
}

/// Dijkstra's search from the first corner to the second, nearest to the goal first (the straight distance that is left
/// never exceeds what is left to walk). Whether a way is free is asked only when it would be taken.
fn dijkstra(all: &[Corner], is_free: &impl Fn(&Corner, &Corner) -> bool) -> Option<(f64, Vec<V>)> {
    let left = |i: usize| all[i].at.distance(all[1].at);
    // Lengths are never negative, so their bits are in order.
    let key = |walked: f64, i: usize| Reverse(((walked + left(i)).to_bits(), walked.to_bits()));
    let mut done: Vec<Option<(f64, usize)>> = vec![None; all.len()];
    let mut open = BinaryHeap::from([(key(0.0, 0), 0, 0)]);
    while let Some((Reverse((_, bits)), to, from)) = open.pop() {
        let walked = f64::from_bits(bits);
        if done[to].is_some() || (to != from && !is_free(&all[from], &all[to])) {
            continue;
        }
        done[to] = Some((walked, from));
        if to == 1 {
            return Some((walked, places(all, &done)));
        }
        for next in (1..all.len()).filter(|&i| done[i].is_none()) {
            let way = all[next].at - all[to].at;
            if way.unit().is_none_or(|unit| all[to].touches(unit) && all[next].touches(unit)) {
                let walked = walked + way.length();
                open.push((key(walked, next), next, to));
            }
        }
    }
    None
}

/// The way back from the second corner, turned round.
fn places(all: &[Corner], done: &[Option<(f64, usize)>]) -> Vec<V> {
    let (mut at, mut way) = (1, vec![all[1].at]);
    while let Some((_, from)) = done[at].filter(|_| at != 0) {
        way.push(all[from].at);
        at = from;
    }
    way.reverse();
    way
}
