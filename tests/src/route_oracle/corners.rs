//! Where a shortest way can turn: the corners of polygons that stand for the grown footprints.
//!
//! Around every arc stands either a circumscribed polygon, which holds the whole keep-out, so that a way round it is a
//! way that people can take; or an inscribed one, which the keep-out holds, so that no way that people can take is
//! shorter than the best way round it. With `n` corners to the full turn the two differ by less than
//! 1 / cos(pi / n)^2 - 1 along an arc: 0.03 % for 180.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use super::plan::{Plan, Thing};
use super::shape::Shape;
use super::vector::V;

/// Corners to a full turn.
pub const FULL_TURN: f64 = 180.0;

/// Which polygon stands for an arc.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Polygon {
    /// Round it: ways are long enough.
    Circumscribed,
    /// In it: ways are short enough.
    Inscribed,
}

/// A place where a way can turn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Corner {
    /// The place.
    pub at: V,
    /// Away from the keep-out.
    pub out: V,
    /// Half the angle by which the polygon turns here, radians: a way that turns here touches the polygon, so it is
    /// never farther than this from the right angle to `out`.
    pub half_turn: f64,
}

impl Corner {
    /// A place where ways may come and go in all directions.
    pub const fn free(at: V) -> Self {
        Self { at, out: V { x: 1.0, y: 0.0 }, half_turn: FRAC_PI_2 }
    }

    /// True when a way of length 1 can be part of one that turns here.
    pub fn touches(&self, way: V) -> bool {
        way.dot(self.out).abs() <= self.half_turn.sin() + 1e-9
    }
}

/// Corners of everything in a plan, those that other things cover included.
pub fn corners(plan: &Plan, polygon: Polygon) -> Vec<Corner> {
    let mut all: Vec<Corner> = plan.outline.iter().map(|&p| Corner::free(p)).collect();
    for band in &plan.bands {
        let inwards = (band.side.1 - band.side.0).unit().unwrap_or_default().perp();
        for &(middle, half) in &band.entries {
            let off = |by: f64| middle - inwards.perp() * by + inwards * band.width;
            all.extend([-half, half].map(|by| Corner::free(off(by))));
        }
        let side = Shape::Hull(vec![band.side.0, band.side.1]);
        all.extend(of_thing(&Thing { shape: side, solid: 0.0, room: band.width, yields: false }, polygon, FULL_TURN));
    }
    all.extend(plan.things.iter().flat_map(|thing| of_thing(thing, polygon, FULL_TURN)));
    all
}

/// How far a thing reaches into its keep-out when only the inscribed polygons count.
pub fn relaxed_room(thing: &Thing) -> f64 {
    // The longest radius that has a polygon in it.
    let radius = match &thing.shape {
        Shape::Hull(_) => thing.room,
        Shape::Ring { outer, .. } => outer + thing.room,
    };
    thing.room - radius * (1.0 - (PI / FULL_TURN).cos())
}

/// The corners of one thing's polygon with `full_turn` corners to a full turn, counter-clockwise but for a ring's.
pub fn of_thing(thing: &Thing, polygon: Polygon, full_turn: f64) -> Vec<Corner> {
    let arc =
        |centre: V, radius: f64, first: f64, turn: f64| round((centre, radius), (first, turn), (polygon, full_turn));
    match &thing.shape {
        Shape::Hull(list) => of_hull(list).flat_map(|(at, first, turn)| arc(at, thing.room, first, turn)).collect(),
        &Shape::Ring { centre, inner, outer, gap } => {
            let (first, span) = gap.map_or((0.0, TAU), |(middle, half)| (middle + half, TAU - 2.0 * half));
            let last = first + span;
            let mut all = arc(centre, outer + thing.room, first, span);
            if gap.is_some() {
                let tip = |radius: f64, angle: f64| centre + V::heading(angle) * radius;
                all.extend(arc(tip(outer, first), thing.room, first - FRAC_PI_2, FRAC_PI_2));
                all.extend(arc(tip(inner, first), thing.room, first - PI, FRAC_PI_2));
                all.extend(arc(tip(outer, last), thing.room, last, FRAC_PI_2));
                all.extend(arc(tip(inner, last), thing.room, last + FRAC_PI_2, FRAC_PI_2));
            }
            all
        }
    }
}

/// Vertices of a point, a segment or a polygon, each with the direction in which its arc begins, and its turn.
fn of_hull(list: &[V]) -> impl Iterator<Item = (V, f64, f64)> + '_ {
    let count = list.len();
    let outwards = |from: V, to: V| (to - from).angle() - FRAC_PI_2;
    (0..count).map(move |i| {
        let (before, here, after) = (list[(i + count - 1) % count], list[i], list[(i + 1) % count]);
        if count == 1 {
            return (here, 0.0, TAU);
        }
        let first = outwards(before, here);
        (here, first, (outwards(here, after) - first).rem_euclid(TAU))
    })
}

/// Corners along an arc.
fn round((centre, radius): (V, f64), (first, turn): (f64, f64), (polygon, full_turn): (Polygon, f64)) -> Vec<Corner> {
    let count = (turn * full_turn / TAU - 1e-9).ceil().max(1.0);
    let half_turn = turn / count / 2.0;
    let (offset, out_to, more) = match polygon {
        Polygon::Circumscribed => (half_turn, radius / half_turn.cos(), 0),
        Polygon::Inscribed => (0.0, radius, 1),
    };
    let corner = |i: usize| {
        let out = V::heading(first + offset + 2.0 * half_turn * i as f64);
        Corner { at: centre + out * out_to, out, half_turn }
    };
    (0..count as usize + more).map(corner).collect()
}
