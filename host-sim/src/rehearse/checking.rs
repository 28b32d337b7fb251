//! Checks the newest revision all the time: first what is wrong, soon, then what would put it right.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Condvar, Mutex, PoisonError, Weak};
use std::thread;
use std::time::Duration;

use serde_json::{Value, json};
use tokio::sync::watch;

use super::draft::Revision;
use super::house::{House, lock};
use super::notices::Kind;
use crate::checks::{Effort, check_until};
use crate::findings::{Report, json as written, today};

/// How long fixes wait after the figures: pictures of the change come first, and the next change may come soon.
const PAUSE: Duration = Duration::from_millis(400);
/// Longest that somebody waits for figures.
const LONGEST: Duration = Duration::from_secs(1);

/// What has to be checked.
#[derive(Debug)]
pub struct Checking {
    wanted: Mutex<Wanted>,
    changed: Condvar,
    /// Set when what is being checked is not the newest any more.
    stop: AtomicBool,
    /// Number of the newest revision whose figures were told; the largest there is while nobody checks.
    figured: watch::Sender<u64>,
}

impl Default for Checking {
    fn default() -> Self {
        let figured = watch::Sender::new(u64::MAX);
        Self { wanted: Mutex::default(), changed: Condvar::default(), stop: AtomicBool::default(), figured }
    }
}

#[derive(Debug, Default)]
struct Wanted {
    newest: Option<Arc<Revision>>,
    /// Number of the revision that was asked for last.
    number: u64,
    closed: bool,
}

impl Checking {
    /// Asks for a revision to be checked, instead of all that were asked for before.
    pub(super) fn ask(&self, revision: Arc<Revision>) {
        let mut wanted = lock(&self.wanted);
        if wanted.number != revision.number {
            wanted.number = revision.number;
            wanted.newest = Some(revision);
            self.stop.store(true, Ordering::Relaxed);
            self.changed.notify_all();
        }
    }

    /// Waits until the figures of a revision were told, if that is soon: what is slow lets the checks go first.
    pub(super) async fn figured(&self, revision: u64) {
        let mut told = self.figured.subscribe();
        let _ = tokio::time::timeout(LONGEST, told.wait_for(|newest| *newest >= revision)).await;
    }

    /// Nothing is to be checked any more.
    pub(super) fn close(&self) {
        lock(&self.wanted).closed = true;
        self.stop.store(true, Ordering::Relaxed);
        self.changed.notify_all();
    }

    /// Checks what is asked for on a thread of its own and pins it to the house's board, as long as that stands.
    ///
    /// # Errors
    /// When there is no thread to be had.
    pub(super) fn start(house: &Arc<House>, checking: &Arc<Self>) -> std::io::Result<()> {
        let (house, checking) = (Arc::downgrade(house), Arc::clone(checking));
        checking.figured.send_replace(0);
        let all = move || {
            let mut last = Last::default();
            while let Some(revision) = checking.next() {
                last.check(&checking, &revision, &house);
            }
        };
        thread::Builder::new().name("checks".into()).spawn(all).map(|_| ())
    }

    /// Waits a while, unless there is something newer to check.
    fn pause(&self) {
        let nothing = |wanted: &mut Wanted| wanted.newest.is_none() && !wanted.closed;
        drop(self.changed.wait_timeout_while(lock(&self.wanted), PAUSE, nothing));
    }

    /// The next revision to check; `None` when the house is closed.
    fn next(&self) -> Option<Arc<Revision>> {
        let mut wanted = lock(&self.wanted);
        loop {
            if wanted.closed {
                return None;
            }
            if let Some(revision) = wanted.newest.take() {
                self.stop.store(false, Ordering::Relaxed);
                return Some(revision);
            }
            wanted = self.changed.wait(wanted).unwrap_or_else(PoisonError::into_inner);
        }
    }
}

/// The findings that were told last, which stand until there are newer ones.
struct Last {
    of: u64,
    counts: Value,
    findings: Value,
}

impl Default for Last {
    fn default() -> Self {
        let counts = json!({ "stop": 0, "fix": 0, "note": 0, "waived": 0 });
        Self { of: 0, counts, findings: json!([]) }
    }
}

impl Last {
    fn check(&mut self, checking: &Checking, revision: &Revision, house: &Weak<House>) {
        self.tell(house, revision.number, "checking");
        if self.with(checking, revision, house, (Effort::Figures, "quick")) {
            checking.pause();
            self.with(checking, revision, house, (Effort::Fixes, "whole"));
        }
    }

    /// Checks with an effort, and tells; false when that was stopped or broke.
    fn with(
        &mut self,
        checking: &Checking,
        revision: &Revision,
        house: &Weak<House>,
        (effort, state): (Effort, &str),
    ) -> bool {
        let checked = guarded(|| check_until(&revision.project, today(), effort, &checking.stop));
        let (is_done, state) = match checked {
            Some(None) => return false,
            Some(Some(report)) => {
                self.keep(revision.number, &report);
                (true, state)
            }
            None => (false, "broken"),
        };
        self.tell(house, revision.number, state);
        checking.figured.send_replace(revision.number);
        is_done
    }

    fn keep(&mut self, of: u64, report: &Report) {
        *self = Self { of, counts: written::counts(report), findings: written::findings(report) };
    }

    /// Findings of an older revision say of which: `of`, 0 before there were any.
    fn tell(&self, house: &Weak<House>, revision: u64, state: &str) {
        let Some(house) = house.upgrade() else { return };
        let Self { of, counts, findings } = self;
        let told = json!({ "revision": revision, "state": state, "of": of, "counts": counts, "findings": findings });
        house.notices.pin(Kind::Findings, &told);
    }
}

/// What the work gives; `None` when it panics. The thread lives on then, and so do the next revision's checks.
fn guarded<T>(work: impl FnOnce() -> T) -> Option<T> {
    // Whatever it was working on is thrown away with it.
    catch_unwind(AssertUnwindSafe(work)).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_check_that_breaks_ends_no_thread() {
        assert_eq!(guarded(|| 7), Some(7));
        assert_eq!(guarded(|| -> i32 { panic!("a check that breaks, on purpose") }), None);
    }
}
