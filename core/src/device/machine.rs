//! One poll over all ports.

use super::memory::Memory;
use super::picture;
use super::place;
use super::session::{News, Session};
use super::upload::{self, Upload};
use crate::engine::{Input, Refused, State, step};
use crate::link::{Answer, Refusal, Report, Request, Versions};
use crate::pack::{self, ShowCode};
use crate::ports::{Event, FlashPort, LinkPort, RowPort, Status, StatusPort};
use crate::show::Mode;
use crate::store::{Store, StoreError};
use crate::units::Instant;

/// What a board gives.
#[derive(Debug)]
pub struct Ports<L, F, R, S> {
    /// Bytes to and from the desk.
    pub link: L,
    /// Memory that keeps the show.
    pub flash: F,
    /// Rows to the LEDs.
    pub rows: R,
    /// Lamps, display and log.
    pub status: S,
}

/// The box as one value over its ports.
#[derive(Debug)]
pub struct Device<'m, L, F, R, S> {
    session: Session<L>,
    works: Works<'m, F, R, S>,
}

/// All but the link, so that a request can borrow the link's buffer while it is carried out.
#[derive(Debug)]
struct Works<'m, F, R, S> {
    memory: &'m mut Memory,
    store: Store<F>,
    rows: R,
    status: S,
    state: State,
    upload: Upload,
    pack_crc: Option<u32>,
    told: Option<Status>,
    repaint: bool,
    counts: Counts,
}

#[derive(Clone, Copy, Debug, Default)]
struct Counts {
    frames: u32,
    picture_crc: u32,
    bad_frames: u32,
    paint_faults: u32,
}

impl<'m, L: LinkPort, F: FlashPort, R: RowPort, S: StatusPort> Device<'m, L, F, R, S> {
    /// A box that has just got power: OFF, blank, with the stored show if there is one.
    ///
    /// # Errors
    /// [`StoreError::Geometry`] when the flash cannot hold two slots.
    pub fn new(memory: &'m mut Memory, ports: Ports<L, F, R, S>) -> Result<Self, StoreError<F::Error>> {
        let mut works = Works {
            memory,
            store: Store::new(ports.flash)?,
            rows: ports.rows,
            status: ports.status,
            state: State::power_up(),
            upload: Upload::default(),
            pack_crc: None,
            told: None,
            repaint: true,
            counts: Counts::default(),
        };
        works.restore();
        Ok(Self { session: Session::new(ports.link), works })
    }

    /// Does what is due at `now`: at most one request and one picture.
    pub fn poll(&mut self, now: Instant) {
        self.serve(now);
        self.works.paint();
        self.works.tell(now);
    }

    /// Gives the ports back, as a power cut does.
    pub fn into_ports(self) -> (L, F, R, S) {
        (self.session.into_port(), self.works.store.into_flash(), self.works.rows, self.works.status)
    }

    /// The row port, for a board that has to look after it between polls.
    pub fn rows_mut(&mut self) -> &mut R {
        &mut self.works.rows
    }

    fn serve(&mut self, now: Instant) {
        match self.session.send() {
            Ok(true) => {}
            Ok(false) => return,
            Err(_) => self.works.status.note(Event::PortFault),
        }
        let answer = match self.session.listen() {
            Ok(News::Do(request)) => self.works.carry_out(request, now),
            Ok(News::Bad) => return self.works.bad_frame(),
            Ok(News::Mismatch) => return self.works.status.note(Event::VersionMismatch),
            Ok(News::Quiet) => return,
            Err(_) => return self.works.status.note(Event::PortFault),
        };
        self.session.answer(answer);
    }
}

