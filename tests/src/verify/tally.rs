//! Counting tests and steps.

/// What passed and what failed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Tally {
    /// Tests and steps that passed.
    pub passed: u64,
    /// Tests and steps that failed.
    pub failed: u64,
}

impl Tally {
    /// One more step, passed or not.
    pub const fn step(&mut self, passed: bool) {
        if passed {
            self.passed += 1;
        } else {
            self.failed += 1;
        }
    }

    /// Adds another count.
    pub const fn add(&mut self, other: Self) {
        self.passed += other.passed;
        self.failed += other.failed;
    }

    /// Sums every `test result:` line of the standard test runner.
    pub fn of_output(output: &str) -> Self {
        let mut tally = Self::default();
        for line in output.lines().filter_map(|line| line.trim().strip_prefix("test result: ")) {
            tally.passed += number_before(line, " passed");
            tally.failed += number_before(line, " failed");
        }
        tally
    }
}

impl core::fmt::Display for Tally {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{} passed, {} failed", self.passed, self.failed)
    }
}

fn number_before(line: &str, word: &str) -> u64 {
    let Some(end) = line.find(word) else { return 0 };
    let digits = line[..end].rsplit(|c: char| !c.is_ascii_digit()).next();
    digits.and_then(|d| d.parse().ok()).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_of_all_test_binaries_are_summed() {
        let output = "running 8 tests\ntest a ... ok\n\
            test result: ok. 8 passed; 0 failed; 1 ignored; 0 measured; 0 filtered out; finished in 0.00s\n\
            test result: FAILED. 12 passed; 3 failed; 0 ignored; 0 measured; 0 filtered out; finished in 1.20s\n";
        assert_eq!(Tally::of_output(output), Tally { passed: 20, failed: 3 });
        assert_eq!(Tally::of_output("error: could not compile"), Tally::default());
    }

    #[test]
    fn the_closing_line_is_plain() {
        let mut tally = Tally { passed: 20, failed: 0 };
        tally.step(true);
        tally.step(false);
        assert_eq!(tally.to_string(), "21 passed, 1 failed");
    }
}
