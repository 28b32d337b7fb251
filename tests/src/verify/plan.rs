//! What is run, in an order that builds nothing twice.

use std::env;
use std::ffi::OsString;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use super::Step;
use crate::device::toolchain::{TARGET, Toolchain};

/// Settings and target folders here are those of `device::images` and `wasm_module`, so that the tests that need
/// what is built here find it ready.
pub fn steps() -> Vec<Step> {
    vec![
        Step::new("format", cargo(&["fmt", "--all", "--check"])),
        Step::new("lints", cargo(&["clippy", "--workspace", "--all-targets", "--locked", "--", "-D", "warnings"])),
        fuzz_targets(),
        cross("core alone builds for Cortex-M", TARGET, &["--package", "underfoot-core", "--profile", "fw-release"]),
        cross("firmware builds for Cortex-M", TARGET, &["--package", "underfoot-firmware", "--profile", "fw-release"]),
        Step { name: "core builds for wasm32", command: crate::wasm_module::build_command(), has_tests: false },
        Step::tests("tests", cargo(&["test", "--workspace", "--locked", "--no-fail-fast"])),
    ]
}

/// The workspace's root.
pub fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// A cargo command in the workspace's root, by the cargo that started this program.
fn cargo(arguments: &[&str]) -> Command {
    let program = env::var_os("CARGO").unwrap_or_else(|| OsString::from("cargo"));
    let mut command = Command::new(program);
    command.current_dir(root()).args(arguments).env("CARGO_TERM_COLOR", "never");
    command
}

/// The fuzz targets compile; their bodies run in the tests. Without libFuzzer, which needs a C++ compiler.
fn fuzz_targets() -> Step {
    let manifest = "tests/fuzz/Cargo.toml";
    let command = copy_lock(Path::new("tests/fuzz")).map(|()| {
        cargo(&[
            "clippy",
            "--manifest-path",
            manifest,
            "--no-default-features",
            "--target-dir",
            "target",
            "--",
            "-D",
            "warnings",
        ])
    });
    Step { name: "fuzz targets compile", command, has_tests: false }
}

/// Gives a package outside the workspace the workspace's versions.
///
/// # Errors
/// Says what could not be copied.
pub fn copy_lock(package: &Path) -> Result<(), String> {
    let (from, to) = (root().join("Cargo.lock"), root().join(package).join("Cargo.lock"));
    fs::copy(&from, &to).map(drop).map_err(|e| format!("cannot copy {} to {}: {e}", from.display(), to.display()))
}

fn cross(name: &'static str, target: &'static str, arguments: &[&str]) -> Step {
    let command = Toolchain::find_for(target).map_err(|missing| missing.to_string()).map(|toolchain| {
        let mut command = toolchain.build();
        command.current_dir(root()).arg("--locked").args(arguments).args(["--target-dir", "target/fw"]);
        command.env("DEFMT_LOG", "debug").env("CARGO_TERM_COLOR", "never");
        command
    });
    Step { name, command, has_tests: false }
}
