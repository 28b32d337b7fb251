//! Timecode drives the cues that carry a time.
//!
//! It lands the state of its moment: the cue whose time was passed last, and nothing of what lies between. When it
//! stops, the show goes on by itself for a second and then stays where it is.

use super::faults::Fault;
use super::frames;
use super::input::Source;
use super::state::State;
use super::table::Then;
use super::timecode;
use crate::show::{CueId, FrameRate, Show, Timecode};
use crate::units::{Duration, Instant};

/// The show goes on without timecode for this long.
pub const FREE_WHEEL: Duration = Duration::from_millis(1_000);
/// A time this many frames off the expected one is still the same run.
pub const SLACK_FRAMES: u32 = 2;

/// Where timecode is, and what it wants.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Chase {
    /// The last time that counted.
    run: Option<Read>,
    /// A time that does not follow from it: it counts when a second one agrees, since one may be misread.
    doubt: Option<Read>,
    /// The frame that was looked up last.
    looked: Option<u32>,
    /// The cue that it stands in.
    wanted: Option<CueId>,
    /// The cue that it still has to bring.
    due: Option<CueId>,
}

/// A time and when it was read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
struct Read {
    frame: u32,
    at: Instant,
}

impl Read {
    /// The frame at `now` when nothing more is read.
    fn frame_at(&self, rate: FrameRate, now: Instant) -> u32 {
        self.frame.saturating_add(frames::within(rate, now.since(self.at).min(FREE_WHEEL)))
    }

    fn leads_to(&self, rate: FrameRate, read: &Self) -> bool {
        self.frame_at(rate, read.at).abs_diff(read.frame) <= SLACK_FRAMES
    }
}

impl Chase {
    /// Nothing was read yet.
    pub const NONE: Self = Self { run: None, doubt: None, looked: None, wanted: None, due: None };

    /// Takes a time that was read at `now`; one that the rate does not have is left out.
    pub(super) fn read(&mut self, rate: FrameRate, code: Timecode, now: Instant) {
        let Some(frame) = timecode::count(rate, code) else { return };
        let read = Read { frame, at: now };
        let runs_on = self.run.is_some_and(|run| run.leads_to(rate, &read));
        // Parked timecode says the same time again and again.
        let agrees = self.doubt.is_some_and(|doubt| doubt.leads_to(rate, &read) || doubt.frame == frame);
        let counts = runs_on || agrees;
        self.doubt = (!counts).then_some(read);
        if counts {
            self.run = Some(read);
        }
    }

    /// True when timecode was there and is no longer, in a show that it drives.
    pub(super) fn is_missing(&self, show: &Show, now: Instant) -> bool {
        let silent = self.run.is_some_and(|run| now.since(run.at) >= FREE_WHEEL);
        silent && show.cues.iter().any(|cue| cue.at.is_some())
    }

    /// Finds out which cue timecode stands in by now, and whether it has just come there.
    fn look(&mut self, show: &Show, now: Instant) {
        let Some(run) = self.run else { return };
        let frame = run.frame_at(show.frame_rate, now);
        if self.looked.replace(frame) == Some(frame) {
            return;
        }
        let wanted = cue_at(show, frame);
        if wanted != self.wanted {
            self.wanted = wanted;
            self.due = wanted;
        }
    }
}

/// The cue whose time was passed last at `frame`; of two with one time the later in running order.
fn cue_at(show: &Show, frame: u32) -> Option<CueId> {
    let time = |at| timecode::count(show.frame_rate, at).filter(|&begins| begins <= frame);
    let begun = (0..).zip(&show.cues).filter_map(|(id, cue)| Some((time(cue.at?)?, CueId(id))));
    begun.max_by_key(|&(begins, id)| (begins, id)).map(|(_, id)| id)
}

impl State {
    /// Goes where timecode is. What it wants in OFF or HOLD is not owed: it comes with its next cue.
    pub(super) fn follow_timecode(&mut self, show: &Show, now: Instant) {
        self.chase.look(show, now);
        let Some(to) = self.chase.due else { return };
        let lost = self.faults.has(Fault::Timecode) && self.then(Fault::Timecode) == Then::HoldCue;
        if lost || !self.running || self.hold || self.shown() == Some(to) {
            self.chase.due = None;
        } else if self.lockout_left(now).is_none() {
            self.chase.due = None;
            self.enter(now, to, Source::Timecode);
        }
    }
}
