//! Footprints, keep-outs, standing and outlines, against figures worked by hand.

use core::f32::consts::{PI, TAU};
use std::vec::Vec as List;

use heapless::Vec;

use super::keepout::{add_physicals, add_prop, of_part};
use super::outline::{union_outline, walk_outline};
use super::*;
use crate::geom::{Convex, Region, Rounded, StagePoint, StageVector, Stretch};
use crate::show::{
    Band, Edge, Entry, FloorOutline, Layer, Name, Part, PartShape, PersonClass, Physical, PhysicalKind, Prop, PropId,
    Run, Show,
};
use crate::units::Angle;

const fn p(x: f32, y: f32) -> StagePoint {
    StagePoint::new(x, y)
}

fn near(value: f32, expected: f32, within: f32) {
    assert!((value - expected).abs() <= within, "{value} is not {expected} ± {within}");
}

fn part(shape: PartShape, bottom_m: f32, top_m: f32) -> Part {
    Part { shape, bottom_m, top_m, layer: Layer::Overlay, transparent: false }
}

fn disc(radius_m: f32) -> PartShape {
    PartShape::Disc { at: p(0.0, 0.0), radius_m }
}

fn presenter() -> PersonClass {
    let name = Name::try_from("presenter").unwrap();
    let (height_m, eye_m) = (1.74, 1.62);
    PersonClass { name, height_m, eye_m, radius_m: 0.25, walk_width_m: 0.8, pace_mps: 0.9, chair_m: None }
}

fn show_with(shape: PartShape, bottom_m: f32, top_m: f32, at: StagePoint) -> Show {
    let mut show = Show { survey_allowance_m: 0.003, latency_ms: 150, ..Show::default() };
    show.parts.push(part(shape, bottom_m, top_m)).unwrap();
    let name = Name::try_from("THING").unwrap();
    show.props.push(Prop { name, at, turn_deg: 0.0, parts: Run { first: 0, len: 1 } }).unwrap();
    show
}

fn keepouts(show: &Show, placement: &Placement, level: Level) -> Vec<KeepOut, 8> {
    let mut list = Vec::new();
    add_prop(&mut list, show, PropId(0), placement, &Reach::of(show, &presenter(), level)).unwrap();
    list
}

/// The 3 m corner stage: open downstage and stage left, walls upstage and stage right, step unit stage left.
fn corner_floor() -> (FloorOutline, [Entry; 1]) {
    let vertices = Vec::from_slice(&[p(-1.5, -1.5), p(1.5, -1.5), p(1.5, 1.5), p(-1.5, 1.5)]).unwrap();
    let edges = Vec::from_slice(&[Edge::Open, Edge::Open, Edge::Wall, Edge::Wall]).unwrap();
    let entry = Entry { name: Name::try_from("step").unwrap(), at: p(1.5, 0.4), width_m: 0.6 };
    (FloorOutline { vertices, edges, edge_band_m: 0.3, step_m: 0.12 }, [entry])
}

fn outline_of(ground: &Ground<'_>) -> List<(Limit, Stretch)> {
    let mut pieces = List::new();
    walk_outline(ground, &mut |limit, piece| pieces.push((limit, piece)));
    pieces
}

fn length_of(pieces: &[(Limit, Stretch)], wanted: impl Fn(Limit) -> bool) -> f32 {
    pieces.iter().filter(|(limit, _)| wanted(*limit)).map(|(_, piece)| piece.length()).sum()
}

#[test]
fn a_thing_that_stands_still_keeps_body_clearance_and_allowance() {
    let show = show_with(disc(0.35), 0.0, 0.85, p(0.15, -0.35));
    let rest = Placement::resting(&show.props[0]);
    // 0.35 + 0.25 + 0.15 + 0.003 = 0.753 from the centre, 0.903 with the advisory clearance.
    let hard = keepouts(&show, &rest, Level::Hard);
    near(hard[0].signed_distance(p(0.15, 0.65)), 1.0 - 0.753, 1e-6);
    let advisory = keepouts(&show, &rest, Level::Advisory);
    near(advisory[0].signed_distance(p(0.15, 0.65)), 1.0 - 0.903, 1e-6);
    assert_eq!(hard[0].limit, Limit::Part { prop: PropId(0), part: 0 });
}

