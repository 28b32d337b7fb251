//! Distances in the invented demo shows that were worked by hand with the plan, before the core existed.

use std::path::Path;

use underfoot_core::geom::{Convex, Region, Rounded, StagePoint};
use underfoot_core::props::{KeepOut, Placement, Reach, footprint, keepout};
use underfoot_core::show::{MotionKind, PersonClass, Prop, PropId, Show};
use underfoot_sim::project::load;

fn show(name: &str) -> Show {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../host-sim/demos").join(name);
    *load(&path).unwrap_or_else(|errors| panic!("{name}: {errors:?}")).show
}

fn prop<'s>(show: &'s Show, name: &str) -> &'s Prop {
    show.props.iter().find(|p| p.name == name).expect("the prop")
}

fn mark(show: &Show, name: &str) -> StagePoint {
    show.marks.iter().find(|m| m.name == name).expect("the mark").at
}

fn class_of<'s>(show: &'s Show, person: &str) -> &'s PersonClass {
    let person = show.people.iter().find(|p| p.name == person).expect("the person");
    &show.classes[person.class.index()]
}

/// The footprint of a prop's first part.
fn region(show: &Show, prop: &Prop) -> Region {
    footprint::of_part(show, &show.parts_of(prop)[0], &Placement::resting(prop)).expect("a footprint")
}

/// Printed to the centimetre.
fn near(found: f32, printed: f32) {
    assert!((found - printed).abs() <= 0.0051, "{found} is printed as {printed}");
}

#[test]
fn the_straight_way_from_a_to_c_passes_the_watch_at_8_cm_from_its_centre() {
    let show = show("clock-cabinet.toml");
    let way = Convex::segment(mark(&show, "A"), mark(&show, "C")).expect("a way");
    let watch = prop(&show, "WATCH");
    near(region(&show, watch).gap_to(&way) + 0.35, 0.08);
}

#[test]
fn c2_is_55_cm_clear_of_the_pendulums_end() {
    let show = show("clock-cabinet.toml");
    // The bob's centre swings from x -0.12 to 1.32.
    let swing = Convex::segment(StagePoint::new(-0.1185, -0.9), StagePoint::new(1.3185, -0.9)).expect("a swing");
    let bob = Rounded::new(swing, 0.18).expect("a bob");
    let body_m = class_of(&show, "Presenter").radius_m;
    near(bob.signed_distance(mark(&show, "C2")) - body_m, 0.55);
}

#[test]
fn the_buoy_is_clear_at_both_ends_and_sweeps_through_p2() {
    let show = show("harbour-hour.toml");
    let keys = show.motions.iter().find_map(|m| match m.kind {
        MotionKind::Keys { keys, .. } if show.props[m.prop.index()].name == "BUOY" => Some(keys.of(&show.motion_keys)),
        _ => None,
    });
    let [start, end] = keys.expect("its way") else { panic!("two keys") };
    let (p2, body_m) = (mark(&show, "P2"), class_of(&show, "P2").radius_m);
    let Region::Rounded(rest) = region(&show, prop(&show, "BUOY")) else { panic!("a cylinder") };
    let at_start = Rounded::disc(start.place, rest.radius_m()).expect("a buoy");
    let at_end = Rounded::disc(end.place, rest.radius_m()).expect("a buoy");
    near(at_start.signed_distance(p2) - body_m, 0.20);
    near(at_end.signed_distance(p2) - body_m, 0.34);
    let swept = at_start.swept(end.place - start.place).expect("a way");
    // The body's edge is 0.69 m inside: the way passes 13 mm from the mark, 0.70 less 0.013.
    near(swept.signed_distance(p2) - body_m, -0.69);
}

#[test]
fn the_lighthouse_leaves_60_cm_at_the_turn_and_stands_44_cm_into_the_direct_line() {
    let show = show("harbour-hour.toml");
    let lighthouse = region(&show, prop(&show, "LIGHTHOUSE"));
    near(lighthouse.signed_distance(StagePoint::new(-1.9, 2.7)), 0.60);
    let direct = Convex::segment(StagePoint::new(-5.0, 0.6), StagePoint::new(-1.9, 2.7)).expect("a line");
    near(lighthouse.gap_to(&direct), -0.44);
    let fixed = self::show("harbour-hour-clean.toml");
    near(region(&fixed, prop(&fixed, "LIGHTHOUSE")).signed_distance(StagePoint::new(-1.9, 2.7)), 1.20);
}

#[test]
fn three_of_the_first_formation_stand_in_the_fountains_wall() {
    let show = show("lantern-field.toml");
    let index = show.props.iter().position(|p| p.name == "FOUNTAIN").expect("the fountain");
    // Without any clearance: the body alone against the wall.
    let reach = Reach { still_m: 0.0, allowance_m: 0.0, body_m: 0.25, lead_s: 0.0 };
    let mut wall = heapless::Vec::<KeepOut, 8>::new();
    let placement = Placement::resting(&show.props[index]);
    keepout::add_prop(&mut wall, &show, PropId(index as u8), &placement, &reach).expect("a keep-out");
    let stand_in_it: Vec<u32> = (0..24)
        .filter(|n| {
            let (i, j) = ((n % 6) as f32, (n / 6) as f32);
            let at = StagePoint::new(-6.25 + 2.5 * i, -7.0 + 2.0 * j);
            wall.iter().any(|k| k.signed_distance(at) < 0.0)
        })
        .map(|n| n + 1)
        .collect();
    assert_eq!(stand_in_it, [7, 14, 20]);
}

#[test]
fn the_fixed_mark_keeps_55_cm_from_the_boat_where_it_passes() {
    let show = show("harbour-hour-clean.toml");
    let boat = prop(&show, "BOAT");
    // It stops with its middle at x 0.2; the mark lies at x -1.3, beside its full side.
    let stopped = Placement { at: StagePoint::new(0.2, -0.9), ..Placement::resting(boat) };
    let footprints = show.parts_of(boat).iter().map(|p| footprint::of_part(&show, p, &stopped).expect("a footprint"));
    let mark = mark(&show, "P1");
    let nearest = footprints.map(|f| f.signed_distance(mark)).fold(f32::INFINITY, f32::min);
    near(nearest - class_of(&show, "P1").radius_m, 0.55);
}
