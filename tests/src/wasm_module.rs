//! Core as a WebAssembly module, and what it paints.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::device::toolchain::{Toolchain, WASM};
use crate::verify::plan::{copy_lock, root};

/// The command that builds the module of `tests/wasm`.
///
/// # Errors
/// Says what to install when no tool-chain builds for WebAssembly.
pub fn build_command() -> Result<Command, String> {
    let toolchain = Toolchain::find_for(WASM).map_err(|missing| missing.to_string())?;
    copy_lock(Path::new("tests/wasm"))?;
    let mut command = toolchain.build();
    command.current_dir(root()).args(["--release", "--manifest-path", "tests/wasm/Cargo.toml"]);
    command.args(["--target-dir", "target/wasm"]).env("CARGO_TERM_COLOR", "never");
    Ok(command)
}

/// Builds the module and returns its path.
///
/// # Panics
/// When there is no tool-chain for it, or it does not build: a test that cannot run has failed.
pub fn build() -> PathBuf {
    let output = build_command().unwrap_or_else(|remedy| panic!("{remedy}")).output().expect("cargo runs");
    assert!(output.status.success(), "the module does not build:\n{}", String::from_utf8_lossy(&output.stderr));
    root().join("target/wasm").join(WASM).join("release/underfoot_wasm.wasm")
}

/// One line for each view, each zone and each walk line of `cases` (see `tests/wasm/run.mjs`), in order.
///
/// # Panics
/// When Node.js is missing or the module fails.
pub fn answers(module: &Path, cases: &[u8]) -> Vec<String> {
    let file = root().join(format!("target/wasm/cases-{}-{:?}", std::process::id(), std::thread::current().id()));
    fs::write(&file, cases).expect("the target folder can be written");
    let mut node = Command::new("node");
    let output = node.arg(root().join("tests/wasm/run.mjs")).arg(module).arg(&file).output();
    let output = output.unwrap_or_else(|e| panic!("node does not start ({e}): on Debian install nodejs"));
    fs::remove_file(&file).expect("the cases were there");
    assert!(output.status.success(), "the module failed:\n{}", String::from_utf8_lossy(&output.stderr));
    let text = String::from_utf8(output.stdout).expect("the script writes plain text");
    text.lines().map(str::to_owned).collect()
}
