//! The worked numbers of `core/docs/walk.md` about times and meetings, asked again.

use underfoot_core::geom::{StagePoint, StageVector};
use underfoot_core::props::reach::{MOVING_M, REACTION_S};
use underfoot_core::props::{Level, Reach};
use underfoot_core::show::{Cue, CueProp, Layer, LinePoint, Motion, MotionId, MotionKey, MotionKind, Part, PartShape};
use underfoot_core::show::{Name, PersonClass, Presence, Prop, PropId, Run, Show};
use underfoot_core::walk::{Path, Schedule, Timing, Walker, Way, first_within, least_apart, least_gap, least_spare};
use underfoot_tests::document::{Document, near};

fn document() -> Document {
    Document::of_core("walk.md")
}

fn at(x: f32, y: f32) -> StagePoint {
    StagePoint::new(x, y)
}

fn class(pace_mps: f32) -> PersonClass {
    let name = Name::try_from("guest").unwrap();
    PersonClass { name, height_m: 1.7, eye_m: 1.6, radius_m: 0.25, walk_width_m: 0.9, pace_mps, chair_m: None }
}

/// A show with one prop of one part that goes from `from` to `to` in `over_s`, eased or not.
fn moving(shape: PartShape, vertices: &[StagePoint], way: (StagePoint, StagePoint, f32), ease: bool) -> Show {
    let mut show = Show::default();
    let run = |len| Run { first: 0, len };
    show.part_vertices.extend_from_slice(vertices).unwrap();
    show.parts.push(Part { shape, bottom_m: 0.0, top_m: 1.0, layer: Layer::Overlay, transparent: false }).unwrap();
    show.props.push(Prop { name: Name::new(), at: way.0, turn_deg: 0.0, parts: run(1) }).unwrap();
    for (at_s, place) in [(0.0, way.0), (way.2, way.1)] {
        show.motion_keys.push(MotionKey { at_s, place }).unwrap();
    }
    show.motions.push(Motion { prop: PropId(0), kind: MotionKind::Keys { keys: run(2), ease } }).unwrap();
    let state = CueProp { prop: PropId(0), presence: Presence::Live, coming_ms: 0, motion: Some(MotionId(0)) };
    show.cue_props.push(state).unwrap();
    show.cues.push(Cue { number: 100, props: run(1), ..Cue::default() }).unwrap();
    show
}

fn stands(p: StagePoint, body_m: f32) -> Walker<'static> {
    Walker { way: Way::Stands(p), body_m }
}

#[test]
fn times_and_needed_paces() {
    let (document, show) = (document(), Show::default());
    for row in document.all_figures("walk", "time") {
        let [length_m, pace, bends, turn_s, total] = row[..] else { panic!("{row:?}") };
        // A way with so many square bends.
        let leg = length_m / (bends + 1.0);
        let corner = |i: u8| at(leg * f32::from(i.div_ceil(2)), leg * f32::from(i / 2));
        let points: Vec<LinePoint> = (0..=bends as u8 + 1).map(|i| LinePoint::sharp(corner(i))).collect();
        let timing = Timing { turn_s, ..Timing::of(&class(pace)) };
        near(Schedule::of(Path::new(&points), &show, timing).total_s(), total, 0.001);
    }
    for row in document.all_figures("walk", "pace") {
        let [length_m, limit_s, pace] = row[..] else { panic!("{row:?}") };
        let points = [at(0.0, 0.0), at(length_m, 0.0)].map(LinePoint::sharp);
        let walk = Schedule::of(Path::new(&points), &show, Timing::of(&class(0.9)));
        near(walk.needed_pace(limit_s).unwrap(), pace, 0.001);
    }
}

#[test]
fn when_a_front_reaches_somebody() {
    let rows = document().table("reaches");
    assert_eq!(rows.len(), 2);
    for row in rows {
        let [from, to, over_s, half, edge, at_s, speed] = row[..] else { panic!("{row:?}") };
        let corners = [at(-half, -0.5), at(half, -0.5), at(half, 0.5), at(-half, 0.5)];
        let shape = PartShape::Polygon(Run { first: 0, len: 4 });
        let show = moving(shape, &corners, (at(from, 0.0), at(to, 0.0), over_s), true);
        let walker = stands(at(edge + 0.25, 0.1), 0.25);
        let touch = first_within(&show, &show.cues[0], &show.cue_props[0], &walker, 0.0, (0.0, over_s));
        let touch = touch.unwrap().expect("they touch");
        near(touch.at_s, at_s, 0.002);
        near(touch.speed_mps, speed, 0.002);
    }
}

#[test]
fn how_near_a_disc_passes() {
    let rows = document().table("passes");
    assert_eq!(rows.len(), 2);
    for row in rows {
        let [ax, ay, bx, by, over_s, radius_m, px, py, body_m, gap, at_s] = row[..] else { panic!("{row:?}") };
        let disc = PartShape::Disc { at: at(0.0, 0.0), radius_m };
        let show = moving(disc, &[], (at(ax, ay), at(bx, by), over_s), true);
        let walker = stands(at(px, py), body_m);
        let found = least_gap(&show, &show.cues[0], &show.cue_props[0], &walker, (0.0, over_s)).unwrap();
        let found = found.expect("a meeting");
        near(found.gap_m, gap, 0.001);
        near(found.at_s, at_s, 0.02);
    }
}

/// The needed room itself, and somebody who stands just so far ahead of a disc that starts towards them at that speed.
#[test]
fn room_ahead_of_what_moves() {
    let rows = document().table("ahead");
    assert_eq!(rows.len(), 4);
    for row in rows {
        let [latency_ms, speed, needed] = row[..] else { panic!("{row:?}") };
        let disc = PartShape::Disc { at: at(0.0, 0.0), radius_m: 0.3 };
        let mut show = moving(disc, &[], (at(0.0, 0.0), at(0.0, speed), 1.0), false);
        show.latency_ms = latency_ms as u16;
        let reach = Reach::of(&show, &class(0.7), Level::Hard);
        near(MOVING_M + reach.lead(StageVector::new(speed, 0.0)).length(), needed, 0.0006);
        near(reach.lead_s, latency_ms / 1000.0 + REACTION_S, 1e-6);
        let walker = stands(at(0.0, 0.3 + 0.25 + needed), 0.25);
        let spare = least_spare(&show, &show.cues[0], &show.cue_props[0], &walker, &reach, (0.0, 1e-4)).unwrap();
        near(spare.expect("a meeting").gap_m, 0.0, 0.001);
    }
}

#[test]
fn two_people_on_their_ways() {
    let rows = document().table("apart");
    assert_eq!(rows.len(), 3);
    for row in rows {
        let [ax, ay, bx, by, cx, cy, dx, dy, over_s, distance, at_s] = row[..] else { panic!("{row:?}") };
        let walker = |from, to| Walker { way: Way::Evenly { from, to, over_s }, body_m: 0.25 };
        let (one, other) = (walker(at(ax, ay), at(bx, by)), walker(at(cx, cy), at(dx, dy)));
        let found = least_apart(&one, &other, (0.0, over_s));
        near(found.distance_m, distance, 0.001);
        near(found.at_s, at_s, 0.002);
    }
}
