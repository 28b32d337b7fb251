//! Shares worked by hand, and what happens at the ends of the definitions.

use core::slice::from_ref;

use heapless::Vec;

use crate::cameras::sight::{case_at, first_fault, part_shares, sight};
use crate::cameras::{Body, Case, Share, Sight, SightFault, Solid, SolidShape};
use crate::geom::{StagePoint, StagePoint3};
use crate::show::{Layer, PropId};

const EYE: StagePoint3 = StagePoint3::new(0.0, -4.0, 1.0);
/// Two metres tall, half a metre wide, four metres upstage of the eye; legs end at 1.04, the head begins at 1.77.
const BODY: Body = Body { at: StagePoint::new(0.0, 0.0), base_m: 0.0, height_m: 2.0, radius_m: 0.25 };

fn block(x: (f32, f32), y: (f32, f32), z: (f32, f32)) -> Solid {
    let corners = [(x.0, y.0), (x.1, y.0), (x.1, y.1), (x.0, y.1)].map(|(x, y)| StagePoint::new(x, y));
    Solid::new(SolidShape::Polygon(Vec::from_slice(&corners).unwrap()), z.0, z.1)
}

fn near(share: Share, [whole, head, torso, legs]: [f32; 4]) {
    let pairs = [(share.whole, whole), (share.head, head), (share.torso, torso), (share.legs, legs)];
    assert!(pairs.iter().all(|(a, b)| (a - b).abs() < 1e-4), "{share:?}");
}

const NONE: [f32; 4] = [0.0; 4];

/// A board half way, as wide as the line of sight to the left half there, up to 0.75 m: it shows from -0.25 m
/// to the middle, up to 1 + (0.75 - 1) × 2 = 0.5 m.
#[test]
fn a_board_half_way_covers_by_similar_triangles() {
    let board = block((-1.0, 0.0), (-2.001, -2.0), (0.0, 0.75));
    let seen = sight(EYE, false, &BODY, from_ref(&board));
    near(seen.hidden, [0.125, 0.0, 0.0, 0.25 / 1.04]);
    near(seen.painted, NONE);
    assert_eq!(seen.worst_hidden, Some((PropId(0), 0)));
    assert_eq!(first_fault(EYE, false, &BODY, from_ref(&board)), None);
    let on_screen = board.clone().on(Layer::Screen);
    near(sight(EYE, false, &BODY, from_ref(&on_screen)).in_front, [0.125, 0.0, 0.0, 0.25 / 1.04]);
    let found = first_fault(EYE, false, &BODY, &[on_screen]);
    assert_eq!(found, Some(SightFault::InFront((PropId(0), 0))));
    let glass = board.clone().see_through();
    assert_eq!(sight(EYE, false, &BODY, &[glass]), Sight::default());
    let extension = board.on(Layer::Extension);
    assert_eq!(sight(EYE, false, &BODY, &[extension]), Sight::default());
}

/// The same board as far behind: λ 1.5, so up to 1 + (2.5 - 1) / 1.5 = 2 m, all of the left half.
#[test]
fn what_is_behind_paints_over_unless_hidden_or_matted() {
    let behind = block((-3.0, 0.0), (2.0, 2.001), (0.0, 2.5)).named(PropId(0), 1);
    let half = [0.5 - 0.5 * 0.333_333 / 2.0, 0.5, 0.5, 0.5 - 0.5 * 0.333_333 / 1.04];
    let seen = sight(EYE, false, &BODY, from_ref(&behind));
    near(seen.painted, half);
    assert_eq!(seen.faults().collect::<std::vec::Vec<_>>(), [SightFault::Painted((PropId(0), 1))]);
    assert_eq!(sight(EYE, true, &BODY, from_ref(&behind)), Sight::default());
    // A wall before it takes the lower half of what it painted: from 1/3 m to 1 m it is hidden instead.
    let before = block((-3.0, 3.0), (-2.0, -1.999), (0.0, 1.0));
    let both = sight(EYE, false, &BODY, &[behind.clone(), before]);
    near(both.hidden, [0.5, 0.0, 0.0, 1.0 / 1.04]);
    near(both.painted, [0.25, 0.5, 0.5, 0.02 / 1.04]);
    // On the wall it is where it should be.
    let on_wall = behind.on(Layer::Screen);
    assert_eq!(sight(EYE, false, &BODY, &[on_wall]), Sight::default());
}

