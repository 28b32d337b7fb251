//! The box's images, built once for each test run.

use std::path::PathBuf;
use std::process::Stdio;
use std::sync::OnceLock;

use super::emulator::Board;
use super::toolchain::{TARGET, Toolchain};

/// Which program.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Image {
    /// The box itself.
    Box,
    /// The test rig.
    Rig,
}

/// How it is compiled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Profile {
    /// As it is shipped.
    Release,
    /// Hardly optimised, with all checks.
    Debug,
}

impl Profile {
    const fn name(self) -> &'static str {
        match self {
            Self::Release => "fw-release",
            Self::Debug => "fw-debug",
        }
    }
}

static RELEASE: OnceLock<PathBuf> = OnceLock::new();
static DEBUG: OnceLock<PathBuf> = OnceLock::new();

/// The path of an image's ELF file, after building all images of its profile.
///
/// # Panics
/// When no tool-chain builds for the box, or the images do not build: a test that cannot run has failed.
pub fn image(image: Image, board: Board, profile: Profile) -> PathBuf {
    let cell = match profile {
        Profile::Release => &RELEASE,
        Profile::Debug => &DEBUG,
    };
    let program = match image {
        Image::Box => "box",
        Image::Rig => "rig",
    };
    cell.get_or_init(|| build(profile)).join(format!("{program}_{}", board.name()))
}

/// Builds the images into a target folder of their own, which keeps two compilers from undoing each other's work.
fn build(profile: Profile) -> PathBuf {
    let root = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("..");
    let folder = root.join("target/fw");
    let toolchain = Toolchain::find().unwrap_or_else(|missing| panic!("{missing}"));
    let mut command = toolchain.build();
    command.current_dir(&root).args(["--locked", "--package", "underfoot-firmware", "--profile", profile.name()]);
    command.arg("--target-dir").arg(&folder).env("DEFMT_LOG", "debug").stdin(Stdio::null());
    let output = command.output().expect("cargo runs");
    assert!(output.status.success(), "the box's images do not build:\n{}", String::from_utf8_lossy(&output.stderr));
    folder.join(TARGET).join(profile.name())
}