#[test]
fn overhead_parts_have_no_keep_out() {
    let high = show_with(disc(0.6), 2.35, 2.5, p(0.0, 0.0));
    assert!(keepouts(&high, &Placement::resting(&high.props[0]), Level::Hard).is_empty());
    let low = show_with(disc(0.6), 0.0, 0.05, p(0.0, 0.0));
    assert_eq!(keepouts(&low, &Placement::resting(&low.props[0]), Level::Hard).len(), 1);
    // Exactly from the upper end of the body band on: touching is not reaching.
    let just = show_with(disc(0.6), 2.3, 2.5, p(0.0, 0.0));
    assert!(keepouts(&just, &Placement::resting(&just.props[0]), Level::Hard).is_empty());
}

#[test]
fn moving_things_clear_the_way_ahead() {
    // Common practice, 150 ms latency: 0.93 m at 0.5 m/s, 1.27 at 0.9, 1.65 at 1.35.
    let show = show_with(disc(0.35), 0.0, 0.85, p(0.0, 0.0));
    for (speed, clearance) in [(0.5, 0.925), (0.9, 1.265), (1.35, 1.6475)] {
        let velocity = StageVector::new(0.0, speed);
        let list = keepouts(&show, &Placement { velocity, ..Placement::resting(&show.props[0]) }, Level::Hard);
        let body_edge = 0.35 + 0.25 + 0.003;
        near(list[0].signed_distance(p(0.0, body_edge + clearance)), 0.0, 1e-5);
        near(list[0].signed_distance(p(body_edge + 0.5, 0.0)), 0.0, 1e-5);
        near(list[0].signed_distance(p(0.0, -body_edge - 0.5)), 0.0, 1e-5);
    }
}

#[test]
fn a_polygon_turns_with_its_prop() {
    let mut show = show_with(PartShape::Polygon(Run { first: 0, len: 4 }), 0.0, 1.0, p(2.0, 1.0));
    for v in [p(0.0, -0.1), p(1.0, -0.1), p(1.0, 0.1), p(0.0, 0.1)] {
        show.part_vertices.push(v).unwrap();
    }
    show.props[0].turn_deg = 90.0;
    let rest = Placement::resting(&show.props[0]);
    let region = footprint::of_part(&show, &show.parts[0], &rest).unwrap();
    near(region.signed_distance(p(2.0, 2.5)), 0.5, 1e-6);
    near(region.signed_distance(p(2.2, 1.5)), 0.1, 1e-6);
    assert_eq!(footprint::in_band(&show, &show.props[0], &rest, Band::Overhead).count(), 0);
    assert_eq!(footprint::in_band(&show, &show.props[0], &rest, Band::Contact).count(), 1);
}

#[test]
fn a_faulty_polygon_is_named() {
    let mut show = show_with(PartShape::Polygon(Run { first: 0, len: 4 }), 0.0, 1.0, p(2.0, 1.0));
    for v in [p(0.0, 0.0), p(0.0, 1.0), p(1.0, 1.0), p(1.0, 0.0)] {
        show.part_vertices.push(v).unwrap();
    }
    let reach = Reach::of(&show, &presenter(), Level::Hard);
    let mut list = Vec::<KeepOut, 8>::new();
    let limit = Limit::Part { prop: PropId(0), part: 0 };
    let fault = crate::geom::GeomError::NotConvex;
    let rest = Placement::resting(&show.props[0]);
    let found = add_prop(&mut list, &show, PropId(0), &rest, &reach);
    assert_eq!(found, Err(KeepOutError::Shape { limit, fault }));
}

#[test]
fn people_pass_the_gap_of_a_ring_but_not_its_wall() {
    let ring = PartShape::Ring { at: p(0.0, 0.0), inner_m: 3.6, outer_m: 4.2, gap_deg: 270.0, gap_m: 1.8 };
    let show = show_with(ring, 0.0, 0.5, p(0.0, 0.0));
    let list = keepouts(&show, &Placement::resting(&show.props[0]), Level::Hard);
    // Middle of the gap at radius 3.9: 3.9 · sin(asin(0.9 / 4.2)) = 0.8357 to either end, less 0.403.
    near(list[0].signed_distance(p(0.0, -3.9)), 0.8357 - 0.403, 1e-4);
    assert!(list[0].signed_distance(p(0.0, 3.9)) < 0.0);
    near(list[0].signed_distance(p(0.0, 0.0)), 3.6 - 0.403, 1e-5);
}

#[test]
fn a_moving_ring_counts_as_its_filled_disc() {
    let ring = PartShape::Ring { at: p(0.0, 0.0), inner_m: 1.0, outer_m: 1.2, gap_deg: 0.0, gap_m: 0.5 };
    let show = show_with(ring, 0.0, 0.5, p(0.0, 0.0));
    let velocity = StageVector::new(1.0, 0.0);
    let placement = Placement { velocity, ..Placement::resting(&show.props[0]) };
    let reach = Reach::of(&show, &presenter(), Level::Hard);
    let region = of_part(&show, &show.parts[0], &placement, &reach).unwrap().unwrap();
    assert!(region.contains(p(0.0, 0.0)));
    near(region.signed_distance(p(0.0, 3.0)), 3.0 - 1.2 - 0.753, 1e-5);
}

