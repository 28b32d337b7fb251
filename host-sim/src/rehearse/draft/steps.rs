//! Texts to go back to, and to go forward to again.

use std::sync::Arc;
use std::time::{Duration, Instant};

use super::edit::Subject;

/// Most steps back.
const MOST: usize = 200;
/// Changes of one subject that follow each other within this time are one step: somebody nudges.
const AT_ONCE: Duration = Duration::from_millis(1500);

/// The steps of a draft.
#[derive(Debug, Default)]
pub(super) struct Steps {
    back: Vec<Arc<str>>,
    forward: Vec<Arc<str>>,
    /// What was changed last, and when.
    nudged: Option<(Subject, Instant)>,
}

impl Steps {
    /// How many there are back and forward.
    pub(super) fn counts(&self) -> (usize, usize) {
        (self.back.len(), self.forward.len())
    }

    /// The text one step back.
    pub(super) fn last(&self) -> Option<Arc<str>> {
        self.back.last().cloned()
    }

    /// The text one step forward.
    pub(super) fn next(&self) -> Option<Arc<str>> {
        self.forward.last().cloned()
    }

    /// A change was made to the text that was there.
    pub(super) fn made(&mut self, was: Arc<str>, subject: Subject, now: Instant) {
        let goes_on = |(last, at): &(Subject, Instant)| *last == subject && now.duration_since(*at) <= AT_ONCE;
        let is_nudge = self.nudged.as_ref().is_some_and(goes_on);
        if !is_nudge {
            self.replaced(was);
        }
        self.nudged = Some((subject, now));
    }

    /// The text that was there was replaced as a whole.
    pub(super) fn replaced(&mut self, was: Arc<str>) {
        if self.back.len() == MOST {
            self.back.remove(0);
        }
        self.back.push(was);
        self.forward.clear();
        self.nudged = None;
    }

    /// The step back was taken.
    pub(super) fn undone(&mut self, was: Arc<str>) {
        self.back.pop();
        self.forward.push(was);
        self.nudged = None;
    }

    /// The step forward was taken.
    pub(super) fn redone(&mut self, was: Arc<str>) {
        self.forward.pop();
        self.back.push(was);
        self.nudged = None;
    }
}
