//! Eigenvalues and eigenvectors of a symmetric 4 × 4 matrix.

/// A symmetric matrix by rows.
pub(super) type Symmetric4 = [[f32; 4]; 4];

/// One eigenvalue and its unit vector.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pair {
    pub(super) value: f32,
    pub(super) vector: [f32; 4],
}

/// Sweeps over all six off-diagonal places; quadratic convergence needs about five.
const SWEEPS: usize = 12;
const PLACES: [(usize, usize); 6] = [(0, 1), (0, 2), (0, 3), (1, 2), (1, 3), (2, 3)];

/// All four pairs, largest value first (cyclic Jacobi rotations).
///
/// Values and vectors are good to a few roundings of the largest value; the vectors are orthogonal even
/// where values coincide, which is why this method and not a cheaper one.
pub(super) fn eigen4(matrix: Symmetric4) -> [Pair; 4] {
    let mut a = matrix;
    let mut v: Symmetric4 = [[1.0, 0.0, 0.0, 0.0], [0.0, 1.0, 0.0, 0.0], [0.0, 0.0, 1.0, 0.0], [0.0, 0.0, 0.0, 1.0]];
    for _ in 0..SWEEPS {
        for (p, q) in PLACES {
            rotate(&mut a, &mut v, p, q);
        }
    }
    let [r0, r1, r2, r3] = a;
    let values = [r0[0], r1[1], r2[2], r3[3]];
    let mut pairs = [0, 1, 2, 3].map(|i: usize| Pair {
        value: values.get(i).copied().unwrap_or(0.0),
        vector: v.map(|row| row.get(i).copied().unwrap_or(0.0)),
    });
    pairs.sort_unstable_by(|x, y| y.value.total_cmp(&x.value));
    pairs
}

/// Turns the plane of axes `p` and `q` so that their off-diagonal element vanishes.
#[allow(clippy::indexing_slicing, reason = "p and q come from PLACES, inside 4 × 4")]
fn rotate(a: &mut Symmetric4, v: &mut Symmetric4, p: usize, q: usize) {
    if a[p][q] == 0.0 {
        return;
    }
    let theta = (a[q][q] - a[p][p]) / (2.0 * a[p][q]);
    // The smaller root, in the form that does not cancel; an infinite theta gives no turn.
    let root = libm::fabsf(theta) + libm::sqrtf(theta * theta + 1.0);
    let t = if theta < 0.0 { -1.0 / root } else { 1.0 / root };
    let cos = 1.0 / libm::sqrtf(t * t + 1.0);
    let sin = t * cos;
    for row in a.iter_mut().chain(v.iter_mut()) {
        let (x, y) = (row[p], row[q]);
        row[p] = cos * x - sin * y;
        row[q] = sin * x + cos * y;
    }
    let (row_p, row_q) = (a[p], a[q]);
    a[p] = combine(cos, row_p, -sin, row_q);
    a[q] = combine(sin, row_p, cos, row_q);
    a[p][q] = 0.0;
    a[q][p] = 0.0;
}

fn combine(k: f32, [a0, a1, a2, a3]: [f32; 4], m: f32, [b0, b1, b2, b3]: [f32; 4]) -> [f32; 4] {
    [k * a0 + m * b0, k * a1 + m * b1, k * a2 + m * b2, k * a3 + m * b3]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_matrix_with_known_values() {
        // The 4 × 4 second-difference matrix: 2 - 2 cos(k pi / 5), a standard result.
        let m = [[2.0, -1.0, 0.0, 0.0], [-1.0, 2.0, -1.0, 0.0], [0.0, -1.0, 2.0, -1.0], [0.0, 0.0, -1.0, 2.0]];
        let found = eigen4(m);
        for (k, pair) in (1..=4).rev().zip(found) {
            let value = 2.0 - 2.0 * libm::cosf(core::f32::consts::PI * k as f32 / 5.0);
            assert!((pair.value - value).abs() < 2e-6, "{} {value}", pair.value);
            for (row, x) in m.iter().zip(pair.vector) {
                let product: f32 = row.iter().zip(pair.vector).map(|(a, b)| a * b).sum();
                assert!((product - pair.value * x).abs() < 3e-6);
            }
        }
    }

    #[test]
    fn equal_values_still_give_orthogonal_vectors() {
        let found = eigen4([[3.0, 1.0, 1.0, 1.0], [1.0, 3.0, 1.0, 1.0], [1.0, 1.0, 3.0, 1.0], [1.0, 1.0, 1.0, 3.0]]);
        assert!((found[0].value - 6.0).abs() < 2e-6 && (found[3].value - 2.0).abs() < 2e-6);
        for i in 0..4 {
            for j in 0..4 {
                let dot: f32 = found[i].vector.iter().zip(found[j].vector).map(|(a, b)| a * b).sum();
                assert!((dot - if i == j { 1.0 } else { 0.0 }).abs() < 1e-6);
            }
        }
    }
}
