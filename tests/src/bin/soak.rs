//! Eight hours of a box's day in simulated time; prints a row an hour. It takes some minutes, fewer with
//! `--release`.

use std::process::ExitCode;

use underfoot_core::units::{Duration, Instant};
use underfoot_tests::soak::heap::Counting;
use underfoot_tests::soak::tally::{HEADING, breaches, grew};
use underfoot_tests::soak::{Course, run};

#[global_allocator]
static HEAP: Counting = Counting;

fn main() -> ExitCode {
    let course =
        Course { from: Instant::from_micros(137), hours: 8, hour: Duration::from_millis(3_600_000), seed: 0x50AC };
    println!("{HEADING}");
    let mut number = 0;
    let hours = run(&course, &mut |hour| {
        number += 1;
        println!("{number:>4} | {hour}");
    });
    let mut found = match &hours {
        Ok(hours) => breaches(hours),
        Err(why) => vec![why.clone()],
    };
    if hours.is_ok_and(|hours| grew(&hours)) {
        found.push("the program grew".to_owned());
    }
    found.iter().for_each(|what| println!("{what}"));
    if found.is_empty() { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}