#[test]
fn a_body_in_a_part_has_it_on_both_sides() {
    let round = Solid::new(SolidShape::Disc { centre: BODY.at, radius_m: 1.0 }, 0.0, 3.0);
    let (nearer, farther) = part_shares(EYE, &BODY, &round);
    near(nearer, [1.0; 4]);
    // Beyond each point there is some of the part, too, down to the feet.
    near(farther, [1.0; 4]);
    assert_eq!(case_at(EYE, BODY.at.at_height(1.5), &round), Case::Both);
    near(sight(EYE, false, &BODY, from_ref(&round)).painted, NONE);
    near(sight(EYE, false, &BODY, &[round]).hidden, [1.0; 4]);
}

#[test]
fn a_camera_in_a_part_sees_nothing_else_and_none_behind_it() {
    let about_the_eye = block((-1.0, 1.0), (-5.0, -3.5), (0.5, 1.5));
    near(sight(EYE, false, &BODY, &[about_the_eye]).hidden, [1.0; 4]);
    let behind_the_eye = block((-1.0, 1.0), (-7.0, -4.5), (0.0, 3.0));
    assert_eq!(sight(EYE, false, &BODY, from_ref(&behind_the_eye)), Sight::default());
    assert_eq!(case_at(EYE, BODY.at.at_height(1.5), &behind_the_eye), Case::Clear);
    // Below the eye's own place: seen from above, all the way down.
    let under = block((-1.0, 1.0), (-5.0, -3.0), (0.0, 0.5));
    // Its top's far edge at λ 0.25 shows at 1 - 0.5 × 4 = -1 m: below the feet.
    assert_eq!(sight(EYE, false, &BODY, &[under]), Sight::default());
}

#[test]
fn what_is_level_with_the_eye_or_has_no_height_is_defined() {
    let flat = block((-1.0, 1.0), (-2.0, -1.0), (1.0, 1.0));
    assert_eq!(sight(EYE, false, &BODY, &[flat]).hidden.whole, 0.0);
    // A sheet of no height 0.5 m up is seen from above: from 1 - 0.5 × 2 to 1 - 0.5 × 4 / 3.
    let sheet = block((-1.0, 1.0), (-2.0, -1.0), (0.5, 0.5));
    near(sight(EYE, false, &BODY, &[sheet]).hidden, [1.0 / 6.0, 0.0, 0.0, 1.0 / 3.0 / 1.04]);
    let level = block((-1.0, 1.0), (-2.0, -1.0), (0.0, 1.0));
    near(sight(EYE, false, &BODY, &[level]).hidden, [0.5, 0.0, 0.0, 1.0 / 1.04]);
}

#[test]
fn no_direction_and_no_numbers_give_no_shares() {
    let wall = block((-3.0, 3.0), (-2.0, 2.0), (0.0, 3.0));
    let above = StagePoint3::new(0.0, 0.0, 6.0);
    assert_eq!(sight(above, false, &BODY, from_ref(&wall)), Sight::default());
    assert_eq!(case_at(above, BODY.at.at_height(1.0), &wall), Case::Both);
    assert_eq!(case_at(EYE, EYE, &wall), Case::Clear);
    for bad in [f32::NAN, f32::INFINITY] {
        assert_eq!(sight(StagePoint3::new(bad, 0.0, 1.0), false, &BODY, from_ref(&wall)), Sight::default());
        let shapeless = Body { radius_m: bad, ..BODY };
        assert_eq!(sight(EYE, false, &shapeless, from_ref(&wall)), Sight::default());
    }
    // Hair's breadth from under the camera: still shares, and no more than everything.
    let nearly = StagePoint3::new(1e-5, 0.0, 6.0);
    let seen = sight(nearly, false, &BODY, &[wall]);
    assert!((0.0..=1.0).contains(&seen.hidden.whole) && (0.0..=1.0).contains(&seen.painted.whole), "{seen:?}");
}

/// A slit of a millimetre and a half in a person's middle is found and weighed.
#[test]
fn thin_parts_are_not_missed() {
    let post = block((-0.000_5, 0.000_25), (-2.0, -1.999), (0.0, 3.0));
    let seen = sight(EYE, false, &BODY, &[post]);
    assert!((seen.hidden.head - 0.0015 / 0.5).abs() < 2e-5, "{seen:?}");
    assert_eq!(seen.faults().count(), 1);
}
