//! A real browser for tests of the rehearse page: `tests/browser/` drives it.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::mpsc;
use std::{io, thread};

use underfoot_sim::cli::{self, Output};

/// Browsers that the tests may use, the first that is there.
const BROWSERS: [&str; 3] = ["/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"];

/// Opens `underfoot rehearse` with these arguments on a free port, and returns the addresses that it prints: one, or
/// three with `--share`. It runs until the test's process ends.
///
/// # Panics
/// When it does not start; its own words are in the message.
pub fn rehearse(arguments: &[&str], addresses: usize) -> Vec<String> {
    let mut all: Vec<String> = ["underfoot", "rehearse"].map(str::to_owned).into();
    all.extend(arguments.iter().map(|&argument| argument.to_owned()));
    all.extend(["--port", "0"].map(str::to_owned));
    let (line, lines) = mpsc::channel();
    thread::spawn(move || {
        let (mut data, mut talk) = (Lines(line.clone()), Vec::new());
        cli::run(all, &mut Output::new(&mut data, &mut talk));
        // Only a page that could not be opened ends.
        let _ = line.send(String::from_utf8_lossy(&talk).into_owned());
    });
    let mut told = String::new();
    while told.lines().count() < addresses {
        told.push_str(&lines.recv().unwrap_or_else(|_| panic!("the page does not open: {told}")));
        assert!(told.starts_with("http://"), "the page does not open: {told}");
    }
    told.lines().map(str::to_owned).collect()
}

struct Lines(mpsc::Sender<String>);

impl io::Write for Lines {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let text = String::from_utf8_lossy(bytes).into_owned();
        self.0.send(text).map_err(io::Error::other).map(|()| bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

/// Runs a script of `tests/browser/` with these arguments, and returns what it prints; its words are shown when it fails.
///
/// # Panics
/// When it fails, and when Node, its modules or a browser are missing: a test that cannot run has failed.
pub fn drive(script: &str, arguments: &[&str]) -> String {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("browser");
    assert!(
        folder.join("node_modules/playwright-core").is_dir(),
        "the modules that drive the browser are missing: run `npm ci` in tests/browser"
    );
    let mut node = Command::new("node");
    let run = node.current_dir(&folder).arg(script).args(arguments).env("BROWSER", browser()).output();
    let run = run.unwrap_or_else(|e| panic!("node does not start ({e}): on Debian install nodejs"));
    let [printed, faults] = [run.stdout, run.stderr].map(|words| String::from_utf8_lossy(&words).into_owned());
    assert!(run.status.success(), "{script}:\n{printed}{faults}");
    printed
}

fn browser() -> PathBuf {
    let named = std::env::var_os("CHROMIUM").map(PathBuf::from);
    let mut known = named.into_iter().chain(BROWSERS.map(PathBuf::from));
    known.find(|path| path.is_file()).unwrap_or_else(|| {
        panic!("no browser for the tests of the page: on Debian install chromium, or set CHROMIUM to where it is")
    })
}
