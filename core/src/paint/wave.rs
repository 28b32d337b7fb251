//! Unit circle points from one table, so that every platform flattens an ellipse into the same polygon.

/// Steps of a whole turn that the table resolves: a number with many divisors.
pub(super) const TURN: u16 = 3840;
const QUARTER: u16 = TURN / 4;
const SIZE: usize = QUARTER as usize + 1;

/// Divisors of [`TURN`] that serve as numbers of vertices.
const DIVISIONS: [u16; 23] =
    [16, 20, 24, 30, 32, 40, 48, 60, 64, 80, 96, 120, 128, 160, 192, 240, 320, 384, 480, 640, 960, 1920, TURN];

/// Sines of the first quarter turn, both ends included.
static SINES: [f32; SIZE] = sines();

#[allow(clippy::indexing_slicing, reason = "evaluated when compiling; const code has no get_mut")]
const fn sines() -> [f32; SIZE] {
    let mut table = [0.0; SIZE];
    let mut i = 0;
    while i < SIZE {
        table[i] = sine(core::f64::consts::FRAC_PI_2 * i as f64 / QUARTER as f64) as f32;
        i += 1;
    }
    table
}

/// Taylor series of the sine about 0: on 0..π/2 the first term left out is below 1e-17.
const fn sine(x: f64) -> f64 {
    let (mut term, mut sum, mut k) = (x, x, 1.0);
    while k < 21.0 {
        term *= -x * x / ((k + 1.0) * (k + 2.0));
        sum += term;
        k += 2.0;
    }
    sum
}

/// The smallest usable number of vertices that is at least `wanted`, or all of [`TURN`].
pub(super) fn division(wanted: f32) -> u16 {
    DIVISIONS.iter().copied().find(|&n| f32::from(n) >= wanted).unwrap_or(TURN)
}

/// Cosine and sine of `step / TURN` of a whole turn; `step` is below [`TURN`].
#[inline]
pub(super) fn cos_sin(step: u16) -> (f32, f32) {
    let (quadrant, i) = match step {
        0..QUARTER => (0, step),
        QUARTER..1920 => (1, step - QUARTER),
        1920..2880 => (2, step - 2 * QUARTER),
        _ => (3, step - 3 * QUARTER),
    };
    let rising = SINES.get(usize::from(i)).copied().unwrap_or(0.0);
    let falling = SINES.get(usize::from(QUARTER.wrapping_sub(i))).copied().unwrap_or(0.0);
    match quadrant {
        0 => (falling, rising),
        1 => (-rising, falling),
        2 => (-falling, -rising),
        _ => (rising, -falling),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn table_agrees_with_the_standard_library() {
        for step in 0..TURN {
            let angle = f64::from(step) / f64::from(TURN) * core::f64::consts::TAU;
            let (cos, sin) = cos_sin(step);
            assert!((f64::from(cos) - angle.cos()).abs() < 1e-7, "step {step}");
            assert!((f64::from(sin) - angle.sin()).abs() < 1e-7, "step {step}");
        }
    }

    #[test]
    fn divisions_divide_and_rise() {
        assert!(DIVISIONS.iter().all(|&n| TURN.is_multiple_of(n)));
        assert!(DIVISIONS.is_sorted());
        assert_eq!((division(0.0), division(48.1), division(1e9)), (16, 60, TURN));
    }
}
