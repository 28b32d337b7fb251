//! What AIR may show: what no hot camera sees by live poses, and was hidden for long enough.

use super::heard::UNSEEN;
use super::things;
use crate::limits;
use crate::look::{Shown, Things};
use crate::show::{Cue, Show};
use crate::units::{Duration, Instant};

/// What went off in AIR stays off for at least this long.
pub const HIDDEN: Duration = Duration::from_millis(1_000);
/// The step that the time since then is kept in.
const STEP: Duration = Duration::from_millis(10);

/// What no hot camera sees, as heard last, and what had to go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Unseen {
    heard: Option<(Shown, Instant)>,
    /// For each mark, steps until it may come back; 0 for none.
    marks: [u8; limits::MARKS],
    /// The same for props.
    props: [u8; limits::PROPS],
    /// Until when the steps were counted.
    counted: Instant,
}

impl Unseen {
    /// Nothing was heard yet: every camera sees everything.
    pub const NOTHING: Self =
        Self { heard: None, marks: [0; limits::MARKS], props: [0; limits::PROPS], counted: Instant::ZERO };

    /// Takes what no hot camera sees.
    pub(super) fn hear(&mut self, shown: Shown, now: Instant) {
        self.heard = Some((shown, now));
    }

    /// True when it was heard before and is not any longer.
    pub(super) fn is_missing(&self, now: Instant) -> bool {
        self.heard.is_some_and(|(_, at)| now.since(at) >= UNSEEN)
    }

    /// What of `cue` no hot camera sees at `now`.
    fn allowed(&self, show: &Show, cue: Option<&Cue>, now: Instant) -> Shown {
        let Some((shown, _)) = self.heard.filter(|&(_, at)| now.since(at) < UNSEEN) else { return Shown::default() };
        let Things { marks, props, .. } = things::of_cue(show, cue);
        Shown { marks: shown.marks & marks, props: shown.props & props }
    }

    /// What AIR shows of `cue` from `now` on, when it or the mode before showed `before`. What may not be shown goes
    /// at once; what may be comes when it was hidden for long enough and nothing else is just coming.
    pub(super) fn next(
        &mut self,
        show: &Show,
        (cue, now): (Option<&Cue>, Instant),
        before: Things,
        is_coming: bool,
    ) -> Shown {
        self.count(now);
        let may = self.allowed(show, cue, now);
        let wait = |slots: &mut [u8], gone: u64| {
            let gone = slots.iter_mut().enumerate().filter(|(i, _)| gone >> i & 1 == 1);
            gone.for_each(|(_, slot)| *slot = WAIT);
        };
        wait(&mut self.marks, before.marks & !may.marks);
        wait(&mut self.props, u64::from(before.props & !may.props));
        let ready = |slots: &[u8]| (0_u64..).zip(slots).filter(|(_, left)| **left == 0).fold(0, |b, (i, _)| b | 1 << i);
        let (marks, props) = if is_coming { (0, 0) } else { (ready(&self.marks), ready(&self.props) as u32) };
        Shown { marks: may.marks & (before.marks | marks), props: may.props & (before.props | props) }
    }

    /// Lets time go by for what had to go.
    fn count(&mut self, now: Instant) {
        let steps = now.since(self.counted).as_micros() / STEP.as_micros();
        if steps == 0 {
            return;
        }
        self.counted = self.counted.after(Duration::from_micros(steps * STEP.as_micros()));
        let steps = u8::try_from(steps).unwrap_or(u8::MAX);
        self.marks.iter_mut().chain(&mut self.props).for_each(|left| *left = left.saturating_sub(steps));
    }
}

/// Steps of [`HIDDEN`], and one that has already begun.
const WAIT: u8 = (HIDDEN.as_micros() / STEP.as_micros()) as u8 + 1;
