//! Shrinking a grid of places, and connected pieces of it.
//!
//! Exact squared distances to the nearest place that is not good, by the lower envelope of parabolas (Felzenszwalb
//! and Huttenlocher 2012, from memory), column by column and then row by row.

/// Good places on a square grid.
#[derive(Clone, Debug)]
pub struct Erosion {
    /// Columns of the grid.
    pub columns: usize,
    /// Distance to the nearest bad place, in cells, row by row; 0 at bad places.
    pub distance: Vec<f64>,
}

/// Distances of a grid of `columns` to its nearest bad place; beyond the grid all is bad.
pub fn erode(good: &[bool], columns: usize) -> Erosion {
    let far = 1e12;
    let mut squares: Vec<f64> = good.iter().map(|&good| if good { far } else { 0.0 }).collect();
    let rows = good.len() / columns;
    for x in 0..columns {
        let line: Vec<f64> = (0..rows).map(|y| squares[y * columns + x]).collect();
        for (y, d) in envelope(&line).into_iter().enumerate() {
            squares[y * columns + x] = d;
        }
    }
    for row in squares.chunks_mut(columns) {
        let out = envelope(row);
        row.copy_from_slice(&out);
    }
    Erosion { columns, distance: squares.into_iter().map(f64::sqrt).collect() }
}

fn envelope(heights: &[f64]) -> Vec<f64> {
    let meet = |p: usize, q: usize| {
        let (a, b) = (p as f64, q as f64);
        ((heights[q] + b * b) - (heights[p] + a * a)) / (2.0 * (b - a))
    };
    // Parabolas of the envelope and where each begins.
    let mut hull: Vec<(usize, f64)> = vec![(0, f64::NEG_INFINITY)];
    for q in 1..heights.len() {
        while let Some(&(p, start)) = hull.last() {
            if meet(p, q) > start || hull.len() == 1 {
                break;
            }
            hull.pop();
        }
        let start = meet(hull[hull.len() - 1].0, q);
        hull.push((q, start));
    }
    let mut k = 0;
    (0..heights.len())
        .map(|x| {
            while k + 1 < hull.len() && hull[k + 1].1 < x as f64 {
                k += 1;
            }
            let p = hull[k].0;
            let off = x as f64 - p as f64;
            heights[p] + off * off
        })
        .collect()
}

impl Erosion {
    /// The connected piece of places at least `cells` from anything bad that holds `start`, row by row; empty when
    /// `start` is not such a place.
    pub fn piece(&self, cells: f64, start: usize) -> Vec<bool> {
        let mut piece = vec![false; self.distance.len()];
        let mut open = vec![start];
        while let Some(i) = open.pop() {
            if piece[i] || self.distance[i] < cells {
                continue;
            }
            piece[i] = true;
            let x = i % self.columns;
            open.extend(
                [(x > 0, i.wrapping_sub(1)), (x + 1 < self.columns, i + 1)].iter().filter(|n| n.0).map(|n| n.1),
            );
            open.extend([i.wrapping_sub(self.columns), i + self.columns].iter().filter(|&&n| n < piece.len()));
        }
        piece
    }
}
