//! Where people may stand.

use heapless::Vec;

use super::{corner_floor, near, p, presenter};
use crate::props::keepout::add_physicals;
use crate::props::{Ground, KeepOut, Level, Limit, Reach, physical};
use crate::show::{Name, Physical, PhysicalKind, Show, StepOver};

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
        step_over: StepOver::Never,
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
