//! Footprints and keep-outs.

use heapless::Vec;

use super::{near, p, presenter};
use crate::geom::{StagePoint, StageVector};
use crate::props::keepout::{add_prop, of_part};
use crate::props::{KeepOut, KeepOutError, Level, Limit, Placement, Reach, footprint};
use crate::show::{Band, Layer, Name, Part, PartShape, Prop, PropId, Run, Show};

fn part(shape: PartShape, bottom_m: f32, top_m: f32) -> Part {
    Part { shape, bottom_m, top_m, layer: Layer::Overlay, transparent: false }
}

fn disc(radius_m: f32) -> PartShape {
    PartShape::Disc { at: p(0.0, 0.0), radius_m }
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
fn a_full_list_says_its_capacity() {
    let show = show_with(disc(0.35), 0.0, 0.85, p(0.0, 0.0));
    let rest = Placement::resting(&show.props[0]);
    let mut none = Vec::<KeepOut, 0>::new();
    let reach = Reach::of(&show, &presenter(), Level::Hard);
    let found = add_prop(&mut none, &show, PropId(0), &rest, &reach);
    assert_eq!(found, Err(KeepOutError::Full { capacity: 0 }));
}
