use std::vec;
use std::vec::Vec;

use super::*;
use crate::geom::{GeomError, StagePoint};
use crate::props::Limit;
use crate::show::{
    Cue, Edge, Entry, Motion, MotionId, MotionKey, MotionKind, Name, PartShape, Physical, PhysicalKind, Presence,
    PropId, Run, Show, StepOver, TileFault, TileState,
};
use crate::test_support::samples;

const PROP: PropId = PropId(0);

fn at(x: f32, y: f32) -> Cell {
    Cell::place(StagePoint::new(x, y)).unwrap()
}

fn cell(low: (f32, f32), high: (f32, f32)) -> Cell {
    Cell::between(StagePoint::new(low.0, low.1), StagePoint::new(high.0, high.1)).unwrap()
}

fn cue(show: &Show) -> Cue {
    show.cues[0].clone()
}

/// The class of a place at the start of the first cue.
fn class(show: &Show, x: f32, y: f32) -> CellClass {
    class_of(show, &cue(show), 0.0, &at(x, y)).unwrap().class
}

fn thing(kind: PhysicalKind, x: f32, y: f32) -> Physical {
    Physical {
        name: Name::default(),
        kind,
        centre: StagePoint::new(x, y),
        width_m: 0.2,
        depth_m: 0.2,
        turn_deg: 0.0,
        height_m: 0.1,
        step_over: StepOver::Never,
    }
}

/// The sample's prop is a disc of 0.3 m about (0, 0.5) on a floor of 2 m whose sides are all open.
#[test]
fn one_place_of_each_class() {
    let mut show = samples::small();
    assert_eq!(class(&show, 0.0, 0.0), CellClass::Free);
    assert_eq!(class(&show, 0.0, 0.21), CellClass::Contact);
    show.parts[0].bottom_m = 0.2;
    assert_eq!(class(&show, 0.0, 0.21), CellClass::Body);
    (show.parts[0].bottom_m, show.parts[0].top_m) = (2.3, 4.0);
    assert_eq!(class(&show, 0.0, 0.21), CellClass::Overhead);
    assert_eq!(class(&show, 0.75, 0.0), CellClass::Edge);
    show.physicals.push(thing(PhysicalKind::Rug, -0.3, -0.3)).unwrap();
    assert_eq!(class(&show, -0.39, -0.3), CellClass::Physical);
    // Panels of 0.5 m: column 1, row 2 from the upstage left corner of the picture is the one at x -0.5 to 0.
    show.tile_faults.push(TileFault { block: 0, column: 1, row: 2, state: TileState::Dead }).unwrap();
    assert_eq!(class(&show, -0.05, -0.05), CellClass::Dead);
    assert_eq!(class(&show, 0.05, -0.05), CellClass::Free);
    show.parts[0].top_m = 1.0;
    show.parts[0].bottom_m = 0.0;
    show.cue_props[0].presence = Presence::Coming;
    assert_eq!(class(&show, 0.0, 0.5), CellClass::SweptSoon);
}

/// Everything at one place; what is there first is taken away again and again.
#[test]
fn the_order_in_which_classes_win() {
    let mut show = samples::small();
    // A second part over the first, both over the edge band at x 0.7 to 1, with a rug on a dead panel.
    let both = Run { first: 0, len: 2 };
    let mut overhead = show.parts[0];
    (overhead.bottom_m, overhead.top_m) = (2.3, 3.0);
    show.parts.push(overhead).unwrap();
    show.props[0].parts = both;
    show.props[0].at = StagePoint::new(0.85, 0.25);
    show.physicals.push(thing(PhysicalKind::Rug, 0.85, 0.25)).unwrap();
    show.tile_faults.push(TileFault { block: 0, column: 3, row: 1, state: TileState::Missing }).unwrap();
    let here = |show: &Show| class(show, 0.85, 0.25);
    assert_eq!(here(&show), CellClass::Contact);
    show.parts[0].bottom_m = 0.2;
    assert_eq!(here(&show), CellClass::Body);
    show.cue_props[0].presence = Presence::Coming;
    assert_eq!(here(&show), CellClass::SweptSoon);
    show.cue_props[0].presence = Presence::Live;
    show.parts[0].bottom_m = 2.3;
    show.parts[0].top_m = 2.4;
    assert_eq!(here(&show), CellClass::Edge);
    show.floor.edges.iter_mut().for_each(|e| *e = Edge::Level);
    assert_eq!(here(&show), CellClass::Physical);
    show.physicals.clear();
    assert_eq!(here(&show), CellClass::Dead);
    show.tile_faults.clear();
    assert_eq!(here(&show), CellClass::Overhead);
    show.cue_props.iter_mut().for_each(|s| s.prop = PropId(9));
    assert_eq!(here(&show), CellClass::Free);
    for (i, &winner) in CellClass::ORDER.iter().enumerate() {
        assert!(CellClass::ORDER[i + 1..].iter().all(|&other| winner.beats(other) && !other.beats(winner)));
        assert_eq!(CellClass::from_bits(winner as u8), Some(winner));
    }
    assert_eq!(CellClass::from_bits(8), None);
}

