//! What backs a person, by hand, in a corner of two walls.

use core::slice::from_ref;

use crate::cameras::{Body, Side, Solid, SolidShape, Surfaces, off_wall};
use crate::geom::{StagePoint, StagePoint3};
use crate::show::{Edge, Layer, Show, Wall};

const BODY: Body = Body { at: StagePoint::new(0.0, 0.0), base_m: 0.0, height_m: 2.0, radius_m: 0.25 };

/// A floor of 4 × 4 m; an upstage wall of 2.5 m beyond a seam of 20 mm, and a stage-right one.
fn corner() -> Show {
    let mut show = Show::default();
    for (x, y) in [(-2.0, -2.0), (2.0, -2.0), (2.0, 2.0), (-2.0, 2.0)] {
        show.floor.vertices.push(StagePoint::new(x, y)).unwrap();
        show.floor.edges.push(Edge::Level).unwrap();
    }
    for (from, to) in [((-2.02, 2.02), (2.0, 2.02)), ((-2.02, -2.0), (-2.02, 2.0))] {
        let (from, to) = (StagePoint::new(from.0, from.1), StagePoint::new(to.0, to.1));
        show.walls.push(Wall { name: Default::default(), from, to, bottom_m: 0.0, top_m: 2.5 }).unwrap();
    }
    show
}

fn near(a: f32, b: f32) {
    assert!((a - b).abs() < 1e-4, "{a} is not {b}");
}

#[test]
fn walls_floor_and_the_seams_between_them_back() {
    let show = corner();
    let surfaces = Surfaces::of(&show);
    let eye = StagePoint3::new(0.0, -4.0, 1.0);
    // Level with the eye: the wall, 6.02 m off.
    let wall = surfaces.backs(eye, StagePoint3::new(0.0, 0.0, 1.0)).unwrap();
    assert_eq!(wall.wall, Some(0));
    near(wall.place.y, 2.02);
    near(wall.place.z, 1.0);
    // Half a metre down over 4 m: the floor at 8 m would be behind the wall; at 0.9 m down it is 0.44 m behind.
    assert_eq!(surfaces.backs(eye, StagePoint3::new(0.0, 0.0, 0.5)).unwrap().wall, Some(0));
    let floor = surfaces.backs(eye, StagePoint3::new(0.0, 0.0, 0.1)).unwrap();
    assert_eq!(floor.wall, None);
    near(floor.place.y, 4.0 / 0.9 - 4.0);
    // Feet stand on the floor itself.
    assert_eq!(surfaces.backs(eye, BODY.at.at_height(0.0)).unwrap().wall, None);
    // Into the seams: between floor and wall, and between the walls.
    assert!(surfaces.backs(eye, StagePoint3::new(0.0, 0.0, 1.0 - 4.0 / 6.01)).is_some());
    assert!(surfaces.backs(StagePoint3::new(2.0, -2.0, 1.0), StagePoint3::new(0.0, 0.005, 1.0)).is_some());
    // Over the wall, past its end, and what is only in front.
    assert_eq!(surfaces.backs(eye, StagePoint3::new(0.0, 0.0, 2.05)), None);
    assert_eq!(surfaces.backs(eye, StagePoint3::new(1.5, 0.0, 1.0)), None);
    assert_eq!(surfaces.backs(StagePoint3::new(0.0, 4.0, 1.0), StagePoint3::new(0.0, 0.0, 1.0)), None);
}

#[test]
fn a_passing_says_by_how_much_and_where() {
    let show = corner();
    let surfaces = Surfaces::of(&show);
    let eye = StagePoint3::new(0.0, -4.0, 1.0);
    let over = surfaces.head_backs_on(eye, &BODY).unwrap();
    near(over.place.z, 1.0 + 6.02 / 4.0);
    near(over.above_m, 0.005);
    near(over.past_m, -2.0);
    let past = surfaces.passing(eye, StagePoint3::new(1.5, 0.0, 1.0)).unwrap();
    near(past.place.x, 1.5 * 1.505);
    near(past.miss_m(), 1.5 * 1.505 - 2.0);
    assert_eq!((past.wall, past.end), (0, Side::Right));
    // Level with the stage-left end of the wall, just inside it: that end is to the right.
    let inside = surfaces.passing(eye, StagePoint3::new(1.3, 0.0, 1.0)).unwrap();
    assert!(inside.past_m < 0.0 && inside.end == Side::Right, "{inside:?}");
    assert_eq!(surfaces.passing(StagePoint3::new(-1.0, 1.0, 1.0), StagePoint3::new(0.0, 0.0, 1.0)), None);
}

/// From 5 m up the eye looks down past the stage-left edge: 0.13 m off the floor, and metres below the walls.
#[test]
fn the_nearest_surface_gives_the_figure() {
    let show = corner();
    let eye = StagePoint3::new(0.5, 0.0, 5.0);
    let body = Body { at: StagePoint::new(1.4, 0.0), ..BODY };
    // The outline's upper corners: 5 / 2.96 of the way from the eye, at x 0.5 + 0.9 × 1.6892 = 2.0203, within the
    // seam; a taller person's, at 5 / 2.756, at x 2.1328.
    assert_eq!(off_wall(eye, &body, &Surfaces::of(&show), &[], |_| true), None);
    let tall = Body { height_m: 2.2, ..body };
    let off = off_wall(eye, &tall, &Surfaces::of(&show), &[], |_| true).unwrap();
    assert_eq!(off.side, Side::Top);
    near(off.over_m(), 0.5 + 0.9 * 5.0 / 2.756 - 2.0);
}

#[test]
fn an_outline_is_off_only_where_something_is_drawn_and_seen() {
    let show = corner();
    let (eye, far) = (StagePoint3::new(0.0, -4.0, 1.0), StagePoint3::new(0.0, -9.0, 1.0));
    let surfaces = Surfaces::of(&show);
    // 2 % more: 1.04 m above the eye at 1.505 times the distance is 65 mm over the wall.
    let off = off_wall(eye, &BODY, &surfaces, &[], |_| true).unwrap();
    assert_eq!(off.side, Side::Top);
    near(off.over_m(), 1.0 + 1.04 * 1.505 - 2.5);
    // From farther away the wall is high enough: 1.04 × 11.02 / 9.
    assert_eq!(off_wall(far, &BODY, &surfaces, &[], |_| true), None);
    assert_eq!(off_wall(eye, &BODY, &surfaces, &[], |q| q.z < 1.9), None);
    // No walls: only what an extension draws behind the person counts.
    let bare = Show { walls: Default::default(), ..corner() };
    let surfaces = Surfaces::of(&bare);
    assert!(!surfaces.drawn);
    let disc = |y: f32| SolidShape::Disc { centre: StagePoint::new(0.0, y), radius_m: 0.5 };
    let (behind, before) = (Solid::new(disc(4.0), 0.0, 3.0), Solid::new(disc(-2.0), 0.0, 3.0));
    let is_off = |solids: &[Solid]| off_wall(eye, &BODY, &surfaces, solids, |_| true).is_some();
    assert!(!is_off(&[]) && !is_off(from_ref(&behind)) && !is_off(&[before.on(Layer::Extension)]));
    assert!(is_off(&[behind.on(Layer::Extension)]));
}
