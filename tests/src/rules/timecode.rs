//! Timecode as somebody with a stopwatch follows it.

/// What was read, and what has still to come of it.
#[derive(Clone, Debug, Default)]
pub(super) struct Follower {
    /// Frame and time of the last one that counted.
    last: Option<(u64, u64)>,
    /// One that did not fit, and waits for a second.
    odd: Option<(u64, u64)>,
    /// The frame of the last look.
    seen: Option<u64>,
    stands_in: Option<usize>,
    due: Option<usize>,
}

const SECOND: u64 = 1_000_000;

/// Where timecode is at `now` when it was at a frame at a time before: it runs on for a second.
fn expected((frame, at): (u64, u64), now: u64, (num, den): (u64, u64)) -> u64 {
    frame + (now - at).min(SECOND) * num / (den * SECOND)
}

impl Follower {
    /// Takes a frame that is read.
    pub(super) fn read(&mut self, frame: u64, now: u64, rate: (u64, u64)) {
        let fits = |known: Option<(u64, u64)>| known.is_some_and(|k| expected(k, now, rate).abs_diff(frame) <= 2);
        let parked = self.odd.is_some_and(|(odd, _)| odd == frame);
        if fits(self.last) || fits(self.odd) || parked {
            (self.last, self.odd) = (Some((frame, now)), None);
        } else {
            self.odd = Some((frame, now));
        }
    }

    pub(super) fn is_lost(&self, now: u64) -> bool {
        self.last.is_some_and(|(_, at)| now - at >= SECOND)
    }

    /// The cue that timecode still has to bring.
    pub(super) fn due(&mut self, times: &[Option<u64>], now: u64, rate: (u64, u64)) -> Option<usize> {
        let here = expected(self.last?, now, rate);
        if self.seen != Some(here) {
            self.seen = Some(here);
            let mut stands_in = None;
            for (cue, time) in times.iter().enumerate() {
                let best = stands_in.and_then(|best: usize| times[best]);
                if time.is_some_and(|t| t <= here && best.is_none_or(|b| b <= t)) {
                    stands_in = Some(cue);
                }
            }
            if stands_in != self.stands_in {
                (self.stands_in, self.due) = (stands_in, stands_in);
            }
        }
        self.due
    }

    pub(super) fn forget_due(&mut self) {
        self.due = None;
    }
}