#[test]
fn the_cause_is_named() {
    let mut show = samples::small();
    let found = |show: &Show, x, y| class_of(show, &cue(show), 0.0, &at(x, y)).unwrap().cause;
    assert_eq!(found(&show, 0.0, 0.5), Some(Cause::Limit(Limit::Part { prop: PROP, part: 0 })));
    assert_eq!(found(&show, 0.0, -0.9), Some(Cause::Limit(Limit::Edge(0))));
    assert_eq!(found(&show, 0.9, 0.0), Some(Cause::Limit(Limit::Edge(1))));
    assert_eq!(found(&show, 1.1, 0.0), Some(Cause::Limit(Limit::OffFloor)));
    assert_eq!(found(&show, 0.0, 0.0), None);
    show.tile_faults.push(TileFault { block: 0, column: 1, row: 2, state: TileState::Dead }).unwrap();
    assert_eq!(found(&show, -0.2, -0.2), Some(Cause::Tile(0)));
}

/// Closed against closed: one shared point is enough, and a hundredth of a millimetre is none.
#[test]
fn a_touch_is_enough() {
    let show = samples::small();
    let class = |low, high| class_of(&show, &cue(&show), 0.0, &cell(low, high)).unwrap().class;
    // The disc ends at x = 0.3 and y = 0.2.
    assert_eq!(class((0.3, 0.45), (0.4, 0.55)), CellClass::Contact);
    assert_eq!(class((0.300_1, 0.45), (0.4, 0.55)), CellClass::Free);
    assert_eq!(class((-0.05, 0.1), (0.05, 0.2)), CellClass::Contact);
    // A corner that the disc's box holds and the disc does not: 0.3 m along the diagonal is 0.2121 each way.
    assert_eq!(class((0.213, 0.713), (0.3, 0.8)), CellClass::Edge);
    assert_eq!(class((0.213, 0.28), (0.3, 0.287)), CellClass::Free);
    assert_eq!(class((0.212, 0.28), (0.3, 0.288)), CellClass::Contact);
    // The band ends at 0.7.
    assert_eq!(class((0.5, 0.0), (0.7, 0.1)), CellClass::Edge);
    assert_eq!(class((0.5, 0.0), (0.699_9, 0.1)), CellClass::Free);
}

#[test]
fn an_entry_lets_people_through_its_own_band_only() {
    let mut show = samples::small();
    let entry = Entry { at: StagePoint::new(1.0, 0.0), width_m: 0.6, ..entry() };
    show.entries.push(entry).unwrap();
    assert_eq!(class(&show, 0.9, 0.0), CellClass::Free);
    assert_eq!(class(&show, 0.9, 0.3), CellClass::Free);
    assert_eq!(class(&show, 0.9, 0.301), CellClass::Edge);
    // A cell that is wider than what lies in the entry is not let through.
    let across = class_of(&show, &cue(&show), 0.0, &cell((0.8, 0.25), (0.9, 0.35))).unwrap();
    assert_eq!(across.class, CellClass::Edge);
    // Near a corner the other side's band stays.
    show.entries[0].at = StagePoint::new(1.0, -0.8);
    assert_eq!(class(&show, 0.9, -0.8), CellClass::Edge);
    // What is beyond the floor is beyond it in an entry too.
    show.entries[0].at = StagePoint::new(1.0, 0.0);
    assert_eq!(class(&show, 1.01, 0.0), CellClass::Edge);
}

fn entry() -> Entry {
    Entry { name: Name::default(), at: StagePoint::default(), width_m: 1.0, passage: Default::default() }
}

