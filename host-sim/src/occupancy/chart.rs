//! One moment of a cue as cells.

use std::fmt;

use underfoot_core::occupancy::{self, CellClass, Grid, GridError, MapError};
use underfoot_core::show::{Cue, Show};

/// The occupancy map of one moment of a cue.
#[derive(Clone, Debug, PartialEq)]
pub struct Chart {
    grid: Grid,
    classes: Vec<CellClass>,
    bytes: usize,
}

/// Why there is no chart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ChartError {
    /// The cells cannot be laid over the floor.
    Grid(GridError),
    /// A shape cannot be used.
    Map(MapError),
}

impl Chart {
    /// The chart of the whole floor at `t_s` seconds after the start of `cue`, with cells of `cell_m`.
    ///
    /// # Errors
    /// [`ChartError`].
    pub fn of(show: &Show, cue: &Cue, t_s: f32, cell_m: f32) -> Result<Self, ChartError> {
        let grid = Grid::of(show, cell_m).map_err(ChartError::Grid)?;
        let mut bytes = vec![0; grid.bytes()];
        occupancy::map(show, cue, t_s, &grid, &mut bytes).map_err(ChartError::Map)?;
        let columns = grid.columns();
        let class = |i: usize| occupancy::class_in(&bytes, &grid, i % columns, i / columns).unwrap_or_default();
        let classes = (0..grid.cells()).map(class).collect();
        Ok(Self { grid, classes, bytes: bytes.len() })
    }

    /// Where the cells lie.
    pub fn grid(&self) -> &Grid {
        &self.grid
    }

    /// Bytes that the map takes in a device.
    pub fn bytes(&self) -> usize {
        self.bytes
    }

    /// All classes, the most downstage row first, each row from stage right to stage left.
    pub fn classes(&self) -> &[CellClass] {
        &self.classes
    }

    /// The rows, the most upstage one first, as people read a plan.
    pub fn rows_from_upstage(&self) -> impl Iterator<Item = &[CellClass]> {
        self.classes.chunks(self.grid.columns()).rev()
    }

    /// Cells of a class.
    pub fn count(&self, class: CellClass) -> usize {
        self.classes.iter().filter(|&&c| c == class).count()
    }

    /// Area of the cells of a class, square metres.
    pub fn area_m2(&self, class: CellClass) -> f64 {
        let side = f64::from(self.grid.cell_m());
        self.count(class) as f64 * side * side
    }
}

impl fmt::Display for ChartError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Grid(GridError::TooFine) => f.write_str("the cells are too fine for this floor: make cell_mm larger"),
            Self::Grid(error) => write!(f, "there are no cells for this floor: {error:?}"),
            Self::Map(error) => write!(f, "the cells cannot be filled: {error:?}"),
        }
    }
}

impl std::error::Error for ChartError {}
