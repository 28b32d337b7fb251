//! The `underfoot` command.

use std::io::{stderr, stdout};
use std::process::ExitCode;

use underfoot_sim::cli::{Output, run};

fn main() -> ExitCode {
    run(std::env::args_os(), &mut Output::new(&mut stdout(), &mut stderr())).into()
}