#[test]
fn only_what_reaches_past_the_floor_is_beyond_it() {
    let mut show = samples::small();
    show.floor.edges.iter_mut().for_each(|e| *e = Edge::Level);
    assert_eq!(class(&show, 1.0, 0.0), CellClass::Free, "the outline is on the floor");
    let class = |show: &Show, low, high| class_of(show, &cue(show), 0.0, &cell(low, high)).unwrap().class;
    assert_eq!(class(&show, (0.9, 0.0), (1.0, 0.1)), CellClass::Free);
    assert_eq!(class(&show, (0.95, 0.0), (1.05, 0.1)), CellClass::Edge);
    // A notch 0.1 m wide reaches from downstage into a cell whose corners are all on the floor.
    let notched = [(-1.0, -1.0), (-0.05, -1.0), (0.0, 0.0), (0.05, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)];
    show.floor.vertices = notched.into_iter().map(|(x, y)| StagePoint::new(x, y)).collect();
    show.floor.edges = notched.map(|_| Edge::Level).into_iter().collect();
    assert_eq!(class(&show, (-0.2, -0.1), (0.2, 0.1)), CellClass::Edge);
    assert_eq!(class(&show, (-0.2, 0.0), (0.2, 0.1)), CellClass::Free);
}

/// A move of 2 m in 10 s, at an even 0.2 m/s.
fn moving() -> Show {
    let mut show = samples::small();
    show.props[0].at = StagePoint::new(-1.0, 0.0);
    for (at_s, x) in [(0.0, -1.0), (10.0, 1.0)] {
        show.motion_keys.push(MotionKey { at_s, place: StagePoint::new(x, 0.0) }).unwrap();
    }
    let kind = MotionKind::Keys { keys: Run { first: 0, len: 2 }, ease: false };
    show.motions.push(Motion { prop: PROP, kind }).unwrap();
    show.cue_props[0].motion = Some(MotionId(0));
    show.floor.edges.iter_mut().for_each(|e| *e = Edge::Level);
    show
}

#[test]
fn soon_is_what_a_prop_passes_over_in_three_seconds() {
    let mut show = moving();
    let class = |show: &Show, t_s, x| class_of(show, &cue(show), t_s, &at(x, 0.0)).unwrap().class;
    // At 5 s its middle is at 0 and its radius 0.3; in 3 s it goes 0.6 m farther.
    for (x, expected) in [
        (-0.31, CellClass::Free),
        (-0.29, CellClass::Contact),
        (0.29, CellClass::Contact),
        (0.31, CellClass::SweptSoon),
        (0.89, CellClass::SweptSoon),
        (0.91, CellClass::Free),
    ] {
        assert_eq!(class(&show, 5.0, x), expected, "{x}");
    }
    assert_eq!(class(&show, -3.0, -1.0), class(&show, 0.0, -1.0), "before the cue is its start");
    // Announced for 8 s: nothing is there, but its outline travels to -0.4, and from 0.6 on it is in the picture.
    show.cue_props[0].presence = Presence::Coming;
    show.cue_props[0].coming_ms = 8000;
    let soon = CellClass::SweptSoon;
    for (x, expected) in [(-0.9, soon), (-0.11, soon), (-0.09, CellClass::Free), (0.29, CellClass::Free), (0.31, soon)]
    {
        assert_eq!(class(&show, 0.0, x), expected, "{x}");
    }
    assert_eq!(class(&show, 8.0, 0.6), CellClass::Contact);
    show.cue_props[0].presence = Presence::Leaving;
    assert_eq!(class(&show, 10.0, 0.9), CellClass::Contact);
    assert_eq!(class(&show, 10.1, 0.9), CellClass::Free, "gone when its move has ended");
}

