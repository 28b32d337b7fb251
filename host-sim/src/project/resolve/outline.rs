//! The floor's outline: its own corners, or the rectangle round its blocks.

use underfoot_core::floor::Block;
use underfoot_core::geom::StagePoint;
use underfoot_core::show::Edge;

use super::resolver::{Resolver, point};
use crate::project::raw::RawFile;
use crate::project::raw::numbers::Place;
use crate::project::raw::stage::RawFloor;

impl Resolver<'_> {
    pub(super) fn outline(&mut self, raw: &RawFile) {
        let f = &raw.floor;
        self.put("floor", 0, "floor");
        self.show.floor.edge_band_m = f.edge_band_m as f32;
        self.show.floor.step_m = f.step_m as f32;
        let found = match &f.outline {
            Some(outline) => self.given_outline(f, outline),
            None => self.rectangle(raw),
        };
        let Some((corners, sides)) = found else { return };
        self.show.floor.vertices.extend(corners);
        self.show.floor.edges.extend(sides);
    }

    /// Corners and sides of an outline that is written out.
    fn given_outline(&mut self, f: &RawFloor, outline: &[Place]) -> Option<(Vec<StagePoint>, Vec<Edge>)> {
        if f.edges.is_some() {
            let remedy = "name the sides of an outline with `sides`, one for each";
            self.fault("floor.edges", "[floor] has both `outline` and `edges`", remedy);
        }
        let corners: Vec<StagePoint> = outline.iter().map(|&p| point(p)).collect();
        let sides: Vec<Edge> =
            f.sides.as_ref().map_or(vec![Edge::Open; corners.len()], |s| s.iter().map(|e| e.0).collect());
        if sides.len() != corners.len() {
            let what = format!("`sides` has {} items, and the outline has {} sides", sides.len(), corners.len());
            self.fault("floor.sides", what, "write one for each side, in the order of the corners");
            return None;
        }
        if !simple_counter_clockwise(&corners) {
            let what = "the floor's outline runs clockwise, crosses itself or has no area";
            self.fault("floor.outline", what, "list its corners counter-clockwise, seen from above");
            return None;
        }
        Some((corners, sides))
    }

    /// Corners and sides of a floor without an outline of its own.
    fn rectangle(&mut self, raw: &RawFile) -> Option<(Vec<StagePoint>, Vec<Edge>)> {
        if raw.floor.sides.is_some() {
            let what = "[floor] has `sides` but no `outline`";
            self.fault("floor.sides", what, "write `edges = { US = \"wall\" }`");
        }
        let corners = self.rectangle_round_blocks(raw)?;
        let e = raw.floor.edges.unwrap_or_default();
        Some((corners.to_vec(), [e.ds, e.sl, e.us, e.sr].map(|side| side.0).to_vec()))
    }

    /// The rectangle round all floor blocks at floor height, from SR-DS counter-clockwise.
    fn rectangle_round_blocks(&mut self, raw: &RawFile) -> Option<[StagePoint; 4]> {
        let blocks: Vec<Block> = self
            .show
            .blocks
            .iter()
            .filter(|b| b.height_m == 0.0 && raw.block.iter().any(|r| r.surface.0 && r.name.0 == b.name.as_str()))
            .cloned()
            .collect();
        let area: f32 =
            blocks.iter().map(|b| b.pitch_m() * b.pitch_m() * f32::from(b.width_px) * f32::from(b.height_px)).sum();
        let corners = blocks.iter().flat_map(Block::corners);
        let (low, high) = corners.fold(([f32::INFINITY; 2], [f32::NEG_INFINITY; 2]), |(low, high), p| {
            ([low[0].min(p.x), low[1].min(p.y)], [high[0].max(p.x), high[1].max(p.y)])
        });
        let around = (high[0] - low[0]) * (high[1] - low[1]);
        // 2 % leaves room for joints between blocks; a corner cut out or a turned block is more.
        if !(around > 0.0 && (area / around - 1.0).abs() < 0.02) {
            if self.errors.is_empty() {
                let what = "the floor blocks do not make up one rectangle";
                self.fault("floor", what, "write the floor's corners as `outline` in [floor]");
            }
            return None;
        }
        // Single precision leaves 1e-7 of dust on sums; a tenth of a millimetre keeps what people measured.
        let clean = |v: f32| (f64::from(v) * 1e4).round() as f32 / 1e4;
        let ([x0, y0], [x1, y1]) = (low.map(clean), high.map(clean));
        Some([(x0, y0), (x1, y0), (x1, y1), (x0, y1)].map(|(x, y)| StagePoint::new(x, y)))
    }
}

/// True for a polygon with positive area whose sides meet only at its corners.
fn simple_counter_clockwise(corners: &[StagePoint]) -> bool {
    let n = corners.len();
    let corner = |i: usize| corners[i % n];
    let origin = corner(0);
    let doubled: f32 = (0..n).map(|i| (corner(i) - origin).cross(corner(i + 1) - origin)).sum();
    let crosses = |i: usize, j: usize| {
        let (a, b, c, d) = (corner(i), corner(i + 1), corner(j), corner(j + 1));
        let turn = |p: StagePoint, q: StagePoint, r: StagePoint| (q - p).cross(r - p);
        turn(a, b, c) * turn(a, b, d) <= 0.0 && turn(c, d, a) * turn(c, d, b) <= 0.0
    };
    let apart = |i: usize, j: usize| j > i + 1 && !(i == 0 && j == n - 1);
    let distinct = (0..n).all(|i| corner(i).distance(corner(i + 1)) > 1e-3);
    doubled > 1e-6 && distinct && !(0..n).any(|i| (0..n).any(|j| apart(i, j) && crosses(i, j)))
}
