//! The walk outline and the outline of a union.

use core::f32::consts::{PI, TAU};
use std::vec::Vec as List;

use heapless::Vec;

use super::{corner_floor, near, p};
use crate::geom::{Convex, Region, Ring, Rounded, Stretch};
use crate::props::outline::{union_outline, walk_outline};
use crate::props::{Ground, KeepOut, Limit};
use crate::show::{Edge, FloorOutline};
use crate::units::Angle;

fn outline_of(ground: &Ground<'_>) -> List<(Limit, Stretch)> {
    let mut pieces = List::new();
    walk_outline(ground, &mut |limit, piece| pieces.push((limit, piece)));
    pieces
}

fn length_of(pieces: &[(Limit, Stretch)], wanted: impl Fn(Limit) -> bool) -> f32 {
    pieces.iter().filter(|(limit, _)| wanted(*limit)).map(|(_, piece)| piece.length()).sum()
}

#[test]
fn the_outline_of_an_empty_floor_is_its_inset_with_the_entry_cut_in() {
    let (floor, entries) = corner_floor();
    let closed = Ground::new(&floor, &[], &[]).unwrap();
    // Between 0.15 m lines at two sides and 0.3 m bands at the others: 2.55 m each.
    near(length_of(&outline_of(&closed), |_| true), 4.0 * 2.55, 1e-4);
    let open = Ground::new(&floor, &entries, &[]).unwrap();
    // The opening takes 0.6 m of the stage-left side and adds two jambs of 0.3 m.
    let pieces = outline_of(&open);
    near(length_of(&pieces, |limit| limit == Limit::Edge(1)), 2.55 - 0.6 + 0.6, 1e-4);
    near(length_of(&pieces, |limit| limit != Limit::Edge(1)), 3.0 * 2.55, 1e-4);
}

#[test]
fn a_lone_keep_out_is_drawn_whole_and_overlapping_ones_as_one() {
    let (floor, _) = corner_floor();
    let at =
        |x: f32| KeepOut { limit: Limit::Physical(0), region: Region::Rounded(Rounded::disc(p(x, 0.0), 0.5).unwrap()) };
    let one = [at(0.0)];
    let ground = Ground::new(&floor, &[], &one).unwrap();
    near(length_of(&outline_of(&ground), |limit| limit == Limit::Physical(0)), PI, 1e-4);
    // Two discs one radius apart: a third of each lies in the other.
    let two = [at(-0.25), at(0.25)];
    let ground = Ground::new(&floor, &[], &two).unwrap();
    near(length_of(&outline_of(&ground), |limit| limit == Limit::Physical(0)), 2.0 * PI * 2.0 / 3.0, 1e-3);
}

#[test]
fn a_keep_out_over_the_edge_is_cut_at_the_band() {
    let (floor, _) = corner_floor();
    let region = Region::Rounded(Rounded::disc(p(0.0, -1.2), 0.5).unwrap());
    let list = [KeepOut { limit: Limit::Physical(0), region }];
    let ground = Ground::new(&floor, &[], &list).unwrap();
    let pieces = outline_of(&ground);
    // The band's line goes through the centre: half the circle stays, one diameter of the line goes.
    near(length_of(&pieces, |limit| limit == Limit::Physical(0)), PI * 0.5, 1e-3);
    near(length_of(&pieces, |limit| limit == Limit::Edge(0)), 2.55 - 1.0, 1e-3);
}

#[test]
fn a_closed_gap_leaves_no_line_behind() {
    let (vertices, edges) = (
        Vec::from_slice(&[p(-9.0, -9.0), p(9.0, -9.0), p(9.0, 9.0), p(-9.0, 9.0)]).unwrap(),
        Vec::from_slice(&[Edge::Level; 4]).unwrap(),
    );
    let floor = FloorOutline { vertices, edges, edge_band_m: 0.3, step_m: 0.0 };
    let ring = Ring::new(p(0.0, 0.0), 3.0, 3.2).unwrap();
    let gap = ring.with_gap(Angle::from_degrees(40.0), 0.4).unwrap();
    let list = [KeepOut { limit: Limit::Physical(0), region: Region::Ring(gap.grown(0.403).unwrap()) }];
    let ground = Ground::new(&floor, &[], &list).unwrap();
    let pieces = outline_of(&ground);
    // Nearly two whole circles: the ends of the 0.4 m gap meet, so only two notches are left of it.
    let length = length_of(&pieces, |_| true);
    let circles = TAU * (3.603 + 2.597);
    near(length, circles, 0.2);
    for (_, piece) in &pieces {
        near(list[0].signed_distance(piece.point(0.5)), 0.0, 2e-4);
    }
}

#[test]
fn joints_between_parts_are_not_drawn() {
    let rect = |x: f32| {
        Region::Rounded(Rounded::new(Convex::rectangle(p(x, 0.0), 1.0, 1.0, Angle::default()).unwrap(), 0.0).unwrap())
    };
    let mut length = 0.0;
    union_outline(&[rect(0.0), rect(1.0)], &mut |piece| length += piece.length());
    near(length, 6.0, 5e-3);
    // The same part twice is drawn once.
    let mut length = 0.0;
    union_outline(&[rect(0.0), rect(0.0)], &mut |piece| length += piece.length());
    near(length, 4.0, 5e-3);
}