/// The sums of the memory that a map takes, and every class in it.
#[test]
fn a_map_says_of_every_cell_what_one_question_says() {
    let mut show = moving();
    show.floor.edges.iter_mut().for_each(|e| *e = Edge::Open);
    show.entries.push(Entry { at: StagePoint::new(0.3, -1.0), width_m: 0.5, ..entry() }).unwrap();
    show.physicals.push(Physical { turn_deg: 30.0, ..thing(PhysicalKind::Column, 0.5, 0.5) }).unwrap();
    show.tile_faults.push(TileFault { block: 0, column: 1, row: 3, state: TileState::Dead }).unwrap();
    let mut high = show.parts[0];
    (high.bottom_m, high.top_m) = (2.5, 3.0);
    high.shape =
        PartShape::Ring { at: StagePoint::new(0.1, 0.4), inner_m: 0.15, outer_m: 0.25, gap_deg: 0.0, gap_m: 0.2 };
    show.parts.push(high).unwrap();
    let mut mid = high;
    (mid.bottom_m, mid.top_m) = (1.0, 1.5);
    mid.shape =
        PartShape::Ring { at: StagePoint::new(0.2, -0.4), inner_m: 0.1, outer_m: 0.15, gap_deg: 70.0, gap_m: 0.1 };
    show.parts.push(mid).unwrap();
    show.props[0].parts = Run { first: 0, len: 3 };
    let (cue, grid) = (cue(&show), Grid::of(&show, 0.03).unwrap());
    // 2 m are 66.7 cells of 30 mm; with the origin on a line that is 34 each way.
    assert_eq!((grid.columns(), grid.rows(), grid.bytes()), (68, 68, 2312));
    let mut bytes = vec![0xEE; grid.bytes() + 1];
    let mut seen = Vec::new();
    for t_s in [0.0, 4.0, 20.0] {
        map(&show, &cue, t_s, &grid, &mut bytes).unwrap();
        for row in 0..grid.rows() {
            for column in 0..grid.columns() {
                let one = class_of(&show, &cue, t_s, &grid.cell(column, row).unwrap()).unwrap().class;
                assert_eq!(class_in(&bytes, &grid, column, row), Some(one), "{column} {row} at {t_s}");
                seen.push(one);
            }
        }
    }
    assert!(CellClass::ORDER.iter().all(|class| seen.contains(class)));
    assert_eq!(bytes[grid.bytes()], 0xEE, "nothing is written past the map");
    assert_eq!(class_in(&bytes, &grid, 68, 0), None);
    assert_eq!(grid.cell(0, 68), None);
}

#[test]
fn what_cannot_be_mapped_is_named() {
    let mut show = samples::small();
    let grid = Grid::of(&show, 0.1).unwrap();
    let mut bytes = vec![0; grid.bytes() - 1];
    let short = MapError::Short { need: 200, got: 199 };
    assert_eq!(map(&show, &cue(&show), 0.0, &grid, &mut bytes), Err(short));
    // Clockwise: refused, and so is every question, wherever it is asked.
    for (x, y) in [(0.0, 0.0), (0.0, 1.0), (1.0, 0.0)] {
        show.part_vertices.push(StagePoint::new(x, y)).unwrap();
    }
    show.parts[0].shape = PartShape::Polygon(Run { first: 0, len: 3 });
    let cause = Some(Cause::Limit(Limit::Part { prop: PROP, part: 0 }));
    let far = class_of(&show, &cue(&show), 0.0, &at(-0.5, -0.5));
    assert_eq!(far, Err(MapError::Shape { cause, fault: GeomError::NotConvex }));
    assert_eq!(Cell::place(StagePoint::new(f32::NAN, 0.0)), Err(GeomError::NotFinite));
    assert_eq!(Grid::of(&Show::default(), 0.1), Err(GridError::NoFloor));
    for side in [0.0, -1.0, f32::NAN, f32::INFINITY, 1e-4] {
        assert_eq!(Grid::of(&show, side), Err(GridError::BadSize));
    }
    let far = StagePoint::new(200.0, 200.0);
    assert_eq!(Grid::over(StagePoint::new(-200.0, -200.0), far, 0.001), Err(GridError::TooFine));
}

/// Sides of floors and cells, and the sums of the memory: cells / 2.
#[test]
fn maps_of_known_floors() {
    let bytes = |width: f32, depth: f32, cell_m: f32| {
        let (low, high) = (StagePoint::new(-width / 2.0, -depth / 2.0), StagePoint::new(width / 2.0, depth / 2.0));
        Grid::over(low, high, cell_m).unwrap().bytes()
    };
    // 150 x 150, 400 x 320 and 300 x 200 cells.
    assert_eq!(bytes(3.0, 3.0, 0.02), 11_250);
    assert_eq!(bytes(10.0, 8.0, 0.025), 64_000);
    let quarter = Grid::over(StagePoint::new(0.0, 0.0), StagePoint::new(15.0, 10.0), 0.05).unwrap();
    assert_eq!((quarter.columns(), quarter.rows(), quarter.bytes()), (300, 200, 30_000));
    let cell = quarter.cell(299, 0).unwrap();
    assert!((cell.low().x - 14.95).abs() < 1e-5 && (cell.high().y - 0.05).abs() < 1e-6);
}
