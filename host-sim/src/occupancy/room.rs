//! Free room: how far each cell's middle is from the middle of the nearest cell that keeps people off.
//!
//! Exact in whole numbers, in two passes: nearest taken cell of each column, then the lowest of the parabolas
//! that these distances raise along each row (Meijster, Roerdink and Hesselink 2000, from memory).

use super::Chart;

/// Squared distances, one for each cell.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Room {
    squares: Vec<Option<u64>>,
}

impl Room {
    /// The room of a chart in cells.
    pub fn of(chart: &Chart) -> Self {
        let taken: Vec<bool> = chart.classes().iter().map(|class| class.keeps_off()).collect();
        Self::between(&taken, chart.grid().columns(), (1, 1))
    }

    /// The room between taken cells, rows of `columns` cells one after another; `step` is how far cells lie
    /// apart in a row and from row to row, in any whole unit. `None` everywhere when nothing is taken.
    pub fn between(taken: &[bool], columns: usize, step: (u32, u32)) -> Self {
        let rows = taken.len().checked_div(columns).unwrap_or(0);
        let heights = down_and_up(taken, columns, rows, u64::from(step.1));
        let squares = heights.chunks(columns.max(1)).flat_map(|row| along(row, u64::from(step.0))).collect();
        Self { squares }
    }

    /// Squared distances in the order of the cells.
    pub fn squares(&self) -> &[Option<u64>] {
        &self.squares
    }

    /// The room of a cell, metres, for cells of `cell_m`; infinite when nothing is taken.
    pub fn metres(&self, index: usize, cell_m: f32) -> f64 {
        let square = self.squares.get(index).copied().flatten();
        square.map_or(f64::INFINITY, |s| (s as f64).sqrt() * f64::from(cell_m))
    }
}

/// Distance of each cell to the nearest taken one of its column.
fn down_and_up(taken: &[bool], columns: usize, rows: usize, step: u64) -> Vec<Option<u64>> {
    let mut heights = vec![None; columns * rows];
    for column in 0..columns {
        let mut pass = |order: &mut dyn Iterator<Item = usize>| {
            let mut far: Option<u64> = None;
            for i in order.map(|row| row * columns + column) {
                far = if taken[i] { Some(0) } else { far.map(|d| d + step) };
                heights[i] = [heights[i], far].into_iter().flatten().min();
            }
        };
        pass(&mut (0..rows));
        pass(&mut (0..rows).rev());
    }
    heights
}

/// The least of (distance along the row)² + height² at each cell of a row.
fn along(heights: &[Option<u64>], step: u64) -> Vec<Option<u64>> {
    let place = |i: usize| i as i128 * i128::from(step);
    let square = |i: usize| heights[i].map(|h| i128::from(h) * i128::from(h));
    // Parabolas of the lower envelope: where each stands, and the first cell that it wins.
    let mut hull: Vec<(usize, usize)> = Vec::new();
    for i in 0..heights.len() {
        let Some(raised) = square(i) else { continue };
        let value = |j: usize, at: usize| square(j).unwrap_or(0) + (place(at) - place(j)).pow(2);
        let mut from = 0;
        while let Some(&(last, start)) = hull.last() {
            if value(last, start) > raised + (place(start) - place(i)).pow(2) {
                hull.pop();
                continue;
            }
            from = first_win((place(last), square(last).unwrap_or(0)), (place(i), raised), i128::from(step));
            break;
        }
        if from < heights.len() {
            hull.push((i, from));
        }
    }
    let mut winner = hull.iter().peekable();
    let mut now = None;
    let least = |at: usize| {
        while let Some(&&(i, _)) = winner.peek().filter(|(_, from)| *from <= at) {
            now = Some(i);
            winner.next();
        }
        now.map(|i: usize| (square(i).unwrap_or(0) + (place(at) - place(i)).pow(2)) as u64)
    };
    (0..heights.len()).map(least).collect()
}

/// The first cell at which the parabola at `b` is lower than the one at `a`, left of it.
fn first_win((a, raised_a): (i128, i128), (b, raised_b): (i128, i128), step: i128) -> usize {
    // They meet where 2 x (b - a) = b² + raised_b - a² - raised_a; strictly lower comes after.
    let meets = (b * b + raised_b - a * a - raised_a).div_euclid(2 * (b - a));
    usize::try_from(meets.div_euclid(step) + 1).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    const PICTURE: [&str; 5] = ["01111", "00111", "01111", "01110", "01100"];

    fn distances(step: (u32, u32)) -> Vec<f64> {
        let taken: Vec<bool> = PICTURE.iter().flat_map(|row| row.chars().map(|c| c == '0')).collect();
        Room::between(&taken, 5, step).squares().iter().map(|s| (s.unwrap() as f64).sqrt()).collect()
    }

    fn close(found: &[f64], published: &str) {
        let published: Vec<f64> = published.split_whitespace().map(|number| number.parse().unwrap()).collect();
        assert!(found.iter().zip(&published).all(|(f, p)| (f - p).abs() < 5e-5), "{found:?}");
        assert_eq!(found.len(), published.len());
    }

    /// SciPy's documentation of `scipy.ndimage.distance_transform_edt`, its example (from memory).
    #[test]
    fn the_published_example() {
        close(
            &distances((1, 1)),
            "0 1 1.4142 2.2361 3
             0 0 1 2 2
             0 1 1.4142 1.4142 1
             0 1 1.4142 1 0
             0 1 1 0 0",
        );
    }

    /// The same with `sampling=[2, 1]`: rows lie twice as far apart as cells in a row.
    #[test]
    fn the_published_example_with_long_cells() {
        close(
            &distances((1, 2)),
            "0 1 2 2.8284 3.6056
             0 0 1 2 3
             0 1 2 2.2361 2
             0 1 2 1 0
             0 1 1 0 0",
        );
    }

    #[test]
    fn nothing_taken_is_endless_and_nothing_at_all_is_nothing() {
        assert_eq!(Room::between(&[false; 6], 3, (1, 1)).squares(), [None; 6]);
        assert!(Room::between(&[], 0, (1, 1)).squares().is_empty());
        assert!(Room::between(&[false], 1, (1, 1)).metres(0, 0.1).is_infinite());
        assert_eq!(Room::between(&[true, false, false], 3, (1, 1)).metres(2, 0.5), 1.0);
    }
}
