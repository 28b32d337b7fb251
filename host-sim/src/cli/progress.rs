//! A progress bar for work that takes over a second, on a terminal only.

use std::time::{Duration, Instant};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// Work shorter than this shows nothing.
const PATIENCE: Duration = Duration::from_secs(1);

/// Counts steps; shows itself on stderr once the work has taken a second.
#[derive(Debug)]
pub struct Progress {
    bar: ProgressBar,
    started: Instant,
}

impl Progress {
    /// `steps` steps of `what`.
    pub fn new(what: &'static str, steps: usize) -> Self {
        let bar = ProgressBar::with_draw_target(Some(steps as u64), ProgressDrawTarget::hidden());
        if let Ok(style) = ProgressStyle::with_template("{msg} {bar:30} {pos}/{len} {eta}") {
            bar.set_style(style);
        }
        bar.set_message(what);
        Self { bar, started: Instant::now() }
    }

    /// One step is done.
    pub fn step(&self) {
        self.show_when_slow();
        self.bar.inc(1);
    }

    /// `steps` steps in all are done.
    pub fn reach(&self, steps: usize) {
        self.show_when_slow();
        self.bar.set_position(steps as u64);
    }

    fn show_when_slow(&self) {
        if self.bar.is_hidden() && self.started.elapsed() > PATIENCE {
            // The stderr target stays hidden by itself where stderr is no terminal.
            self.bar.set_draw_target(ProgressDrawTarget::stderr());
        }
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}
