//! What is run, in an order that builds nothing twice.

use std::env;
use std::ffi::OsString;
use std::path::PathBuf;
use std::process::Command;

use super::Step;

/// The workspace's root.
pub fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// Every step, cheap ones first.
pub fn steps() -> Vec<Step> {
    vec![
        Step::new("format", cargo(&["fmt", "--all", "--check"])),
        Step::new("lints", cargo(&["clippy", "--workspace", "--all-targets", "--locked", "--", "-D", "warnings"])),
        Step::tests("tests", cargo(&["test", "--workspace", "--locked", "--no-fail-fast"])),
    ]
}

/// A cargo command in the workspace's root, by the cargo that started this program.
fn cargo(arguments: &[&str]) -> Command {
    let program = env::var_os("CARGO").unwrap_or_else(|| OsString::from("cargo"));
    let mut command = Command::new(program);
    command.current_dir(root()).args(arguments).env("CARGO_TERM_COLOR", "never");
    command
}
