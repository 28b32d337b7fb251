//! The whole map, two cells a byte, in memory that the caller lends.

use super::area::Area;
use super::held::areas;
use super::{CellClass, Grid, MapError};
use crate::geom::GeomError;
use crate::show::{Cue, Show};

/// Cells along one side of a block that is looked at as a whole before its cells are.
const BLOCK: usize = 8;

/// Writes the class of every cell at `t_s` seconds after the start of `cue`: what [`super::class_of`] says of
/// it. `bytes` may be longer than [`Grid::bytes`]; the rest is left alone.
///
/// Cells lie in the grid's order, the first in the low four bits of the first byte. Cost: areas times the
/// blocks of 8 × 8 cells near them, and one exact question for each cell on an area's boundary.
///
/// # Errors
/// [`MapError`]; the memory then holds no map.
pub fn map(show: &Show, cue: &Cue, t_s: f32, grid: &Grid, bytes: &mut [u8]) -> Result<(), MapError> {
    let (need, got) = (grid.bytes(), bytes.len());
    let cells = bytes.get_mut(..need).ok_or(MapError::Short { need, got })?;
    cells.fill(0);
    areas(show, cue, t_s, &mut |class, cause, area| {
        mark(cells, grid, class, area).map_err(|fault| MapError::Shape { cause: Some(cause), fault })
    })
}

/// The class of one cell of a map; `None` past the last cell, and for bits that no class has.
pub fn class_in(bytes: &[u8], grid: &Grid, column: usize, row: usize) -> Option<CellClass> {
    let index = (column < grid.columns() && row < grid.rows()).then_some(row * grid.columns() + column)?;
    CellClass::from_bits(bits(*bytes.get(index / 2)?, index))
}

fn mark(cells: &mut [u8], grid: &Grid, class: CellClass, area: &Area<'_>) -> Result<(), GeomError> {
    let all = [(0, grid.columns()), (0, grid.rows())];
    let [across, along] = area.bounds().map_or(all, |(centre, reach_m)| grid.near(centre, reach_m));
    for top in (along.0..along.1).step_by(BLOCK) {
        for left in (across.0..across.1).step_by(BLOCK) {
            let end = ((left + BLOCK).min(across.1), (top + BLOCK).min(along.1));
            mark_block(cells, grid, (class, area), ((left, top), end))?;
        }
    }
    Ok(())
}

fn mark_block(
    cells: &mut [u8],
    grid: &Grid,
    (class, area): (CellClass, &Area<'_>),
    (from, end): ((usize, usize), (usize, usize)),
) -> Result<(), GeomError> {
    let block = grid.block(from, end);
    if area.is_away(&block) {
        return Ok(());
    }
    let all = area.fills(&block);
    for row in from.1..end.1 {
        for column in from.0..end.0 {
            if all || area.touches(&grid.block((column, row), (column + 1, row + 1)))? {
                raise(cells, row * grid.columns() + column, class);
            }
        }
    }
    Ok(())
}

/// Gives a cell a class unless it has one that wins.
fn raise(cells: &mut [u8], index: usize, class: CellClass) {
    let Some(byte) = cells.get_mut(index / 2) else { return };
    let before = CellClass::from_bits(bits(*byte, index)).unwrap_or_default();
    if class.beats(before) {
        let shift = 4 * (index % 2);
        *byte = (*byte & !(0x0F << shift)) | ((class as u8) << shift);
    }
}

const fn bits(byte: u8, index: usize) -> u8 {
    if index.is_multiple_of(2) { byte & 0x0F } else { byte >> 4 }
}
