//! The worked ways of `core/docs/walk.md`, planned again.

use underfoot_core::geom::{Convex, Region, Ring, Rounded, StagePoint};
use underfoot_core::props::Limit;
use underfoot_core::show::{Edge, FloorOutline, LinePoint};
use underfoot_core::units::Angle;
use underfoot_core::walk::{NoWay, PlanWork, Route, Terrain, WalkError, shortest};
use underfoot_tests::document::{Document, near};

fn document() -> Document {
    Document::of_core("walk.md")
}

fn at(x: f32, y: f32) -> StagePoint {
    StagePoint::new(x, y)
}

fn rectangle(x: f32, y: f32, width_m: f32, depth_m: f32) -> Region {
    let core = Convex::rectangle(at(x, y), width_m, depth_m, Angle::default()).unwrap();
    Region::Rounded(Rounded::new(core, 0.0).unwrap())
}

/// Plans on a level floor of 40 m among `things`, each with its room.
fn plan(things: &[(Region, f32)], stops: [StagePoint; 2]) -> Result<Route, WalkError> {
    let mut floor = FloorOutline::default();
    for (x, y) in [(-20.0, -20.0), (20.0, -20.0), (20.0, 20.0), (-20.0, 20.0)] {
        floor.vertices.push(at(x, y)).unwrap();
        floor.edges.push(Edge::Level).unwrap();
    }
    let mut terrain = Terrain::<8>::bare(&floor, &[]).unwrap();
    for (i, (footprint, room_m)) in things.iter().enumerate() {
        terrain.push(Limit::Physical(i as u8), footprint, *room_m).unwrap();
    }
    let mut line = heapless::Vec::<LinePoint, 32>::new();
    shortest(&terrain, &stops, &mut Box::new(PlanWork::new()), &mut line)
}

#[test]
fn lengths_of_ways() {
    for row in document().all_figures("route", "disc") {
        let [x, y, radius_m, x0, y0, x1, y1, length_m] = row[..] else { panic!("{row:?}") };
        let bare = Region::Rounded(Rounded::disc(at(x, y), radius_m / 2.0).unwrap());
        let route = plan(&[(bare, radius_m / 2.0)], [at(x0, y0), at(x1, y1)]).unwrap();
        near(route.length_m, length_m, 1e-5);
    }
    for row in document().all_figures("route", "block") {
        let [x, y, width_m, depth_m, room_m, x0, y0, x1, y1, length_m] = row[..] else { panic!("{row:?}") };
        let route = plan(&[(rectangle(x, y, width_m, depth_m), room_m)], [at(x0, y0), at(x1, y1)]).unwrap();
        near(route.length_m, length_m, 1e-4);
    }
}

fn no_way(plan: Result<Route, WalkError>) -> NoWay {
    match plan {
        Err(WalkError::NoWay(no_way)) => no_way,
        other => panic!("{other:?}"),
    }
}

#[test]
fn what_is_missing() {
    for row in document().all_figures("route", "gate") {
        let [width_m, room_m, missing_m] = row[..] else { panic!("{row:?}") };
        let side = |sign: f32| (rectangle(0.0, sign * (width_m / 2.0 + 12.5), 0.4, 25.0), room_m);
        let found = no_way(plan(&[side(1.0), side(-1.0)], [at(-3.0, 1.0), at(3.0, -2.0)]));
        assert_eq!(found.between, [Limit::Physical(0), Limit::Physical(1)]);
        near(found.missing_m, missing_m, 1e-3);
    }
    for row in document().all_figures("route", "ring") {
        let [inner_m, outer_m, gap_m, room_m, missing_m] = row[..] else { panic!("{row:?}") };
        let ring = Ring::new(at(0.0, 0.0), inner_m, outer_m).unwrap();
        let ring = ring.with_gap(Angle::from_degrees(270.0), gap_m).unwrap();
        let found = no_way(plan(&[(Region::Ring(ring), room_m)], [at(0.0, -8.0), at(0.0, 0.0)]));
        assert_eq!(found.between, [Limit::Physical(0); 2]);
        near(found.missing_m, missing_m, 1e-3);
    }
}
