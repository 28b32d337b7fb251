//! Which tool-chain builds for the device, and with what settings.
//!
//! In this order: the running tool-chain with the target installed; the running tool-chain with the library's source;
//! the system's own (`/usr/bin`) with the target; the system's own with the source. Nothing is installed here.

use std::env;
use std::ffi::OsString;
use std::fmt;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// The device's target.
pub const TARGET: &str = "thumbv7em-none-eabihf";
/// WebAssembly without a system, to prove that core needs none.
pub const WASM: &str = "wasm32-unknown-unknown";

/// No tool-chain builds for this target.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Missing(&'static str);

/// How to call cargo for the device.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Toolchain {
    target: &'static str,
    cargo: OsString,
    rustc: OsString,
    /// The core library is built from source, which a stable compiler does only when told twice.
    from_source: bool,
    /// Folder with `rust-lld`, to be found through the path.
    linker_folder: Option<PathBuf>,
    /// A linker by name, where there is no `rust-lld`.
    linker: Option<&'static str>,
}

/// What a compiler has for the device.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Has {
    Target,
    Source,
}

impl Toolchain {
    /// The first tool-chain that can build for the device.
    ///
    /// # Errors
    /// [`Missing`], whose text says what to install.
    pub fn find() -> Result<Self, Missing> {
        Self::find_for(TARGET)
    }

    /// The first tool-chain that can build for `target`.
    ///
    /// # Errors
    /// [`Missing`], whose text says what to install.
    pub fn find_for(target: &'static str) -> Result<Self, Missing> {
        let running = || env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
        let compiler = || env::var_os("RUSTC").unwrap_or_else(|| "rustc".into());
        let system = (OsString::from("/usr/bin/cargo"), OsString::from("/usr/bin/rustc"));
        let all = [(running(), compiler()), system];
        all.into_iter().find_map(|(cargo, rustc)| Self::of(target, cargo, rustc)).ok_or(Missing(target))
    }

    fn of(target: &'static str, cargo: OsString, rustc: OsString) -> Option<Self> {
        let has = what(target, &rustc)?;
        let own = sysroot(&rustc).is_some_and(|root| host_tools(&root).is_some());
        let lent = sysroot(&"rustc".into()).and_then(|root| host_tools(&root)).filter(|_| !own);
        let linker = if own || lent.is_some() { None } else { Some(installed_linker(target)?) };
        Some(Self { target, cargo, rustc, from_source: has == Has::Source, linker_folder: lent, linker })
    }

    /// A cargo command that builds for the target.
    pub fn build(&self) -> Command {
        let mut command = Command::new(&self.cargo);
        // The libraries of the tool-chain that runs this are not those of the one that is called.
        command.arg("build").args(["--target", self.target]).env_remove("LD_LIBRARY_PATH").env("RUSTC", &self.rustc);
        command.env_remove("RUSTFLAGS").env_remove("CARGO_ENCODED_RUSTFLAGS");
        if self.from_source {
            command.arg("-Zbuild-std=core").env("RUSTC_BOOTSTRAP", "1");
        }
        if let Some(folder) = &self.linker_folder {
            let path = env::var_os("PATH").unwrap_or_default();
            let folders = env::split_paths(&path).chain([folder.clone()]);
            command.env("PATH", env::join_paths(folders).unwrap_or(path.clone()));
        }
        if let Some(linker) = self.linker {
            let variable = self.target.to_uppercase().replace('-', "_");
            command.env(format!("CARGO_TARGET_{variable}_LINKER"), linker);
        }
        command
    }
}

fn what(target: &str, rustc: &OsString) -> Option<Has> {
    let libraries = output(Command::new(rustc).args(["--print", "target-libdir", "--target", target]))?;
    // The compiler prints the folder whether or not it is there.
    let installed = fs::read_dir(libraries).ok().is_some_and(|folder| {
        folder.flatten().any(|file| {
            let name = file.file_name();
            name.to_string_lossy().starts_with("libcore-") && name.to_string_lossy().ends_with(".rlib")
        })
    });
    if installed {
        return Some(Has::Target);
    }
    sysroot(rustc)?.join("lib/rustlib/src/rust/library/core").is_dir().then_some(Has::Source)
}

fn sysroot(rustc: &OsString) -> Option<PathBuf> {
    output(Command::new(rustc).args(["--print", "sysroot"])).map(PathBuf::from)
}

/// The folder of a sysroot that holds `rust-lld`.
fn host_tools(sysroot: &Path) -> Option<PathBuf> {
    let targets = fs::read_dir(sysroot.join("lib/rustlib")).ok()?;
    targets.flatten().map(|target| target.path().join("bin")).find(|bin| bin.join("rust-lld").is_file())
}

fn installed_linker(target: &str) -> Option<&'static str> {
    let names: &[&str] = if target == WASM { &["wasm-ld"] } else { &["ld.lld", "arm-none-eabi-ld"] };
    names.iter().copied().find(|name| output(Command::new(name).arg("--version")).is_some())
}

fn output(command: &mut Command) -> Option<String> {
    let output = command.env_remove("LD_LIBRARY_PATH").output().ok().filter(|o| o.status.success())?;
    Some(String::from_utf8_lossy(&output.stdout).trim().to_owned())
}

impl fmt::Display for Missing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "no tool-chain here builds for {0}. Either run `rustup target add {0}`, or on Debian install rustc-web, \
             cargo-web, rust-web-src and lld",
            self.0
        )
    }
}

impl std::error::Error for Missing {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_missing_is_said_with_its_remedy() {
        let text = Missing(TARGET).to_string();
        assert!(text.contains("rustup target add thumbv7em-none-eabihf") && text.contains("rust-web-src"));
    }

    #[test]
    fn a_compiler_that_is_not_there_has_nothing() {
        assert_eq!(what(TARGET, &"/nowhere/rustc".into()), None);
        assert_eq!(Toolchain::of(TARGET, "/nowhere/cargo".into(), "/nowhere/rustc".into()), None);
    }
}
