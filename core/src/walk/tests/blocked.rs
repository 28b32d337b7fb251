//! Where there is no way: what closes it, and how much is missing, against sums by hand.

use super::route::{block, disc, floor, p, plan, with};
use crate::geom::{Region, Ring, StagePoint};
use crate::props::Limit;
use crate::show::{Edge, Entry, Passage};
use crate::units::Angle;
use crate::walk::*;

fn why(terrain: &Terrain<48>, from: StagePoint, to: StagePoint) -> NoWay {
    match plan(terrain, &[from, to]) {
        Err(WalkError::NoWay(no_way)) => no_way,
        other => panic!("{other:?}"),
    }
}

/// A wall across the level field at x = 0 but for an opening from y = -half to half.
fn gate(half_m: f32, growth_m: f32) -> Terrain<48> {
    let side_m = 25.0;
    let at = half_m + side_m / 2.0;
    with(&[(block(0.0, at, 0.4, side_m, 0.0), growth_m), (block(0.0, -at, 0.4, side_m, 0.0), growth_m)])
}

#[test]
fn a_gate_that_is_too_narrow() {
    // 0.9 m wide; 0.5 m on both sides are asked for: 0.1 m are missing.
    let no_way = why(&gate(0.45, 0.5), p(-3.0, 1.0), p(3.0, 0.5));
    assert_eq!(no_way.between, [Limit::Physical(0), Limit::Physical(1)]);
    assert!((no_way.missing_m - 0.1).abs() < 1e-4, "{no_way:?}");
    assert!(no_way.at.x.abs() < 0.21 && no_way.at.y.abs() < 0.01, "{no_way:?}");
    // Moved away by so much and a hair, one side opens it.
    for (more_m, opens) in [(0.0, true), (0.002, false)] {
        let at = 0.45 + 12.5;
        let sides = [
            (block(0.0, at + no_way.missing_m + 0.001 - more_m, 0.4, 25.0, 0.0), 0.5),
            (block(0.0, -at, 0.4, 25.0, 0.0), 0.5),
        ];
        assert_eq!(plan(&with(&sides), &[p(-3.0, 1.0), p(3.0, 0.5)]).is_ok(), opens);
    }
}

#[test]
fn the_gap_of_a_ring_that_is_too_narrow() {
    // The gap is narrowest between its inner corners: 1.8 m at the outer circle, 1.8 * 3.6 / 4.2 = 1.543 m there.
    let ring = Ring::new(p(0.0, 0.0), 3.6, 4.2).unwrap().with_gap(Angle::from_degrees(270.0), 1.8).unwrap();
    let no_way = why(&with(&[(Region::Ring(ring), 0.9)]), p(0.0, -8.0), p(0.0, 0.0));
    assert_eq!(no_way.between, [Limit::Physical(0); 2]);
    assert!((no_way.missing_m - (1.8 - 1.8 * 3.6 / 4.2)).abs() < 1e-3, "{no_way:?}");
}

#[test]
fn between_a_prop_and_the_band_only_the_prop_yields() {
    // A studio 4 m deep with open edges, bands of 0.3 m; a disc of 1.5 m in its middle leaves 2 - 0.3 - 1.5 = 0.2 m
    // on either side, and 0.4 m are asked for.
    let corners = [p(-6.0, -2.0), p(6.0, -2.0), p(6.0, 2.0), p(-6.0, 2.0)];
    let entry = Entry { name: Default::default(), at: p(-6.0, 0.0), width_m: 1.0, passage: Passage::Both };
    let mut terrain = Terrain::bare(&floor(&corners, Edge::Open), &[entry]).unwrap();
    terrain.push(Limit::Physical(7), &disc(0.0, 0.01, 1.5), 0.4).unwrap();
    let no_way = why(&terrain, p(-6.0, 0.0), p(5.0, 0.0));
    assert!((no_way.missing_m - 0.19).abs() < 1e-4, "{no_way:?}");
    assert!(no_way.between.contains(&Limit::Edge(0)) && no_way.between.contains(&Limit::Physical(7)), "{no_way:?}");
    assert!(no_way.at.distance(p(0.0, -1.6)) < 0.12, "{no_way:?}");
}

#[test]
fn what_shrinking_does_not_open() {
    let ring = Region::Ring(Ring::new(p(0.0, 0.0), 2.0, 2.5).unwrap());
    let closed = why(&with(&[(disc(4.0, 1.0, 0.2), 0.4), (ring, 0.4)]), p(0.0, 0.0), p(9.0, 0.0));
    assert_eq!((closed.between, closed.missing_m), ([Limit::Physical(1); 2], 0.0));
    assert!((closed.at.distance(p(0.0, 0.0)) - 2.25).abs() < 0.05, "{closed:?}");
}

#[test]
fn a_bare_footprint_too_near_to_the_edge() {
    // The disc alone is 0.1 m from the edge: the band of 0.3 m and its own room of 0.4 m lack 0.6 m.
    let corners = [p(-6.0, -2.0), p(6.0, -2.0), p(6.0, 2.0), p(-6.0, 2.0)];
    let mut terrain = Terrain::bare(&floor(&corners, Edge::Open), &[]).unwrap();
    terrain.push(Limit::Physical(7), &disc(0.0, 0.01, 1.9), 0.4).unwrap();
    let no_way = why(&terrain, p(-5.0, 0.0), p(5.0, 0.0));
    assert!(no_way.between.contains(&Limit::Edge(0)) && no_way.between.contains(&Limit::Physical(7)), "{no_way:?}");
    assert!((no_way.missing_m - 0.59).abs() < 1e-3, "{no_way:?}");
}

#[test]
fn beside_a_level_edge_only_the_thing_can_move() {
    // The studio with level edges: people walk up to them. The disc leaves 2 - 1.65 - 0.01 = 0.34 m at the far side and
    // 0.36 m at the near one, and 0.4 m are asked for.
    let corners = [p(-6.0, -2.0), p(6.0, -2.0), p(6.0, 2.0), p(-6.0, 2.0)];
    let studio = |y: f32| {
        let mut terrain = Terrain::bare(&floor(&corners, Edge::Level), &[]).unwrap();
        terrain.push(Limit::Physical(7), &disc(0.0, y, 1.65), 0.4).unwrap();
        terrain
    };
    let no_way = why(&studio(0.01), p(-5.0, 0.0), p(5.0, 0.0));
    assert!(no_way.between.contains(&Limit::Edge(0)) && no_way.between.contains(&Limit::Physical(7)), "{no_way:?}");
    assert!((no_way.missing_m - 0.04).abs() < 2e-3, "{no_way:?}");
    assert!(no_way.at.distance(p(0.0, -2.0)) < 0.12, "{no_way:?}");
    // Moved away by so much, it opens the way; by 2 mm less it does not.
    for (y, opens) in [(0.01 + no_way.missing_m + 0.001, true), (0.01 + no_way.missing_m - 0.003, false)] {
        assert_eq!(plan(&studio(y), &[p(-5.0, 0.0), p(5.0, 0.0)]).is_ok(), opens, "{y}");
    }
}
