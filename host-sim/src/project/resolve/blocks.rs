//! Canvases, and the blocks of panels on them.

use underfoot_core::floor::block::{Lay, Output};
use underfoot_core::floor::{Block, BlockError, Canvas};
use underfoot_core::units::Angle;

use super::resolver::{Resolver, name, point, small};
use crate::project::raw::RawFile;
use crate::project::raw::desk::Way;
use crate::project::raw::stage::RawBlock;

/// As-built sizes may differ from panel size times count by this share: more is a slip, not a joint.
const AS_BUILT_SHARE: f64 = 0.01;

impl Resolver<'_> {
    pub(super) fn canvases(&mut self, raw: &RawFile) {
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

    pub(super) fn blocks(&mut self, raw: &RawFile) {
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
}
