//! Which cells a shape touches, against distances in double precision that share no code with the core: `geo` for
//! polygons and open rings, the definition of a disc and a ring for the others.
//!
//! A cell that a shape misses by 0.02 mm at most is left out and counted: there single precision decides.

use geo::{Coord, Distance, Euclidean, LineString, Polygon};
use underfoot_core::geom::StagePoint;
use underfoot_core::occupancy::{Cell, CellClass, Grid, class_in, class_of, map};
use underfoot_core::props::footprint::of_part;
use underfoot_core::props::{Placement, Reach};
use underfoot_core::show::{Cue, CueProp, Edge, Layer, Part, PartShape, Presence, Prop, PropId, Run, Show};
use underfoot_sim::occupancy::{Chart, Room};
use underfoot_tests::dice::Dice;

/// Half the side of the test floor, metres.
const HALF_M: f64 = 2.5;
/// A miss by no more than this is not held against either side, metres.
const DOUBT_M: f64 = 2e-5;
/// Corners of an arc that stands for a round side: at 2 m they are off it by 0.3 um.
const ARC: usize = 5600;

/// A shape as the stage has it, in double precision.
enum Shape {
    Disc { centre: Coord, radius: f64 },
    Ring { centre: Coord, inner: f64, outer: f64 },
    Polygon(Polygon),
}

impl Shape {
    /// How far the closed shape misses the closed rectangle, metres; 0 when they meet.
    fn miss(&self, low: Coord, high: Coord) -> f64 {
        match self {
            Self::Disc { centre, radius } => (nearest(*centre, low, high) - radius).max(0.0),
            Self::Ring { centre, inner, outer } => {
                (nearest(*centre, low, high) - outer).max(inner - farthest(*centre, low, high)).max(0.0)
            }
            Self::Polygon(polygon) => Euclidean.distance(polygon, &rectangle(low, high)),
        }
    }
}

fn nearest(p: Coord, low: Coord, high: Coord) -> f64 {
    let outside = |v: f64, from: f64, to: f64| (from - v).max(v - to).max(0.0);
    outside(p.x, low.x, high.x).hypot(outside(p.y, low.y, high.y))
}

fn farthest(p: Coord, low: Coord, high: Coord) -> f64 {
    let reach = |v: f64, from: f64, to: f64| (v - from).abs().max((v - to).abs());
    reach(p.x, low.x, high.x).hypot(reach(p.y, low.y, high.y))
}

fn rectangle(low: Coord, high: Coord) -> Polygon {
    let at = |x, y| Coord { x, y };
    Polygon::new(
        LineString::new(vec![at(low.x, low.y), at(high.x, low.y), at(high.x, high.y), at(low.x, high.y)]),
        vec![],
    )
}

/// A floor without bands, and one prop with one part, on the floor for good.
fn stage() -> Show {
    let mut show = Show::default();
    let half = HALF_M as f32;
    for (x, y) in [(-half, -half), (half, -half), (half, half), (-half, half)] {
        show.floor.vertices.push(StagePoint::new(x, y)).unwrap();
        show.floor.edges.push(Edge::Level).unwrap();
    }
    let parts = Run { first: 0, len: 1 };
    show.props.push(Prop { name: Default::default(), at: StagePoint::default(), turn_deg: 0.0, parts }).unwrap();
    let state = CueProp { prop: PropId(0), presence: Presence::Live, coming_ms: 0, motion: None };
    show.cue_props.push(state).unwrap();
    show.cues.push(Cue { number: 100, props: parts, ..Cue::default() }).unwrap();
    show
}

fn put(show: &mut Show, shape: PartShape) {
    show.parts.clear();
    show.parts.push(Part { shape, bottom_m: 0.0, top_m: 1.0, layer: Layer::Overlay, transparent: false }).unwrap();
}

/// Rounded to what single precision holds, so that both sides have the same numbers.
fn single(value: f64) -> f64 {
    f64::from(value as f32)
}

