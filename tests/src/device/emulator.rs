//! One emulator run, always under a time limit.

use std::path::Path;
use std::process::{Child, Command, Stdio};

/// An emulated board.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Board {
    /// Arm MPS2 with AN386: Cortex-M4F.
    An386,
    /// Arm MPS2 with AN500: Cortex-M7.
    An500,
}

impl Board {
    /// Both boards.
    pub const ALL: [Self; 2] = [Self::An386, Self::An500];

    /// Runs the same on both boards at once.
    pub fn on_each<T: Send>(run: impl Fn(Self) -> T + Sync) -> [(Self, T); 2] {
        std::thread::scope(|scope| {
            let run = &run;
            let started = Self::ALL.map(|board| (board, scope.spawn(move || run(board))));
            started
                .map(|(board, handle)| (board, handle.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic))))
        })
    }

    /// The board's name in image names.
    pub const fn name(self) -> &'static str {
        match self {
            Self::An386 => "an386",
            Self::An500 => "an500",
        }
    }
}

/// A running emulator; dropping it kills it.
#[derive(Debug)]
pub struct Emulator(Child);

/// Virtual nanoseconds of one instruction, as a power of two, when instructions are counted.
pub const SHIFT: u32 = 10;
/// Nanoseconds of one tick of the boards' 25 MHz clock.
const TICK_NANOS: u64 = 40;

/// Instructions that passed, exactly, in `ticks` of the clock of an emulator that counts instructions.
pub fn instructions(ticks: impl Into<u64>) -> u64 {
    (ticks.into() * TICK_NANOS + (1 << (SHIFT - 1))) >> SHIFT
}

impl Emulator {
    /// The command for `image` in `folder`, without its machine; it is killed after `seconds`.
    pub fn command(image: &Path, folder: &Path, seconds: u32) -> Command {
        let mut command = Command::new("timeout");
        command.args(["-s", "KILL", &seconds.to_string(), "qemu-system-arm"]);
        command.args(["-display", "none", "-monitor", "none"]);
        command.args(["-semihosting-config", "enable=on,target=native", "-kernel"]).arg(image);
        command.current_dir(folder).stdin(Stdio::null()).stdout(Stdio::null());
        command
    }

    /// Makes the emulator count: each instruction takes the same virtual time, so counts repeat exactly.
    pub fn count_instructions(command: &mut Command) {
        command.args(["-icount", &format!("shift={SHIFT},sleep=off")]);
    }

    /// Makes time pass by instructions, as for a part that carries out 125 million a second: 8 ns each.
    pub fn pace_instructions(command: &mut Command) {
        command.args(["-icount", "shift=3,sleep=off"]);
    }

    /// Starts a command.
    ///
    /// # Panics
    /// When `timeout` or the emulator is not installed.
    pub fn start(mut command: Command) -> Self {
        Self(command.spawn().expect("`timeout` of coreutils, to run qemu-system-arm"))
    }

    /// True until the emulator ends.
    pub fn is_running(&mut self) -> bool {
        matches!(self.0.try_wait(), Ok(None))
    }

    /// Waits for the end and returns the exit code, `None` when it was killed.
    ///
    /// # Panics
    /// When there is nothing to wait for.
    pub fn finish(&mut self) -> Option<i32> {
        self.0.wait().expect("an emulator to wait for").code()
    }
}

impl Drop for Emulator {
    fn drop(&mut self) {
        // `timeout` leads a process group of its own; killing it alone would leave the emulator running.
        // A plain sh's kill takes no groups, bash's does.
        if self.is_running() {
            let group = format!("kill -KILL -- -{}", self.0.id());
            let ended = Command::new("bash").args(["-c", &group]).status();
            if !ended.is_ok_and(|status| status.success()) {
                eprintln!("an emulator may still be running: process group {}", self.0.id());
            }
        }
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// True while a process runs with these words on its command line.
    fn runs(words: &str) -> bool {
        let processes = std::fs::read_dir("/proc").expect("a list of processes");
        let lines = processes.filter_map(|entry| std::fs::read(entry.ok()?.path().join("cmdline")).ok());
        lines.into_iter().any(|line| String::from_utf8_lossy(&line).replace('\0', " ").starts_with(words))
    }

    #[test]
    fn what_is_dropped_does_not_go_on_running() {
        let mut command = Command::new("timeout");
        command.args(["-s", "KILL", "60", "sleep", "59.73125"]).stdin(Stdio::null());
        let mut emulator = Emulator::start(command);
        while !runs("sleep 59.73125") {
            assert!(emulator.is_running());
            std::thread::yield_now();
        }
        drop(emulator);
        // The kernel may take a moment to clear a killed process away; a forgotten one stays for a minute.
        let gone = (0..200).any(|_| {
            std::thread::sleep(std::time::Duration::from_millis(10));
            !runs("sleep 59.73125")
        });
        assert!(gone);
    }
}
