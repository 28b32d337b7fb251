//! Draws the kept pictures anew: the README's, and those that tests compare. Look at them before you commit.

use std::process::ExitCode;

use underfoot_tests::golden;

fn main() -> ExitCode {
    match golden::bless() {
        Ok(()) => {
            golden::all().iter().for_each(|g| println!("{}", g.path.display()));
            ExitCode::SUCCESS
        }
        Err(error) => {
            eprintln!("{error}");
            ExitCode::FAILURE
        }
    }
}
