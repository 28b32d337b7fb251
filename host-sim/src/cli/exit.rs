//! How the command ends. Scripts rely on these numbers.

use std::process::ExitCode;

/// The three ways to end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exit {
    /// It ran and no stop or fix finding is open.
    Fine,
    /// It ran and a stop or fix finding is open.
    Faults,
    /// It could not run: a file, an argument or a device is missing or wrong.
    CouldNotRun,
}

impl Exit {
    /// The number that the shell sees.
    pub const fn number(self) -> u8 {
        match self {
            Self::Fine => 0,
            Self::Faults => 1,
            Self::CouldNotRun => 2,
        }
    }
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> Self {
        Self::from(exit.number())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_numbers_are_fixed() {
        assert_eq!([Exit::Fine, Exit::Faults, Exit::CouldNotRun].map(Exit::number), [0, 1, 2]);
    }
}