/// Puts a random shape on the stage and gives it in double precision.
fn random_shape(dice: &mut Dice, kind: usize, show: &mut Show) -> Shape {
    let mut number = |low: f64, high: f64| single(dice.between(low, high));
    let (x, y, turn_deg) = (number(-1.5, 1.5), number(-1.5, 1.5), number(-180.0, 180.0));
    let (off_x, off_y) = (number(-0.3, 0.3), number(-0.3, 0.3));
    show.props[0].at = StagePoint::new(x as f32, y as f32);
    show.props[0].turn_deg = turn_deg as f32;
    let (sin, cos) = turn_deg.to_radians().sin_cos();
    let to_stage = |px: f64, py: f64| Coord { x: x + px * cos - py * sin, y: y + px * sin + py * cos };
    let (at, centre) = (StagePoint::new(off_x as f32, off_y as f32), to_stage(off_x, off_y));
    let outer = number(0.05, 1.2);
    let inner = single(outer * number(0.3, 0.95));
    let (outer_m, inner_m) = (outer as f32, inner as f32);
    match kind {
        0 => {
            put(show, PartShape::Disc { at, radius_m: outer_m });
            Shape::Disc { centre, radius: outer }
        }
        1 => {
            put(show, PartShape::Ring { at, inner_m, outer_m, gap_deg: 0.0, gap_m: 0.0 });
            Shape::Ring { centre, inner, outer }
        }
        2 => {
            let (gap_deg, gap) = (number(-180.0, 180.0), single(outer * number(0.1, 1.8)));
            put(show, PartShape::Ring { at, inner_m, outer_m, gap_deg: gap_deg as f32, gap_m: gap as f32 });
            // The gap's width is the chord between the corners on the outer circle.
            let half = (gap / (2.0 * outer)).asin();
            let first = (gap_deg + turn_deg).to_radians() + half;
            let span = std::f64::consts::TAU - 2.0 * half;
            let on = |radius: f64, i: usize| {
                let (sin, cos) = (first + span * i as f64 / ARC as f64).sin_cos();
                Coord { x: centre.x + radius * cos, y: centre.y + radius * sin }
            };
            let round = (0..=ARC).map(|i| on(outer, i)).chain((0..=ARC).rev().map(|i| on(inner, i)));
            Shape::Polygon(Polygon::new(LineString::new(round.collect()), vec![]))
        }
        _ => {
            // Corners on an ellipse in order of their angles are convex.
            let corners = 3 + (number(0.0, 13.99) as usize);
            let flat = number(0.2, 1.0);
            let on = |i: usize, jitter: f64| {
                let (sin, cos) = ((i as f64 + jitter) / corners as f64 * std::f64::consts::TAU).sin_cos();
                (single(off_x + outer * cos), single(off_y + outer * flat * sin))
            };
            let local: Vec<(f64, f64)> = (0..corners).map(|i| on(i, number(0.0, 0.7))).collect();
            show.part_vertices.clear();
            for &(px, py) in &local {
                show.part_vertices.push(StagePoint::new(px as f32, py as f32)).unwrap();
            }
            put(show, PartShape::Polygon(Run { first: 0, len: corners as u16 }));
            Shape::Polygon(Polygon::new(local.iter().map(|&(px, py)| to_stage(px, py)).collect(), vec![]))
        }
    }
}

/// Cells asked about, cells that the shape meets, and cells left out.
#[derive(Debug, Default)]
struct Tally {
    asked: usize,
    met: usize,
    doubtful: usize,
}

fn ends(cell: &Cell) -> (Coord, Coord) {
    let of = |p: StagePoint| Coord { x: p.x.into(), y: p.y.into() };
    (of(cell.low()), of(cell.high()))
}

fn compare(tally: &mut Tally, shape: &Shape, cell: &Cell, class: CellClass) {
    let (low, high) = ends(cell);
    let miss = shape.miss(low, high);
    tally.asked += 1;
    if miss > 0.0 && miss <= DOUBT_M {
        tally.doubtful += 1;
        return;
    }
    let expected = if miss == 0.0 { CellClass::Contact } else { CellClass::Free };
    tally.met += usize::from(miss == 0.0);
    assert_eq!(class, expected, "the oracle misses {cell:?} by {miss}");
}

