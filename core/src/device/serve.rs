//! What desks ask over a link.

use super::hardware::{Hardware, Setup};
use super::place;
use super::tiles;
use super::works::{Works, refusal};
use crate::engine::{Gate, Input, PRESENT, Sense, Source};
use crate::geom::StagePoint;
use crate::link::{Answer, Outlook, Refusal, Report, Request, Versions};
use crate::ports::Address;
use crate::units::Instant;

impl<H: Hardware> Works<'_, H> {
    /// Carries a request out and says what came of it.
    pub(super) fn carry_out(&mut self, request: Request<'_>, now: Instant) -> Answer {
        // A desk that asks anything is there: only one that was in control and says nothing more is missed.
        self.crew.heard_desk(now);
        let _ = self.enter(now, Input::Sense(Sense::Desk));
        if let Some(input) = input(&request) {
            return self.enter(now, input).map_or_else(|why| Answer::Refused(refusal(why)), |()| Answer::Done);
        }
        let answer = self.look_up(&request, now).unwrap_or_else(|| self.change(request, now));
        answer.unwrap_or_else(|why| match why {
            // Asked again and again until it is not so: nothing that anybody wants to read of later.
            Refusal::Busy => Answer::Refused(why),
            why => Answer::Refused(self.refuse(Source::Desk, why)),
        })
    }

    /// The answer to a question; `None` for what is none.
    fn look_up(&self, request: &Request<'_>, now: Instant) -> Option<Result<Answer, Refusal>> {
        Some(match *request {
            Request::Hello(_) => Ok(Answer::Hello(Versions::OURS)),
            Request::Report => Ok(Answer::Report(self.report(now))),
            Request::At { x_mm, y_mm } => {
                place::said(&self.memory.show, &self.state, now, (x_mm, y_mm)).map(Answer::At)
            }
            Request::Events { after } => Ok(Answer::Events(self.memory.ring.after(after))),
            Request::Outlook => Ok(Answer::Outlook(self.told_outlook(now))),
            Request::Picture => Ok(self.told_picture(now)),
            Request::Display { stripe } => self.told_display(now, stripe),
            Request::Nudges => Ok(Answer::Nudges(self.memory.handwork.nudges.told())),
            _ => return None,
        })
    }

    /// Changes something beside the engine's state.
    fn change(&mut self, request: Request<'_>, now: Instant) -> Result<Answer, Refusal> {
        match request {
            Request::PackBegin { len } => self.only_in_off().and_then(|()| self.upload.begin(len))?,
            Request::PackResume { len, crc } => {
                self.only_in_off()?;
                return self.upload.resume(len, crc).map(|offset| Answer::From { offset });
            }
            Request::PackChunk { offset, bytes } => self.upload.chunk(offset, bytes, &mut self.memory.staging)?,
            Request::PackCommit => self.only_in_off().and_then(|()| self.commit(now))?,
            Request::Presence { places } => self.presence(now, places)?,
            Request::Setup { controller, backup, address } => {
                let own = Address::of_box(controller, backup);
                let address = address.map_or(own, |(ip, prefix)| Address { ip, prefix });
                self.set_up(Setup { controller, backup, address })?;
            }
            Request::Wipe => self.wipe(now)?,
            Request::Pose { .. } => self.pose(now, &request)?,
            Request::Drawn { props } => self.memory.handwork.live.draws(props, now),
            Request::Spans { view, canvas, row, skip } => return self.spans(view, (canvas, row, skip)),
            Request::Nudge { what, dx_mm, dy_mm } => return self.nudge(now, what, (dx_mm, dy_mm)).map(Answer::Nudged),
            Request::PutBack { what } => return Ok(Answer::Nudged(self.put_back(now, what))),
            Request::Tile { block, column, row, dead } => {
                return self.tile(now, tiles::Change { block, column, row, dead }).map(Answer::Tiled);
            }
            _ => return Err(Refusal::Unable),
        }
        Ok(Answer::Done)
    }

    pub(super) fn only_in_off(&self) -> Result<(), Refusal> {
        if !self.state.running { Ok(()) } else { Err(Refusal::NotOff) }
    }

    /// Hands on where people are, and keeps nothing of it.
    fn presence(&mut self, now: Instant, places: &[u8]) -> Result<(), Refusal> {
        let (all, rest) = places.as_chunks::<8>();
        let mut people = [StagePoint::new(0.0, 0.0); PRESENT];
        let people = people.get_mut(..all.len()).filter(|_| rest.is_empty()).ok_or(Refusal::BadValue)?;
        for (person, &[x0, x1, x2, x3, y0, y1, y2, y3]) in people.iter_mut().zip(all) {
            let metres = |mm: [u8; 4]| i32::from_le_bytes(mm) as f32 / 1000.0;
            *person = StagePoint::new(metres([x0, x1, x2, x3]), metres([y0, y1, y2, y3]));
        }
        self.enter(now, Input::Sense(Sense::Presence(people))).map_err(refusal)
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

    fn told_outlook(&self, now: Instant) -> Outlook {
        let outlook = self.state.outlook(&self.memory.show, now);
        let after = outlook.now.map_or(0, |_| now.since(self.state.since).as_millis());
        Outlook {
            mode: outlook.mode,
            now: outlook.now,
            next: outlook.next,
            back: outlook.back,
            gate: outlook.gate,
            hold: outlook.hold,
            reveal: outlook.reveal,
            by: outlook.by,
            faults: outlook.faults.bits(),
            after_ms: u32::try_from(after).unwrap_or(u32::MAX),
            pack_crc: self.pack_crc,
            controller: self.setup.controller,
            backup: self.setup.backup,
            leads: self.crew.drives(),
        }
    }
}

/// What the engine is asked by a request; `None` for what is none of its business.
fn input(request: &Request<'_>) -> Option<Input<'static>> {
    let from = Source::Desk;
    Some(match *request {
        Request::Go { to } => Input::Go { to, from },
        Request::Back { to } => Input::Back { to, from },
        Request::Off => Input::Off { from },
        Request::Arm => Input::Arm { from },
        Request::Mode { mode } => Input::Mode { mode, from },
        Request::Hold { on } => Input::Hold { on, from },
        Request::OnAir { lit } => Input::Sense(Sense::OnAir(lit)),
        Request::Timecode { at } => Input::Sense(Sense::Timecode(at)),
        Request::ClearKey { down } => Input::Sense(Sense::ClearKey(down)),
        _ => return None,
    })
}
