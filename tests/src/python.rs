//! The Python of the tests, with the independent libraries that they ask.

use std::path::PathBuf;
use std::process::Command;

/// A command of a Python that has `module`: that of `target/python`, which the test run's script makes, or the system's.
///
/// # Panics
/// When neither has it: a test that cannot run has failed.
pub fn with(module: &str) -> Command {
    let own = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../target/python/bin/python3");
    let has = |python: &PathBuf| {
        let tried = Command::new(python).args(["-c", &format!("import {module}")]).output();
        tried.is_ok_and(|output| output.status.success())
    };
    let found = [own, PathBuf::from("python3")].into_iter().find(has);
    Command::new(found.unwrap_or_else(|| {
        panic!(
            "no Python with the module {module}: run .ci/run, or \
             `python3 -m venv target/python && target/python/bin/python3 -m pip install {module}`"
        )
    }))
}
