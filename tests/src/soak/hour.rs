//! An hour of a run, measured.

use std::time::Instant as Clock;

use underfoot_core::link::{Answer, Request};
use underfoot_core::units::Duration;

use super::heap::{heap, resident_kib};
use super::ports::Sent;
use super::run::Soak;
use super::tally::{Hour, Spread};

/// What was counted up to a moment.
#[derive(Clone, Copy, Debug)]
struct Counts {
    /// Pictures and damaged packets, as the box itself says.
    pictures: u64,
    counted: u64,
    packets: u64,
    malformed: u64,
    altered: u64,
    advances: u64,
    failures: u64,
    sent: Sent,
}

impl Soak<'_> {
    /// Lets an hour pass.
    pub(super) fn hour(&mut self, span: Duration) -> Result<Hour, String> {
        let (end, before) = (self.now.after(span), self.counts()?);
        let began = Clock::now();
        self.told = Hour::default();
        self.latency.clear();
        while self.now < end || !self.operator.is_idle() {
            self.step(self.now < end)?;
        }
        let after = self.counts()?;
        let took_s = began.elapsed().as_secs();
        Ok(Hour { took_s, ..self.measured(&before, &after) })
    }

    /// What is between two moments.
    fn measured(&mut self, before: &Counts, after: &Counts) -> Hour {
        let held = heap();
        Hour {
            poses: [self.told.poses[0], after.sent.poses - before.sent.poses],
            packets: after.packets - before.packets,
            malformed: [after.malformed - before.malformed, after.counted - before.counted],
            altered: after.altered - before.altered,
            cues: after.advances - before.advances,
            row: Spread::of(&mut self.latency.rows),
            whole: Spread::of(&mut self.latency.wholes),
            off: Spread::of(&mut self.latency.offs),
            pictures: after.pictures - before.pictures,
            tape: after.sent.tape - before.sent.tape,
            failures: after.failures - before.failures,
            blocks: held.blocks,
            bytes: held.bytes,
            resident_kib: resident_kib(),
            ..self.told
        }
    }

    /// Counts up to now. Nothing is harmed until the box has told its own.
    fn counts(&mut self) -> Result<Counts, String> {
        self.harm.is_resting = true;
        let told = self.ask(Request::Report)?;
        self.harm.is_resting = false;
        let Answer::Report(report) = told else { return Err(format!("{told:?} to a question")) };
        let sent = self.wire.sent();
        Ok(Counts {
            pictures: report.frames.into(),
            counted: report.bad_frames.into(),
            packets: self.harm.packets,
            malformed: self.harm.malformed,
            altered: self.harm.altered,
            advances: self.latency.advances,
            failures: self.front.failures() + sent.refused,
            sent,
        })
    }
}
