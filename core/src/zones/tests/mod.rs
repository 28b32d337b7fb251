//! Sets whose zones are known.

use super::*;
use crate::geom::{StagePoint, polygon};
use crate::props::Limit;

const PI: f32 = core::f32::consts::PI;

fn p(x: f32, y: f32) -> StagePoint {
    StagePoint::new(x, y)
}

const fn edge(i: u8) -> Bound {
    Bound::Limit(Limit::Edge(i))
}

fn hall(size: f32) -> [StagePoint; 4] {
    [p(-size, -size), p(size, -size), p(size, size), p(-size, size)]
}

struct Traced {
    zone: Zone,
    outline: Outline<1024>,
}

fn trace(half_m: f32, mark: StagePoint, test: impl Fn(StagePoint) -> Result<(), Bound>) -> Traced {
    let (mut store, mut outline) = (std::boxed::Box::new(ZoneStore::new()), Outline::new());
    let task = Task { floor: &hall(half_m), shrink_m: SHRINK_M, mark };
    let zone = trace_set(&test, &task, &mut store, &mut outline).unwrap();
    Traced { zone, outline }
}

impl Traced {
    fn piece(&self) -> Piece {
        match &self.zone {
            Zone::Piece(piece) => *piece,
            Zone::Empty { fighting, .. } => panic!("empty: {fighting:?}"),
        }
    }

    fn is_near(&self, area_m2: f32, within_m2: f32) {
        let found = self.piece().area_m2;
        assert!((found - area_m2).abs() < within_m2, "{found} is not {area_m2}");
        assert_eq!(found, self.outline.area_m2());
    }
}

fn disc(centre: StagePoint, radius_m: f32) -> impl Fn(StagePoint) -> bool {
    move |q| q.distance(centre) <= radius_m
}

#[test]
fn a_disc_loses_the_shrink_all_round() {
    let inside = disc(p(0.13, -0.21), 1.0);
    let traced = trace(1.5, p(0.0, 0.0), |q| if inside(q) { Ok(()) } else { Err(edge(7)) });
    traced.is_near(PI * 0.85 * 0.85, 0.01);
    for ring in traced.outline.rings() {
        assert!(ring.points.iter().all(|q| (q.distance(p(0.13, -0.21)) - 0.85).abs() < 0.003), "{ring:?}");
        assert!(ring.bounds.iter().all(|b| *b == edge(7)));
        assert!(ring.points.len() < 80, "{}", ring.points.len());
    }
}

#[test]
fn a_turned_square_keeps_its_corners_and_names_its_sides() {
    // Sides along x + y and x - y, 2 m long: after shrinking 1.7 m.
    let test = |q: StagePoint| {
        let (u, v) = ((q.x + q.y) / 2.0f32.sqrt(), (q.x - q.y) / 2.0f32.sqrt());
        [(u, 0), (-u, 1), (v, 2), (-v, 3)].iter().find(|side| side.0 > 1.0).map_or(Ok(()), |side| Err(edge(side.1)))
    };
    let traced = trace(2.0, p(0.0, 0.0), test);
    traced.is_near(1.7 * 1.7, 0.005);
    let ring = traced.outline.ring(0).unwrap();
    assert!(ring.points.len() <= 6, "{ring:?}");
    let runs = (0..ring.bounds.len()).filter(|&i| ring.bounds[i] != ring.bounds[(i + 1) % ring.bounds.len()]).count();
    assert_eq!(runs, 4, "{ring:?}");
}

#[test]
fn round_an_inner_corner_the_zone_bends_in_an_arc() {
    // An L of three squares of 1 m; the inner corner costs the two strips less what the quarter disc covers.
    let inside = |q: StagePoint| q.x.abs() <= 1.0 && q.y.abs() <= 1.0 && (q.x <= 0.0 || q.y <= 0.0);
    let traced = trace(1.2, p(-0.5, -0.5), |q| if inside(q) { Ok(()) } else { Err(edge(0)) });
    let r = SHRINK_M;
    let outer = (2.0 - 2.0 * r) * (2.0 - 2.0 * r);
    // The missing square grown by r, as far as it lies in the shrunken big one.
    let missing = (1.0 - r) * (1.0 - r) + 2.0 * r * (1.0 - r) + PI * r * r / 4.0;
    traced.is_near(outer - missing, 0.005);
}