#[test]
fn standing_names_the_limit_and_the_metres() {
    let (floor, entries) = corner_floor();
    let ground = Ground::new(&floor, &entries, &[]).unwrap();
    for (at, limit, margin_m) in [
        (p(1.3, -0.5), Limit::Edge(1), -0.1),
        (p(0.0, 1.4), Limit::Edge(2), -0.05),
        (p(-1.3, 0.0), Limit::Edge(3), 0.05),
        (p(1.6, 0.0), Limit::OffFloor, -0.1),
        (p(0.0, -1.1), Limit::Edge(0), 0.1),
    ] {
        let found = ground.standing(at);
        assert_eq!(found.limit, limit, "{at:?}");
        near(found.margin_m, margin_m, 1e-5);
    }
    // Exactly on the band's inner line a person may stand.
    assert!(ground.may_stand(p(0.0, -1.2)));
    assert!(!ground.may_stand(p(0.0, -1.2001)));
}

#[test]
fn an_entry_waives_the_band_of_its_own_side_only() {
    let (floor, mut entries) = corner_floor();
    let ground = Ground::new(&floor, &entries, &[]).unwrap();
    assert!(ground.may_stand(p(1.45, 0.4)));
    assert!(ground.may_stand(p(1.5, 0.69)));
    assert!(!ground.may_stand(p(1.45, 0.71)));
    assert_eq!(ground.standing(p(1.51, 0.4)).limit, Limit::OffFloor);
    entries[0].at = p(1.5, -1.3);
    let ground = Ground::new(&floor, &entries, &[]).unwrap();
    assert_eq!(ground.standing(p(1.45, -1.3)).limit, Limit::Edge(0));
}

#[test]
fn bad_floors_are_refused() {
    let (mut floor, entries) = corner_floor();
    floor.vertices.reverse();
    assert!(Ground::new(&floor, &entries, &[]).is_err());
    floor.vertices.truncate(2);
    assert!(Ground::new(&floor, &entries, &[]).is_err());
}

#[test]
fn furniture_stops_people_and_a_ramp_carries_them() {
    let mut show = Show::default();
    let thing = |kind, centre, width_m, depth_m, height_m| Physical {
        name: Name::try_from("thing").unwrap(),
        kind,
        centre,
        width_m,
        depth_m,
        turn_deg: 0.0,
        height_m,
    };
    show.physicals.push(thing(PhysicalKind::Riser, p(2.9, 2.7), 3.6, 2.0, 0.2)).unwrap();
    show.physicals.push(thing(PhysicalKind::Ramp { rises_deg: 0.0 }, p(-0.1, 2.7), 2.4, 1.0, 0.2)).unwrap();
    show.physicals.push(thing(PhysicalKind::Furniture, p(3.7, 3.1), 1.6, 0.8, 0.8)).unwrap();
    let mut list = Vec::<KeepOut, 4>::new();
    add_physicals(&mut list, &show, &Reach::of(&show, &presenter(), Level::Hard)).unwrap();
    assert_eq!(list.len(), 1);
    near(list[0].signed_distance(p(2.4, 3.1)), 0.5 - 0.4, 1e-5);
    assert_eq!(physical::carries(&show, p(2.2, 2.6)), Some((0, 0.2)));
    // A quarter up a slope of 1:12, 2.4 m long: 50 mm.
    let (index, height_m) = physical::carries(&show, p(-0.7, 2.7)).unwrap();
    assert_eq!(index, 1);
    near(height_m, 0.05, 1e-6);
    assert_eq!(physical::carries(&show, p(-4.0, 0.0)), None);
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
    let ring = crate::geom::Ring::new(p(0.0, 0.0), 3.0, 3.2).unwrap();
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

#[test]
fn a_full_list_says_its_capacity() {
    let show = show_with(disc(0.35), 0.0, 0.85, p(0.0, 0.0));
    let rest = Placement::resting(&show.props[0]);
    let mut none = Vec::<KeepOut, 0>::new();
    let reach = Reach::of(&show, &presenter(), Level::Hard);
    let found = add_prop(&mut none, &show, PropId(0), &rest, &reach);
    assert_eq!(found, Err(KeepOutError::Full { capacity: 0 }));
}
