//! The one test command: runs every check of the workspace and counts.
//!
//! Progress and failures go to stderr and stdout as they come; the last line is `N passed, M failed`,
//! tests and steps together. The exit code is 0 when nothing failed and 1 otherwise.

use std::fs;
use std::process::ExitCode;

use underfoot_tests::verify::{Tally, plan, steps};

fn main() -> ExitCode {
    let logs = plan::root().join("target/verify");
    if let Err(error) = fs::create_dir_all(&logs) {
        println!("cannot make {}: {error}\n0 passed, 1 failed", logs.display());
        return ExitCode::FAILURE;
    }
    let steps = steps();
    let (count, mut tally) = (steps.len(), Tally::default());
    for (index, step) in steps.into_iter().enumerate() {
        let name = step.name;
        println!("[{}/{count}] {name} ...", index + 1);
        let outcome = step.run(&logs);
        tally.add(outcome.tests);
        tally.step(outcome.passed);
        let seconds = outcome.took.as_secs_f64();
        if outcome.passed {
            println!("[{}/{count}] {name}: ok in {seconds:.1} s{}", index + 1, tested(outcome.tests));
        } else {
            println!("{}\n[{}/{count}] {name}: FAILED after {seconds:.1} s", outcome.output.trim_end(), index + 1);
        }
    }
    println!("{tally}");
    if tally.failed == 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

fn tested(tests: Tally) -> String {
    if tests == Tally::default() { String::new() } else { format!(", {} tests", tests.passed) }
}
