//! One step: a command with a name that people can read.

use std::fs::{self, File};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use super::Tally;

/// Something to run that passes or fails.
#[derive(Debug)]
pub struct Step {
    /// What it proves, in a few words.
    pub name: &'static str,
    /// The command, or what to install when there is none.
    pub command: Result<Command, String>,
    /// True when its output holds test results, and none at all is a failure.
    pub has_tests: bool,
}

/// How a step ended.
#[derive(Debug)]
pub struct Outcome {
    /// True when the command ended well and, where tests were due, some were run and none failed.
    pub passed: bool,
    /// Tests it ran; zero for a step that runs none.
    pub tests: Tally,
    /// Its whole output, errors included.
    pub output: String,
    /// How long it took.
    pub took: Duration,
}

impl Step {
    /// A step that runs `command`.
    pub const fn new(name: &'static str, command: Command) -> Self {
        Self { name, command: Ok(command), has_tests: false }
    }

    /// A step that runs `command` and counts the tests it reports.
    pub const fn tests(name: &'static str, command: Command) -> Self {
        Self { name, command: Ok(command), has_tests: true }
    }

    /// Runs the step with its output in a file of `folder`, and no input.
    pub fn run(self, folder: &Path) -> Outcome {
        let start = Instant::now();
        let (ended_well, output) = match self.command {
            Ok(command) => run(command, &folder.join(file_name(self.name))).unwrap_or_else(|e| (false, e)),
            Err(remedy) => (false, remedy),
        };
        let tests = if self.has_tests { Tally::of_output(&output) } else { Tally::default() };
        let tested = !self.has_tests || (tests.passed > 0 && tests.failed == 0);
        Outcome { passed: ended_well && tested, tests, output, took: start.elapsed() }
    }
}

fn file_name(step: &str) -> String {
    let mut name: String = step.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect();
    name.push_str(".log");
    name
}

fn run(mut command: Command, log: &Path) -> Result<(bool, String), String> {
    let file = File::create(log).map_err(|e| format!("cannot write {}: {e}", log.display()))?;
    let errors = file.try_clone().map_err(|e| format!("cannot write {}: {e}", log.display()))?;
    command.stdin(Stdio::null()).stdout(file).stderr(errors);
    let ended = command.status().map_err(|e| format!("cannot start {:?}: {e}", command.get_program()))?;
    let output = fs::read(log).map_err(|e| format!("cannot read {}: {e}", log.display()))?;
    Ok((ended.success(), String::from_utf8_lossy(&output).into_owned()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shell(script: &str) -> Command {
        let mut command = Command::new("sh");
        command.args(["-c", script]);
        command
    }

    fn folder() -> std::path::PathBuf {
        let folder = std::env::temp_dir().join(format!("underfoot-verify-{}", std::process::id()));
        fs::create_dir_all(&folder).unwrap();
        folder
    }

    #[test]
    fn a_failing_command_fails_with_its_output() {
        let outcome = Step::new("fails", shell("echo why; echo and >&2; exit 3")).run(&folder());
        assert!(!outcome.passed);
        assert_eq!(outcome.output, "why\nand\n");
    }

    #[test]
    fn a_missing_program_or_tool_fails_with_a_remedy() {
        assert!(!Step::new("none", Command::new("/no/such/program")).run(&folder()).passed);
        let missing = Step { name: "tool", command: Err("install it".into()), has_tests: false };
        let outcome = missing.run(&folder());
        assert_eq!((outcome.passed, outcome.output.as_str()), (false, "install it"));
    }

    #[test]
    fn tests_must_be_run_and_none_may_fail() {
        let line =
            |passed: u8, failed: u8| shell(&format!("echo 'test result: ok. {passed} passed; {failed} failed; 0'"));
        assert!(Step::tests("some", line(2, 0)).run(&folder()).passed);
        assert!(!Step::tests("no-tests", line(0, 0)).run(&folder()).passed);
        assert!(!Step::tests("one-bad", line(2, 1)).run(&folder()).passed);
    }
}
