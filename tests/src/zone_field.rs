//! Every 10 mm round a zone, judged by the oracle and shrunk by exact distances.

use underfoot_core::geom::StagePoint;

use crate::zone_case::Traced;
use crate::zone_oracle::{Erosion, Oracle, erode};

/// Distance between two places of the grid, metres.
pub const GRID_M: f64 = 0.01;
/// One place of so many each way is judged first.
const STEP: usize = 3;

/// The grid round an outline, the mark on one of its places.
#[derive(Debug)]
pub struct Field {
    origin: (f64, f64),
    columns: usize,
    rows: usize,
    /// The place of the mark.
    pub mark: usize,
}

impl Field {
    /// The grid round a zone, half a metre beyond it.
    ///
    /// # Panics
    /// For a zone without an outline.
    pub fn round(traced: &Traced, mark: StagePoint) -> Self {
        let points = traced.outline.ring(0).expect("an outer ring").points;
        let reach = |of: fn(&StagePoint) -> f32, mark: f32| {
            let all = || points.iter().map(of).chain([mark]).map(f64::from);
            let (low, high) =
                (all().fold(f64::INFINITY, f64::min) - 0.5, all().fold(f64::NEG_INFINITY, f64::max) + 0.5);
            let before = ((f64::from(mark) - low) / GRID_M).ceil();
            (f64::from(mark) - before * GRID_M, before as usize, ((high - low) / GRID_M) as usize + 2)
        };
        let ((x, i, columns), (y, j, rows)) = (reach(|p| p.x, mark.x), reach(|p| p.y, mark.y));
        Self { origin: (x, y), columns, rows, mark: j * columns + i }
    }

    /// A place of the grid.
    pub fn at(&self, i: usize) -> (f64, f64) {
        let along = |start: f64, n: usize| start + n as f64 * GRID_M;
        (along(self.origin.0, i % self.columns), along(self.origin.1, i / self.columns))
    }

    /// The same, for the core.
    pub fn place(&self, i: usize) -> StagePoint {
        let (x, y) = self.at(i);
        StagePoint::new(x as f32, y as f32)
    }

    /// Distances to what is not good. Every third place each way is judged, and every place that is not among others that are judged alike two
    /// steps all round: what is forbidden or allowed is a body wide, and corners that stick out far are wider there.
    pub fn shrunk(&self, oracle: &Oracle) -> Erosion {
        let is_good = |i: usize| oracle.faults(self.at(i), false).is_empty();
        let (columns, rows) = (self.columns.div_ceil(STEP), self.rows.div_ceil(STEP));
        let coarse: Vec<bool> =
            (0..columns * rows).map(|i| is_good((i / columns * STEP) * self.columns + i % columns * STEP)).collect();
        let judge = |i: usize| {
            let (x, y) = (i % self.columns / STEP, i / self.columns / STEP);
            let near = |at: usize, count: usize| at.saturating_sub(1)..=(at + 2).min(count - 1);
            let mut round = near(y, rows).flat_map(|v| near(x, columns).map(move |u| v * columns + u));
            let first = coarse[y * columns + x];
            if round.all(|j| coarse[j] == first) { first } else { is_good(i) }
        };
        let good: Vec<bool> = (0..self.columns * self.rows).map(judge).collect();
        erode(&good, self.columns)
    }
}