#[test]
fn random_shapes_touch_the_cells_that_the_oracle_says() {
    let (mut dice, mut show) = (Dice::new(0xCE11), Box::new(stage()));
    for (kind, rounds, one_in) in [(0, 12, 1), (1, 12, 1), (2, 8, 60), (3, 20, 6)] {
        let mut tally = Tally::default();
        for _ in 0..rounds {
            let shape = random_shape(&mut dice, kind, &mut show);
            let grid = Grid::of(&show, dice.between(0.03, 0.15) as f32).unwrap();
            let mut bytes = vec![0; grid.bytes()];
            map(&show, &show.cues[0], 0.0, &grid, &mut bytes).unwrap();
            for (row, column) in (0..grid.rows()).flat_map(|row| (0..grid.columns()).map(move |c| (row, c))) {
                let (cell, class) = (grid.cell(column, row).unwrap(), class_in(&bytes, &grid, column, row).unwrap());
                // Past the floor's end there is more than the shape.
                let reach = HALF_M as f32;
                let inside = cell.low().x >= -reach
                    && cell.high().x <= reach
                    && cell.low().y >= -reach
                    && cell.high().y <= reach;
                if inside && dice.one_in(one_in) {
                    compare(&mut tally, &shape, &cell, class);
                }
            }
        }
        assert!(tally.asked > 300 && tally.met > tally.asked / 50 && tally.doubtful < 5, "{kind}: {tally:?}");
    }
}

/// Rectangles that have nothing to do with a grid: long, thin, large, and points.
#[test]
fn random_rectangles_are_touched_when_the_oracle_says() {
    let (mut dice, mut show) = (Dice::new(0xCE12), Box::new(stage()));
    let mut tally = Tally::default();
    for case in 0..2400 {
        let shape = random_shape(&mut dice, if case % 30 == 0 { 2 } else { [0, 1, 3][case % 3] }, &mut show);
        let mut place = || StagePoint::new(dice.between(-2.4, 2.4) as f32, dice.between(-2.4, 2.4) as f32);
        let (from, far) = (place(), place());
        let thin = StagePoint::new(far.x, from.y);
        let to = [far, thin, from, StagePoint::new((from.x + 0.1).min(2.4), (from.y + 0.03).min(2.4))][case % 4];
        let cell = Cell::between(from, to).unwrap();
        let class = class_of(&show, &show.cues[0], 0.0, &cell).unwrap().class;
        compare(&mut tally, &shape, &cell, class);
    }
    assert!(tally.met > 300 && tally.asked - tally.met > 300 && tally.doubtful < 5, "{tally:?}");
}

/// A keep-out is a footprint grown by a distance, so its exact signed distance and the free room of a fine map
/// differ by that distance, up to a cell's diagonal: half at the place, half at the nearest taken cell.
#[test]
fn free_room_is_the_distance_to_the_keep_out() {
    let (mut dice, mut show) = (Dice::new(0xCE13), Box::new(stage()));
    let reach = Reach { body_m: 0.25, still_m: 0.15, allowance_m: 0.012, lead_s: 0.84 };
    for kind in [0, 1, 2, 3, 3, 2] {
        random_shape(&mut dice, kind, &mut show);
        let cell_m = 0.01;
        let chart = Chart::of(&show, &show.cues[0], 0.0, cell_m).unwrap();
        let room = Room::of(&chart);
        let placement = Placement::resting(&show.props[0]);
        let keepout = of_part(&show, &show.parts[0], &placement).unwrap().grown(reach.beside_still_m()).unwrap();
        let (mut looked, columns) = (0, chart.grid().columns());
        for (i, class) in chart.classes().iter().enumerate().filter(|(_, class)| **class == CellClass::Free) {
            let middle = chart.grid().cell(i % columns, i / columns).unwrap().centre();
            let exact = f64::from(keepout.signed_distance(middle) + reach.beside_still_m());
            let found = room.metres(i, cell_m);
            let diagonal = f64::from(cell_m) * std::f64::consts::SQRT_2;
            assert!((found - exact).abs() <= diagonal / 2.0 + 1e-4, "{class:?} at {middle:?}: {found} {exact}");
            looked += 1;
        }
        assert!(looked > 100_000, "{looked}");
    }
}