impl<F: FlashPort, R: RowPort, S: StatusPort> Works<'_, F, R, S> {
    fn carry_out(&mut self, request: Request<'_>, now: Instant) -> Answer {
        let done = match request {
            Request::Hello(_) => return Answer::Hello(Versions::OURS),
            Request::Report => return Answer::Report(self.report(now)),
            Request::PackBegin { len } => self.only_in_off().and_then(|()| self.upload.begin(len)),
            Request::PackChunk { offset, bytes } => self.upload.chunk(offset, bytes, &mut self.memory.staging),
            Request::PackCommit => self.only_in_off().and_then(|()| self.commit(now)),
            Request::Go { to } => self.enter(now, Input::Go { to }),
            Request::Back { to } => self.enter(now, Input::Back { to }),
            Request::Off => self.enter(now, Input::Off),
            Request::Arm => self.enter(now, Input::Arm),
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

    fn enter(&mut self, now: Instant, input: Input) -> Result<(), Refusal> {
        let (state, output) = step(self.state, &self.memory.show, now, input);
        self.state = state;
        self.repaint |= output.repaint;
        output.verdict.map_err(|why| match why {
            Refused::NoShow => Refusal::NoShow,
            Refused::NotShown { shown } => Refusal::NotShown { shown },
            Refused::Lockout { left } => {
                // Rounded up: who waits this long is not refused again.
                Refusal::Lockout { left_ms: u16::try_from(left.as_micros().div_ceil(1000)).unwrap_or(u16::MAX) }
            }
            Refused::NotArmed => Refusal::NotArmed,
        })
    }

    /// Takes the pack in the staging buffer: checked, stored, read back, used; or the old show as before.
    fn commit(&mut self, now: Instant) -> Result<(), Refusal> {
        let len = self.upload.finish()?;
        let taken = self.take_pack(len);
        if taken.is_err() {
            self.status.note(Event::PackRefused);
            self.restore();
        }
        self.enter(now, Input::Loaded).and(taken)
    }

    fn take_pack(&mut self, len: usize) -> Result<(), Refusal> {
        let pack = self.memory.staging.get(..len).ok_or(Refusal::NoPack)?;
        pack::decode_into(pack, &mut self.memory.show).map_err(upload::refusal)?;
        self.store.save(pack).map_err(|_| Refusal::Store)?;
        self.ready(len);
        Ok(())
    }

    /// Brings the stored show back, through the staging buffer.
    fn restore(&mut self) {
        self.pack_crc = None;
        let loaded = match self.store.load(&mut self.memory.staging) {
            Ok(loaded) => loaded,
            Err(_) => {
                pack::decode::clear(&mut self.memory.show);
                return self.status.note(Event::StoreFailed);
            }
        };
        let pack = loaded.and_then(|len| self.memory.staging.get(..len)).unwrap_or(&[]);
        match pack::decode_into(pack, &mut self.memory.show) {
            Ok(()) => self.ready(pack.len()),
            Err(_) if loaded.is_none() => self.status.note(Event::NoShow),
            Err(_) => self.status.note(Event::StoreFailed),
        }
    }

    /// Notes that the show in memory is the pack in the staging buffer.
    fn ready(&mut self, len: usize) {
        let stored = self.memory.staging.get(..len).and_then(<[u8]>::last_chunk::<4>);
        let pack_crc = stored.map_or(0, |crc| u32::from_le_bytes(*crc));
        self.pack_crc = Some(pack_crc);
        self.status.note(Event::ShowReady { pack_crc });
    }

    fn paint(&mut self) {
        if !core::mem::take(&mut self.repaint) {
            return;
        }
        if self.state.mode == Mode::Off {
            return self.blank();
        }
        let Memory { show, scene, work, .. } = &mut *self.memory;
        match picture::paint(show, &picture::view_of(&self.state), (scene, work), &mut self.rows) {
            Ok(crc) => {
                self.counts.frames = self.counts.frames.wrapping_add(1);
                self.counts.picture_crc = crc;
            }
            Err(_) => {
                self.counts.paint_faults = self.counts.paint_faults.wrapping_add(1);
                self.status.note(Event::PaintFault);
                self.blank();
            }
        }
    }

    fn blank(&mut self) {
        self.counts.picture_crc = 0;
        if self.rows.blank().is_err() {
            self.status.note(Event::PortFault);
        }
    }

    fn bad_frame(&mut self) {
        self.counts.bad_frames = self.counts.bad_frames.wrapping_add(1);
        self.status.note(Event::BadFrame);
    }

    fn tell(&mut self, now: Instant) {
        let status = Status {
            mode: self.state.mode,
            now: self.state.shown(),
            next: self.state.next(&self.memory.show),
            code: self.pack_crc.map(|crc| ShowCode::of_crc(crc).bytes()),
            armed: self.state.is_armed(now),
        };
        if self.told != Some(status) {
            self.told = Some(status);
            self.status.show(&status);
        }
    }

    fn report(&self, now: Instant) -> Report {
        Report {
            mode: self.state.mode,
            now: self.state.shown(),
            next: self.state.next(&self.memory.show),
            back: self.state.back(&self.memory.show),
            armed: self.state.is_armed(now),
            pack_crc: self.pack_crc,
            frames: self.counts.frames,
            picture_crc: self.counts.picture_crc,
            bad_frames: self.counts.bad_frames,
            paint_faults: self.counts.paint_faults,
        }
    }
}
