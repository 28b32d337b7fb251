//! Minutes of the soak, across every place where a counter of time could go round. The whole eight hours are
//! `cargo run -p underfoot-tests --bin soak`; code and bounds are the same.

use underfoot_core::device::Device;
use underfoot_core::units::{Duration, Instant};
use underfoot_tests::soak::heap::{Counting, heap};
use underfoot_tests::soak::ports::Soaked;
use underfoot_tests::soak::tally::{HEADING, breaches};
use underfoot_tests::soak::{Course, run};

#[global_allocator]
static HEAP: Counting = Counting;

const MINUTE: u64 = 60_000_000;
/// Long enough for GO in every row.
const PART: Duration = Duration::from_micros(MINUTE * 5 / 4);

/// Soaks a box whose clock says `from_us` at power-up.
fn soak(from_us: u64, parts: usize, seed: u64) {
    let course = Course { from: Instant::from_micros(from_us), hours: parts, hour: PART, seed };
    let hours = run(&course, &mut |_| {}).unwrap_or_else(|why| panic!("{why}"));
    println!("{HEADING}");
    (1..).zip(&hours).for_each(|(i, hour)| println!("{i:>4} | {hour}"));
    assert!(heap().made > 0, "the heap is not counted");
    assert_eq!(breaches(&hours), Vec::<String>::new());
}

/// Two parts with this moment between them.
fn across(at_us: u64, seed: u64) {
    soak(at_us - PART.as_micros(), 2, seed);
}

#[test]
fn from_power_up() {
    soak(137, 2, 1);
}

/// After 71.6 minutes, and by the box's own time, which has begun a day earlier, after 63.2.
#[test]
fn across_both_ends_of_32_bits_of_microseconds() {
    let power = Device::<Soaked>::time(Instant::ZERO).as_micros();
    let end = power.next_multiple_of(1 << 32) - power;
    assert!(end < 64 * MINUTE);
    across(end, 2);
    across(1 << 32, 7);
}

#[test]
fn across_the_sign_of_32_bits_of_microseconds() {
    across(1 << 31, 3);
}

/// From here on a float of 32 bits no longer holds every millisecond.
#[test]
fn across_24_bits_of_milliseconds() {
    across(1_000 << 24, 4);
}

/// After 24.9 and 49.7 days.
#[test]
fn across_31_and_32_bits_of_milliseconds() {
    across(1_000 << 31, 5);
    across(1_000 << 32, 6);
}