#[test]
fn holes_grow_and_a_piece_inside_a_ring_is_not_this_piece() {
    // A column, and a ring with room inside.
    let (column, outer, inner) = (disc(p(1.0, 0.9), 0.3), disc(p(-0.8, 0.0), 0.9), disc(p(-0.8, 0.0), 0.5));
    let test = |q: StagePoint| {
        if q.x.abs() > 2.0 || q.y.abs() > 2.0 {
            Err(edge(0))
        } else if column(q) {
            Err(edge(1))
        } else if outer(q) && !inner(q) {
            Err(edge(2))
        } else {
            Ok(())
        }
    };
    let traced = trace(2.5, p(1.0, -1.0), test);
    let square = 3.7 * 3.7;
    traced.is_near(square - PI * (0.45 * 0.45 + 1.05 * 1.05), 0.03);
    assert!(traced.piece().holds_mark);
    assert_eq!(traced.outline.rings().count(), 3);
    let inside = trace(2.5, p(-0.8, 0.0), test);
    inside.is_near(PI * 0.35 * 0.35, 0.01);
    assert!(inside.piece().is_small() && inside.piece().holds_mark);
    assert_eq!(inside.outline.ring(0).unwrap().bounds[0], edge(2));
    // From a mark on the ring itself the small piece is passed over.
    let off = trace(2.5, p(-0.8, 0.6), test);
    assert!(!off.piece().holds_mark);
    assert!((off.piece().area_m2 - traced.piece().area_m2).abs() < 0.003);
}

#[test]
fn a_neck_narrower_than_a_cell_joins_or_parts() {
    // Two rooms and a corridor between two cells' worth of nodes: 0.31 m leaves 10 mm, 0.29 m leaves nothing.
    let rooms = |half_m: f32| {
        trace(2.5, p(-1.5, 0.02), move |q: StagePoint| {
            let room = q.x.abs() <= 2.0 && q.x.abs() >= 0.5 && q.y.abs() <= 1.0;
            if room || (q.x.abs() <= 0.5 && (q.y - 0.02).abs() <= half_m) { Ok(()) } else { Err(edge(0)) }
        })
    };
    let room = 1.2 * 1.7;
    // At the mouth the zone reaches between its two corners, as a circle about either lets it: 2 ∫ (r - √(r² - t²)),
    // t from 0 to half the mouth.
    rooms(0.145).is_near(room + 0.0084, 0.005);
    let joined = rooms(0.156).piece().area_m2;
    // Two rooms, the corridor's 12 mm, and nothing else but the corners at its mouths.
    assert!(joined > 2.0 * room && joined < 2.0 * room + 0.05, "{joined}");
}

#[test]
fn nothing_left_names_what_took_it() {
    let test = |q: StagePoint| {
        if q.x > 0.0 {
            Err(edge(3))
        } else if q.x > -0.2 {
            Ok(())
        } else {
            Err(edge(4))
        }
    };
    let fighting = Vec::from_slice(&[edge(3)]).unwrap();
    // The strip holds the mark, but nobody in it has room to spare.
    assert_eq!(trace(1.0, p(0.0, 0.0), test).zone, Zone::Empty { fighting, mark_works: true });
    assert!(matches!(trace(1.0, p(0.0, 0.0), |_| Err(edge(1))).zone, Zone::Empty { mark_works: false, .. }));
}

#[test]
fn a_mark_that_works_keeps_its_own_piece_however_small() {
    // A room of 0.6 x 0.6 m; the mark stands 0.1 m from its wall, the zone is the inner 0.3 x 0.3 m.
    let room = |q: StagePoint| if q.x.abs() <= 0.3 && q.y.abs() <= 0.3 { Ok(()) } else { Err(edge(0)) };
    let near = trace(1.0, p(0.2, 0.0), room);
    near.is_near(0.09, 0.005);
    assert!(near.piece().is_small() && near.piece().mark_works && !near.piece().holds_mark);
    // From outside the room it is no place to send anybody to.
    assert!(matches!(trace(1.0, p(0.5, 0.0), room).zone, Zone::Empty { mark_works: false, .. }));
}

#[test]
fn a_fence_that_is_too_long_says_both_numbers() {
    // A chequered hall: every square has four corners.
    let test = |q: StagePoint| {
        let odd = ((q.x * 2.2).floor() + (q.y * 2.2).floor()).rem_euclid(2.0);
        if odd == 0.0 { Ok(()) } else { Err(edge(0)) }
    };
    let (mut store, mut outline) = (std::boxed::Box::new(ZoneStore::new()), Outline::<64>::new());
    let task = Task { floor: &hall(12.0), shrink_m: SHRINK_M, mark: p(0.0, 0.0) };
    match trace_set(&test, &task, &mut store, &mut outline) {
        Err(ZoneError::FenceFull { capacity, needed }) => assert!(needed > capacity, "{needed} {capacity}"),
        other => panic!("{other:?}"),
    }
    let bad = Task { mark: p(f32::NAN, 0.0), ..task };
    assert_eq!(trace_set(&test, &bad, &mut store, &mut outline), Err(ZoneError::BadPlace));
}

#[test]
fn the_whole_hall_is_its_own_zone_even_where_the_test_never_ends() {
    let traced = trace(10.0, p(0.0, 0.0), |_| Ok(()));
    let ring = traced.outline.ring(0).unwrap();
    assert!(polygon::contains(ring.points, p(9.7, 9.7)));
    assert!(ring.bounds.iter().all(|b| *b == Bound::Limit(Limit::OffFloor)));
}
