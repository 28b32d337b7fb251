//! Unit circle points from one table, so that every platform flattens an ellipse into the same polygon.

/// Steps of a whole turn that the table resolves.
pub(super) const TURN: u32 = 4096;
const QUARTER: usize = (TURN / 4) as usize;

/// Sines of the first quarter turn, both ends included.
static SINES: [f32; QUARTER + 1] = sines();

#[allow(clippy::indexing_slicing, reason = "evaluated when compiling; const code has no get_mut")]
const fn sines() -> [f32; QUARTER + 1] {
    let mut table = [0.0; QUARTER + 1];
    let mut i = 0;
    while i <= QUARTER {
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

/// Cosine and sine of `step / TURN` of a whole turn; `step` may be any number.
pub(super) fn cos_sin(step: u32) -> (f32, f32) {
    let step = step % TURN;
    let (quadrant, i) = ((step / QUARTER as u32) % 4, (step as usize) % QUARTER);
    let rising = SINES.get(i).copied().unwrap_or(0.0);
    let falling = SINES.get(QUARTER - i).copied().unwrap_or(0.0);
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
}
