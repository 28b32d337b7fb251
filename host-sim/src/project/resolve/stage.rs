//! Canvases, blocks, the floor's outline, entries, walls and physical things.

use underfoot_core::floor::block::{Lay, Output};
use underfoot_core::floor::{Block, BlockError, Canvas};
use underfoot_core::geom::StagePoint;
use underfoot_core::show::{Edge, Entry, Physical, PhysicalKind, Wall};
use underfoot_core::units::Angle;

use super::resolver::{Resolver, Take, metres, name, point, small};
use crate::project::raw::RawFile;
use crate::project::raw::desk::Way;
use crate::project::raw::stage::{RawBlock, RawPhysical, Thing};

/// As-built sizes may differ from panel size times count by this share: more is a slip, not a joint.
const AS_BUILT_SHARE: f64 = 0.01;
/// How far from the floor's edge an entry's middle may be written, metres.
const ENTRY_REACH_M: f32 = 0.1;

impl Resolver<'_> {
    pub(super) fn stage(&mut self, raw: &RawFile) {
        self.canvases(raw);
        self.blocks(raw);
        self.outline(raw);
        self.tiles(raw);
        self.entries(raw);
        self.walls(raw);
        self.physicals(raw);
    }

    fn canvases(&mut self, raw: &RawFile) {
        self.unique("canvas", raw.canvas.iter().map(|c| c.name.0.as_str()));
        for (i, c) in raw.canvas.iter().enumerate() {
            let path = format!("canvas[{i}]");
            let output = match c.output.unwrap_or(raw.show.output).0 {
                Way::Layer => Output::Layer,
                Way::Direct => Output::Direct { first_universe: c.first_universe.unwrap_or(0) },
            };
            if output == Output::Layer && c.first_universe.is_some() {
                let what = "`first_universe` does not belong to a canvas with the output `layer`";
                self.fault(&format!("{path}.first_universe"), what, "take it out, or write `output = \"direct\"`");
            }
            let [width_px, height_px] = c.size_px;
            self.put("canvases", i, &path);
            let canvas = Canvas { name: name(&c.name.0), width_px, height_px, output, controller: c.controller };
            // Never full: the schema has counted the tables.
            let _ = self.show.canvases.push(canvas);
        }
    }

    fn blocks(&mut self, raw: &RawFile) {
        self.unique("block", raw.block.iter().map(|b| b.name.0.as_str()));
        let canvases: Vec<&str> = raw.canvas.iter().map(|c| c.name.0.as_str()).collect();
        for (i, b) in raw.block.iter().enumerate() {
            let path = format!("block[{i}]");
            self.floor_blocks.push(b.surface.0);
            let Some(size) = self.block_size(b, &path) else { continue };
            let Some(canvas) = self.find(&format!("{path}.canvas"), "canvas", &b.canvas, &canvases) else { continue };
            let lay = Lay {
                centre: point(b.at),
                width_m: size[0] as f32,
                depth_m: size[1] as f32,
                turn: Angle::from_degrees(b.turn_deg.get()),
            };
            let pair = |p: [u16; 2]| (p[0], p[1]);
            let laid =
                Block::laid(name(&b.name.0), small(canvas), pair(b.canvas_px), pair(b.panels), pair(b.panel_px), &lay);
            match laid {
                Ok(mut block) => {
                    block.height_m = b.height_m.get();
                    self.block_fits(&path, &block);
                    self.put("blocks", self.show.blocks.len(), &path);
                    let _ = self.show.blocks.push(block);
                }
                Err(error) => self.block_refused(&path, b, error),
            }
        }
    }

    /// As-built width and depth with joints, metres.
    fn block_size(&mut self, b: &RawBlock, path: &str) -> Option<[f64; 2]> {
        let nominal = [0, 1].map(|k| f64::from(b.panels[k]) * b.panel_mm[k].0 / 1000.0);
        let joint = b.joint_mm.map_or(0.0, |j| j.0 / 1000.0);
        let Some(built) = b.size_m else {
            return Some([0, 1].map(|k| nominal[k] + joint * f64::from(b.panels[k] - 1)));
        };
        if b.joint_mm.is_some() {
            let what = format!("block `{}` has both `size_m` and `joint_mm`", b.name.0);
            self.fault(&format!("{path}.joint_mm"), what, "keep the one that was measured");
            return None;
        }
        for k in [0, 1] {
            let share = built[k].0 / nominal[k] - 1.0;
            if share.abs() > AS_BUILT_SHARE {
                let what = format!(
                    "block `{}` is {:.3} m built but {:.3} m of panels: {:+.1} %, and the limit is 1 %",
                    b.name.0,
                    built[k].0,
                    nominal[k],
                    share * 100.0
                );
                self.fault(&format!("{path}.size_m[{k}]"), what, "check `panels`, `panel_mm` and `size_m`");
                return None;
            }
        }
        Some(built.map(|side| side.0))
    }

    fn block_fits(&mut self, path: &str, block: &Block) {
        let Some(canvas) = self.show.canvases.get(usize::from(block.canvas)).cloned() else { return };
        let (right, bottom) = (block.right_px(), block.bottom_px());
        if right > u32::from(canvas.width_px) || bottom > u32::from(canvas.height_px) {
            let what = format!(
                "block `{}` reaches pixel {right} × {bottom}, and canvas `{}` is {} × {}",
                block.name, canvas.name, canvas.width_px, canvas.height_px
            );
            self.fault(path, what, "check `canvas_px`, `panels`, `panel_px` and the canvas's `size_px`");
        }
        let overlaps = |b: &Block| {
            b.canvas == block.canvas
                && u32::from(b.x_px) < right
                && u32::from(block.x_px) < b.right_px()
                && u32::from(b.y_px) < bottom
                && u32::from(block.y_px) < b.bottom_px()
        };
        if let Some(other) = self.show.blocks.iter().find(|b| overlaps(b)).map(|b| b.name.clone()) {
            let what = format!("blocks `{other}` and `{}` share pixels of canvas `{}`", block.name, canvas.name);
            self.fault(path, what, "move one with `canvas_px`");
        }
    }

    fn block_refused(&mut self, path: &str, b: &RawBlock, error: BlockError) {
        let (why, remedy) = match error {
            BlockError::TooLarge => ("reaches past the largest canvas", "split it over several canvases"),
            BlockError::BadMap => ("has pixels too small to tell apart", "check `panel_mm` and `panel_px`"),
            BlockError::Empty | BlockError::PartPanel => ("has no whole panel", "check `panels` and `panel_px`"),
        };
        let limit = underfoot_core::limits::CANVAS_SIDE_PX;
        self.fault(path, format!("block `{}` {why} (limit {limit} pixels a side)", b.name.0), remedy);
    }

    fn entries(&mut self, raw: &RawFile) {
        self.unique("entry", raw.entry.iter().map(|e| e.name.0.as_str()));
        for (i, e) in raw.entry.iter().enumerate() {
            let path = format!("entry[{i}]");
            let at = point(e.at);
            let off = self.edge_distance(at);
            if off > ENTRY_REACH_M {
                let what =
                    format!("entry `{}` is {off:.2} m off the floor's edge; the limit is {ENTRY_REACH_M} m", e.name.0);
                self.fault(&format!("{path}.at"), what, "put its middle on the edge");
            }
            self.put("entries", i, &path);
            let _ = self.show.entries.push(Entry { name: name(&e.name.0), at, width_m: e.width_m.get() });
        }
    }

    fn edge_distance(&self, p: StagePoint) -> f32 {
        let corners = &self.show.floor.vertices;
        let next = corners.iter().cycle().skip(1);
        // Without an outline its own fault is on the list already.
        corners.iter().zip(next).map(|(&a, &b)| distance_to_segment(p, a, b)).reduce(f32::min).unwrap_or(0.0)
    }

    fn walls(&mut self, raw: &RawFile) {
        self.unique("wall", raw.wall.iter().map(|w| w.name.0.as_str()));
        for (i, w) in raw.wall.iter().enumerate() {
            let path = format!("wall[{i}]");
            let (from, to) = (point(w.from), point(w.to));
            if from.distance(to) < 0.01 {
                self.fault(
                    &format!("{path}.to"),
                    format!("wall `{}` has no length", w.name.0),
                    "check `from` and `to`",
                );
            }
            if w.top_m.0 <= w.bottom_m.0 {
                let what =
                    format!("wall `{}` has its top at {} m and its bottom at {} m", w.name.0, w.top_m.0, w.bottom_m.0);
                self.fault(&format!("{path}.top_m"), what, "put the top above the bottom");
            }
            self.put("walls", i, &path);
            let (bottom_m, top_m) = (w.bottom_m.get(), w.top_m.get());
            let _ = self.show.walls.push(Wall { name: name(&w.name.0), from, to, bottom_m, top_m });
        }
    }

    fn physicals(&mut self, raw: &RawFile) {
        self.unique("physical", raw.physical.iter().map(|p| p.name.0.as_str()));
        for (i, p) in raw.physical.iter().enumerate() {
            let path = format!("physical[{i}]");
            let Some((kind, height_m)) = self.physical_kind(p, &path) else { continue };
            self.put("physicals", self.show.physicals.len(), &path);
            let _ = self.show.physicals.push(Physical {
                name: name(&p.name.0),
                kind,
                centre: point(p.at),
                width_m: p.size_m[0].get(),
                depth_m: p.size_m[1].get(),
                turn_deg: p.turn_deg.get(),
                height_m,
            });
        }
    }

    fn physical_kind(&mut self, p: &RawPhysical, path: &str) -> Option<(PhysicalKind, f32)> {
        let ramp = p.kind.0 == Thing::Ramp;
        let only_ramp = if ramp { Take::Optional } else { Take::Stray };
        let (word, kind, least) = match p.kind.0 {
            Thing::Riser => ("a riser", PhysicalKind::Riser, None),
            Thing::Ramp => ("a ramp", PhysicalKind::Ramp { rises_deg: 0.0 }, None),
            Thing::Step => ("a step", PhysicalKind::Step, None),
            Thing::Furniture => ("furniture", PhysicalKind::Furniture, None),
            // A rug is as good as flat when nobody measured it.
            Thing::Rug => ("a rug", PhysicalKind::Rug, Some(metres(10.0))),
            Thing::Column => ("a column", PhysicalKind::Column, None),
        };
        let height_key = if ramp || least.is_some() { Take::Optional } else { Take::Needed };
        let fits = self.takes(
            path,
            word,
            &[
                ("height_m", p.height_m.is_some(), height_key),
                ("slope", p.slope.is_some(), only_ramp),
                ("rises_to", p.rises_to.is_some(), only_ramp),
                ("rises_deg", p.rises_deg.is_some(), only_ramp),
            ],
        );
        if !fits {
            return None;
        }
        if ramp { self.ramp(p, path) } else { Some((kind, p.height_m.map(|h| h.get()).or(least)?)) }
    }

    fn ramp(&mut self, p: &RawPhysical, path: &str) -> Option<(PhysicalKind, f32)> {
        let rises_deg = match (p.rises_to, p.rises_deg) {
            (Some(side), None) => side.0,
            (None, Some(deg)) => deg.get(),
            _ => {
                let what = format!("ramp `{}` needs one of `rises_to` and `rises_deg`", p.name.0);
                self.fault(path, what, "write `rises_to = \"SL\"`, or US, SR, DS");
                return None;
            }
        };
        let quarter = ((rises_deg - p.turn_deg.get()) / 90.0).round();
        if (rises_deg - p.turn_deg.get() - quarter * 90.0).abs() > 1.0 {
            let what = format!("ramp `{}` rises across its sides", p.name.0);
            self.fault(path, what, "turn it with `turn_deg` so that it rises along its own X or Y");
            return None;
        }
        let along = if quarter as i32 % 2 == 0 { p.size_m[0].0 } else { p.size_m[1].0 };
        let by_slope = match p.slope.as_deref() {
            Some(text) => match parse_slope(text) {
                Some(slope) => Some(along * slope),
                None => {
                    let what = format!("`slope` of ramp `{}` cannot be \"{text}\"", p.name.0);
                    self.fault(&format!("{path}.slope"), what, "write rise to run, like `slope = \"1:12\"`");
                    return None;
                }
            },
            None => None,
        };
        let height = match (p.height_m, by_slope) {
            (Some(given), Some(computed)) if (given.0 - computed).abs() > 0.01 => {
                let what = format!(
                    "ramp `{}` is {} m high, but its slope over {along} m gives {computed:.3} m",
                    p.name.0, given.0
                );
                self.fault(&format!("{path}.height_m"), what, "keep one of `height_m` and `slope`");
                return None;
            }
            (Some(given), _) => given.0,
            (None, Some(computed)) => computed,
            (None, None) => {
                self.fault(
                    path,
                    format!("ramp `{}` needs `slope` or `height_m`", p.name.0),
                    "write `slope = \"1:12\"`",
                );
                return None;
            }
        };
        Some((PhysicalKind::Ramp { rises_deg }, height as f32))
    }

    fn outline(&mut self, raw: &RawFile) {
        let f = &raw.floor;
        self.put("floor", 0, "floor");
        self.show.floor.edge_band_m = f.edge_band_m as f32;
        self.show.floor.step_m = f.step_m as f32;
        let (corners, sides): (Vec<StagePoint>, Vec<Edge>) = match &f.outline {
            Some(outline) => {
                if f.edges.is_some() {
                    let remedy = "name the sides of an outline with `sides`, one for each";
                    self.fault("floor.edges", "[floor] has both `outline` and `edges`", remedy);
                }
                let corners: Vec<StagePoint> = outline.iter().map(|&p| point(p)).collect();
                let sides =
                    f.sides.clone().map_or(vec![Edge::Open; corners.len()], |s| s.iter().map(|e| e.0).collect());
                if sides.len() != corners.len() {
                    let what =
                        format!("`sides` has {} items, and the outline has {} sides", sides.len(), corners.len());
                    self.fault("floor.sides", what, "write one for each side, in the order of the corners");
                    return;
                }
                if !simple_counter_clockwise(&corners) {
                    let what = "the floor's outline runs clockwise, crosses itself or has no area";
                    self.fault("floor.outline", what, "list its corners counter-clockwise, seen from above");
                    return;
                }
                (corners, sides)
            }
            None => {
                if f.sides.is_some() {
                    self.fault(
                        "floor.sides",
                        "[floor] has `sides` but no `outline`",
                        "write `edges = { US = \"wall\" }`",
                    );
                }
                let Some(corners) = self.rectangle_round_blocks(raw) else { return };
                let e = f.edges.unwrap_or_default();
                (corners.to_vec(), [e.ds, e.sl, e.us, e.sr].map(|side| side.0).to_vec())
            }
        };
        self.show.floor.vertices.extend(corners);
        self.show.floor.edges.extend(sides);
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

/// "1:12" as rise over run.
fn parse_slope(text: &str) -> Option<f64> {
    let (rise, run) = text.split_once(':')?;
    let (rise, run): (f64, f64) = (rise.trim().parse().ok()?, run.trim().parse().ok()?);
    (rise > 0.0 && run >= rise && run.is_finite()).then(|| rise / run)
}

fn distance_to_segment(p: StagePoint, a: StagePoint, b: StagePoint) -> f32 {
    let side = b - a;
    let length_squared = side.dot(side);
    let t = if length_squared > 0.0 { ((p - a).dot(side) / length_squared).clamp(0.0, 1.0) } else { 0.0 };
    p.distance(a + side * t)
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
