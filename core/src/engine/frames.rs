//! The show's frames, counted from the start of a cue: nothing on the floor changes more often.

use crate::show::FrameRate;
use crate::units::Duration;

const SECOND_US: u64 = Duration::from_millis(1_000).as_micros();

/// When the frame began that is on after `passed`; at rates that no show has, `passed` itself.
pub(super) fn begun(rate: FrameRate, passed: Duration) -> Duration {
    let (num, passed_us) = (u64::from(rate.num), passed.as_micros());
    // So many microseconds hold a whole number of frames: `num`.
    let block_us = SECOND_US * u64::from(rate.den);
    let rest_us = passed_us.checked_rem(block_us).unwrap_or(0);
    let frame = rest_us.checked_mul(num).and_then(|n| n.checked_div(block_us));
    let begun_us = frame.and_then(|n| n.checked_mul(block_us)).and_then(|n| n.checked_add(num.saturating_sub(1)));
    // Rounded up, so that a frame's own beginning lies in it.
    let begun_us = begun_us.and_then(|n| n.checked_div(num));
    Duration::from_micros(begun_us.map_or(passed_us, |begun_us| passed_us - rest_us + begun_us))
}

/// Whole frames in `span`.
pub(super) fn within(rate: FrameRate, span: Duration) -> u32 {
    let frames = span.as_micros().saturating_mul(rate.num.into()).checked_div(SECOND_US * u64::from(rate.den));
    frames.and_then(|n| n.try_into().ok()).unwrap_or(u32::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_frame_begins_where_the_one_before_ends() {
        for (num, den) in [(24, 1), (25, 1), (50, 1), (24_000, 1001), (30_000, 1001), (60_000, 1001)] {
            let rate = FrameRate { num, den };
            let second = (0..1_000_000).step_by(13).map(|us| Duration::from_micros(7_777_000_000 + us));
            let mut begins: std::vec::Vec<_> = second.map(|passed| begun(rate, passed)).collect();
            assert!(begins.is_sorted());
            begins.dedup();
            let due = f64::from(num) / f64::from(den);
            assert!((begins.len() as f64 - due).abs() <= 1.5, "{rate:?}: {} frames", begins.len());
            assert!(begins.iter().all(|&b| begun(rate, b) == b), "a frame's beginning is in it");
            assert!((f64::from(within(rate, Duration::from_millis(10_000))) - due * 10.0).abs() <= 1.0);
        }
    }
}
