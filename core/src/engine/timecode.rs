//! Timecode as a count of frames since midnight, and back.
//!
//! 24, 25 and 30 frames a second number every frame. At 30000/1001 the first two numbers of each minute but the tenth
//! are left out, so that the numbers keep up with the clock (SMPTE ST 12-1, drop-frame counting); at 60000/1001 the
//! first four.

use crate::show::{FrameRate, Timecode};

/// Numbers of frames in one second.
pub const fn per_second(rate: FrameRate) -> u32 {
    if rate.den == 0 { 0 } else { rate.num.div_ceil(rate.den) }
}

/// Numbers that are left out at the start of nine minutes of ten.
const fn left_out(rate: FrameRate) -> u32 {
    if rate.den == 1001 && rate.num.is_multiple_of(30_000) { rate.num / 15_000 } else { 0 }
}

/// Frames since 00:00:00:00; `None` for numbers that the rate does not have.
pub fn count(rate: FrameRate, code: Timecode) -> Option<u32> {
    let (fps, out) = (per_second(rate), left_out(rate));
    let Timecode { hours, minutes, seconds, frames } = code;
    let is_left_out = u32::from(frames) < out && seconds == 0 && !minutes.is_multiple_of(10);
    if hours >= 24 || minutes >= 60 || seconds >= 60 || u32::from(frames) >= fps || is_left_out {
        return None;
    }
    let all_minutes = u32::from(hours) * 60 + u32::from(minutes);
    let numbers = (all_minutes * 60 + u32::from(seconds)).checked_mul(fps)? + u32::from(frames);
    Some(numbers - out * (all_minutes - all_minutes / 10))
}

/// The timecode of a frame counted from 00:00:00:00; `None` beyond the day and for rates that have no timecode.
pub fn of_count(rate: FrameRate, count: u32) -> Option<Timecode> {
    let (fps, out) = (per_second(rate), left_out(rate));
    let minute = fps.checked_mul(60)? - out;
    let tenth = (minute * 10).checked_add(out)?;
    // The first minute of ten has all its numbers, the other nine are `out` frames shorter.
    let (tens, rest) = (count.checked_div(tenth)?, count.checked_rem(tenth)?);
    let within = if rest < minute + out { 0 } else { (rest - out).checked_div(minute)? };
    let numbers = count.checked_add(out.checked_mul(tens * 9 + within)?)?;
    let (seconds, frames) = (numbers / fps, numbers % fps);
    let part = |n: u32| u8::try_from(n).ok();
    let hours = part(seconds / 3600).filter(|&h| h < 24)?;
    Some(Timecode { hours, minutes: part(seconds / 60 % 60)?, seconds: part(seconds % 60)?, frames: part(frames)? })
}
