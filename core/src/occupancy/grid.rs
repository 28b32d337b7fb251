//! Where the cells of a map lie.

use super::Cell;
use crate::geom::StagePoint;
use crate::limits::STAGE_REACH_M;
use crate::show::Show;

/// What may lie past a cell's line without a further row of cells, as a share of a cell: rounding only.
const SLACK: f32 = 1e-3;

/// Square cells, row by row from stage right to stage left, the most downstage row first.
///
/// The stage's origin is a corner of cells, so maps of parts of a floor, and of a floor as built and as
/// measured, have their cells in the same places.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grid {
    first: (i32, i32),
    columns: u16,
    rows: u16,
    cell_m: f32,
}

/// Why there is no grid.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GridError {
    /// A corner or the cell's side is not finite or out of range: 1 mm to 10 m.
    BadSize,
    /// There is no floor.
    NoFloor,
    /// So many cells in a row or a column that they cannot be counted.
    TooFine,
}

impl Grid {
    /// The grid over the whole floor of a show; `cell_m` is the side of a cell, metres.
    ///
    /// # Errors
    /// [`GridError`].
    pub fn of(show: &Show, cell_m: f32) -> Result<Self, GridError> {
        let vertices = show.floor.vertices.as_slice();
        let (Some(&first), false) = (vertices.first(), vertices.len() < 3) else { return Err(GridError::NoFloor) };
        let wider = |(low, high): (StagePoint, StagePoint), &v: &StagePoint| {
            (StagePoint::new(low.x.min(v.x), low.y.min(v.y)), StagePoint::new(high.x.max(v.x), high.y.max(v.y)))
        };
        let (low, high) = vertices.iter().fold((first, first), wider);
        Self::over(low, high, cell_m)
    }

    /// The fewest cells that hold the rectangle from `low` to `high`: a controller's part of a floor.
    ///
    /// # Errors
    /// [`GridError`].
    pub fn over(low: StagePoint, high: StagePoint, cell_m: f32) -> Result<Self, GridError> {
        let within = |v: f32| libm::fabsf(v) <= STAGE_REACH_M;
        if ![low.x, low.y, high.x, high.y].into_iter().all(within) || !(0.001..=10.0).contains(&cell_m) {
            return Err(GridError::BadSize);
        }
        let line = |v: f32, round: fn(f32) -> f32, slack: f32| round(v / cell_m + slack) as i32;
        let first = (line(low.x, libm::floorf, SLACK), line(low.y, libm::floorf, SLACK));
        let last = (line(high.x, libm::ceilf, -SLACK), line(high.y, libm::ceilf, -SLACK));
        let count = |from: i32, to: i32| u16::try_from((to - from).max(1)).map_err(|_| GridError::TooFine);
        Ok(Self { first, columns: count(first.0, last.0)?, rows: count(first.1, last.1)?, cell_m })
    }

    /// Cells in a row.
    pub fn columns(&self) -> usize {
        self.columns.into()
    }

    /// Rows.
    pub fn rows(&self) -> usize {
        self.rows.into()
    }

    /// Side of a cell, metres.
    pub fn cell_m(&self) -> f32 {
        self.cell_m
    }

    /// Cells in all.
    pub fn cells(&self) -> usize {
        self.columns() * self.rows()
    }

    /// Bytes of a map: two cells a byte.
    pub fn bytes(&self) -> usize {
        self.cells().div_ceil(2)
    }

    /// A cell by its column and row; `None` past the last.
    pub fn cell(&self, column: usize, row: usize) -> Option<Cell> {
        (column < self.columns() && row < self.rows()).then(|| self.block((column, row), (column + 1, row + 1)))
    }

    /// All cells from column and row `from` up to, not including, `to`, as one rectangle.
    pub(super) fn block(&self, from: (usize, usize), to: (usize, usize)) -> Cell {
        Cell::spanned(self.corner(from), self.corner(to))
    }

    /// The columns and rows that may touch the square about `centre`, both ends half open.
    pub(super) fn near(&self, centre: StagePoint, reach_m: f32) -> [(usize, usize); 2] {
        let span = |at: f32, first: i32, count: u16| {
            let low = libm::floorf((at - reach_m) / self.cell_m) as i32 - first - 1;
            let high = libm::ceilf((at + reach_m) / self.cell_m) as i32 - first + 1;
            let clamped = |i: i32| i.clamp(0, count.into()) as usize;
            (clamped(low), clamped(high))
        };
        [span(centre.x, self.first.0, self.columns), span(centre.y, self.first.1, self.rows)]
    }

    /// The low corner of a cell. Neighbours compute their common corner from the same whole numbers.
    fn corner(&self, (column, row): (usize, usize)) -> StagePoint {
        let line = |first: i32, i: usize| (first + i as i32) as f32 * self.cell_m;
        StagePoint::new(line(self.first.0, column), line(self.first.1, row))
    }
}
