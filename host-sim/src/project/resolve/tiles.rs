//! Dead and missing panels: how people count them to how a canvas counts them.

use underfoot_core::floor::Block;
use underfoot_core::show::TileFault;

use super::resolver::{Resolver, small};
use crate::project::raw::RawFile;
use crate::project::raw::stage::{Corner, RawTile};

impl Resolver<'_> {
    pub(super) fn tiles(&mut self, raw: &RawFile) {
        for (i, t) in raw.tile.iter().enumerate() {
            let path = format!("tile[{i}]");
            let Some(index) = self.tile_block(t, &path) else { continue };
            let Some(block) = self.show.blocks.get(index).cloned() else { continue };
            let Some((column, row)) = self.count(t, &block, &path) else { continue };
            let fault = TileFault { block: small(index), column, row, state: t.state.0 };
            if self.show.tile_faults.iter().any(|f| (f.block, f.column, f.row) == (fault.block, column, row)) {
                let what =
                    format!("tile column {}, row {} of block `{}` is declared twice", t.column, t.row, block.name);
                self.fault(&path, what, "take one out");
                continue;
            }
            self.put("tile_faults", self.show.tile_faults.len(), &path);
            let _ = self.show.tile_faults.push(fault);
        }
    }

    fn tile_block(&mut self, t: &RawTile, path: &str) -> Option<usize> {
        let names: Vec<String> = self.show.blocks.iter().map(|b| b.name.to_string()).collect();
        let names: Vec<&str> = names.iter().map(String::as_str).collect();
        if let Some(name) = &t.block {
            return self.find(&format!("{path}.block"), "block", name, &names);
        }
        let floors: Vec<usize> = (0..names.len()).filter(|&i| self.floor_blocks.get(i) == Some(&true)).collect();
        match floors.as_slice() {
            [only] => Some(*only),
            _ => {
                let what = format!("the tile's block is not named, and there are {} floor blocks", floors.len());
                self.fault(path, what, format!("add `block`: {}", crate::project::words::list(&names)));
                None
            }
        }
    }

    /// The tile's column and row on the canvas, from 0 at the block's top left.
    fn count(&mut self, t: &RawTile, block: &Block, path: &str) -> Option<(u8, u8)> {
        let (columns, rows) = block.panels();
        let (right, down) = (block.map.per_px_x, block.map.per_px_y);
        let along = right.x.abs() > right.y.abs();
        let straight = if along { right.y.abs() < right.x.abs() * 0.02 } else { right.x.abs() < right.y.abs() * 0.02 };
        // Stage columns run across the stage: along the canvas's x, unless the block is turned by a quarter.
        let (across, up) = if along || t.count_from.0 == Corner::Canvas { (columns, rows) } else { (rows, columns) };
        for (key, value, limit) in [("column", t.column, across), ("row", t.row, up)] {
            if value > limit {
                let what = format!("{key} {value} is off block `{}`: it has {limit}", block.name);
                self.fault(&format!("{path}.{key}"), what, format!("count from 1 to {limit}"));
                return None;
            }
        }
        let (column, row) = (t.column - 1, t.row - 1);
        let Corner::Stage { to_left, to_up } = t.count_from.0 else {
            return Some((small(column.into()), small(row.into())));
        };
        if !straight {
            let what = format!("block `{}` is turned, so its tiles cannot be counted across the stage", block.name);
            self.fault(
                &format!("{path}.count_from"),
                what,
                "count from its top left on the canvas: `count_from = \"canvas\"`",
            );
            return None;
        }
        let run = |from_start: bool, n: u16, of: u16| if from_start { n } else { of - 1 - n };
        let (column, row) = if along {
            (run(to_left == (right.x > 0.0), column, columns), run(to_up == (down.y > 0.0), row, rows))
        } else {
            (run(to_up == (right.y > 0.0), row, columns), run(to_left == (down.x > 0.0), column, rows))
        };
        Some((small(column.into()), small(row.into())))
    }
}
