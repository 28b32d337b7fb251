//! What desks ask over a link.

use super::hardware::Hardware;
use super::place;
use super::works::{Works, refusal};
use crate::engine::{Gate, Input, Source};
use crate::link::{Answer, Refusal, Report, Request, Versions};
use crate::show::Mode;
use crate::units::Instant;

impl<H: Hardware> Works<'_, H> {
    /// Carries a request out and says what came of it.
    pub(super) fn carry_out(&mut self, request: Request<'_>, now: Instant) -> Answer {
        let from = Source::Desk;
        let done = match request {
            Request::Hello(_) => return Answer::Hello(Versions::OURS),
            Request::Report => return Answer::Report(self.report(now)),
            Request::PackBegin { len } => self.only_in_off().and_then(|()| self.upload.begin(len)),
            Request::PackChunk { offset, bytes } => self.upload.chunk(offset, bytes, &mut self.memory.staging),
            Request::PackCommit => self.only_in_off().and_then(|()| self.commit(now)),
            Request::Go { to } => self.enter(now, Input::Go { to, from }).map_err(refusal),
            Request::Back { to } => self.enter(now, Input::Back { to, from }).map_err(refusal),
            Request::Off => self.enter(now, Input::Off { from }).map_err(refusal),
            Request::Arm => self.enter(now, Input::Arm { from }).map_err(refusal),
            Request::At { x_mm, y_mm } => {
                let said = place::said(&self.memory.show, &self.state, now, (x_mm, y_mm));
                return said.map_or_else(Answer::Refused, Answer::At);
            }
        };
        done.map_or_else(Answer::Refused, |()| Answer::Done)
    }

    fn only_in_off(&self) -> Result<(), Refusal> {
        if self.state.mode == Mode::Off { Ok(()) } else { Err(Refusal::NotOff) }
    }

    fn report(&self, now: Instant) -> Report {
        let outlook = self.state.outlook(&self.memory.show, now);
        Report {
            mode: outlook.mode,
            now: outlook.now,
            next: outlook.next,
            back: outlook.back,
            armed: matches!(outlook.gate, Gate::Armed { .. }),
            pack_crc: self.pack_crc,
            frames: self.counts.frames,
            picture_crc: self.counts.picture_crc,
            bad_frames: self.counts.bad_frames,
            paint_faults: self.counts.paint_faults,
        }
    }
}
