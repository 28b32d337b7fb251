//! One poll over all ports.

use super::hardware::{Hardware, Ports, Setup};
use super::memory::Memory;
use super::post::Post;
use super::session::{News, Session};
use super::works::Works;
use crate::crew::Crew;
use crate::engine::State;
use crate::link::{Happened, Start};
use crate::ports::{Event, FlashPort};
use crate::store::StoreError;
use crate::units::{Duration, Instant};

/// What a box takes for the age of the world at power-up: what began before that at another box of the show, a cue for
/// one, began at a moment of this box's time too.
const BEFORE_POWER: Duration = Duration::from_millis(24 * 60 * 60 * 1_000);

/// The box as one value over its ports.
pub struct Device<'m, H: Hardware> {
    session: Session<H::Link>,
    post: &'m mut Post,
    pub(super) works: Works<'m, H>,
}

impl<'m, H: Hardware> Device<'m, H> {
    /// A box that has just got power: OFF, blank, with the stored show if there is one.
    ///
    /// # Errors
    /// [`StoreError::Geometry`] when the flash cannot hold two slots and the journal, or the flash port's own.
    pub fn new(
        (memory, post): (&'m mut Memory, &'m mut Post),
        setup: Setup,
        ports: Ports<H>,
    ) -> Result<Self, StoreError<<H::Flash as FlashPort>::Error>> {
        let Ports { link, net, flash, rows, panel } = ports;
        let works = Works::new(memory, setup, (net, flash, rows, panel), Self::time(Instant::ZERO))?;
        Ok(Self { session: Session::new(link), post, works })
    }

    /// The moment in the box's state and among its crew that is `now` of its clock, which starts with power.
    pub const fn time(now: Instant) -> Instant {
        now.after(BEFORE_POWER)
    }

    /// Does what is due at `now`: keys, at most one request of each link, one of the large things ([`Self::work`]), and at
    /// most one record or one erase of flash outside of what a request in OFF asks for.
    pub fn poll(&mut self, now: Instant) {
        // People read of times since power.
        self.works.memory.ring.set_time(now);
        let now = Self::time(now);
        self.works.gather(now);
        self.works.hands(now);
        self.serve(now);
        self.works.network(self.post, now);
        self.work(now);
        self.works.keep(now);
    }

    /// Brings time, crew and picture on, and does one of what takes long: an answer to poses, a line planned anew, the
    /// display's next face, a stretch of the picture or a part of tape. What is beside the picture takes every second
    /// poll at most, so that neither waits for ever; a face waits for the first rows, which somebody waits for.
    // A function of its own in every image: a debugger stops the box here.
    #[inline(never)]
    fn work(&mut self, now: Instant) {
        let works = &mut self.works;
        let free = !works.strayed;
        works.strayed = works.look(now, free);
        works.pass(now);
        works.crew(now);
        works.strayed |= free && !works.strayed && works.catch_up(now);
        works.aim(now);
        // What needs no painting, as zeros, waits for nothing.
        works.stream(now, false);
        let may_draw = free && !works.strayed && !works.painting.is_awaited();
        works.strayed |= works.tell(now, may_draw);
        if !works.strayed && !works.stream(now, true) {
            works.paint();
        }
    }

    /// True when the box has been wiped and has to start over as at power-up, so that its memory is wiped too.
    pub fn wants_restart(&self, now: Instant) -> bool {
        self.works.wants_restart(Self::time(now))
    }

    /// Notes why the box started, for who asks later.
    pub fn started(&mut self, why: Start) {
        self.works.memory.ring.note(Happened::Started(why));
    }

    /// True while polls get somewhere: the watchdog may be fed after a poll that says so. A picture that
    /// is not whole [`super::PATIENCE`] after it was begun is not going, however often it was begun anew.
    pub fn is_going(&self, now: Instant) -> bool {
        self.works.painting.is_going(Self::time(now))
    }

    /// True while a picture is on its way to the floor: polls that come sooner bring it sooner.
    pub fn is_painting(&self) -> bool {
        !self.works.painting.is_resting()
    }

    /// The panel port, for a board whose lamp and haptic need time between polls.
    pub fn panel_mut(&mut self) -> &mut H::Panel {
        &mut self.works.panel
    }

    /// Gives the ports back, as a power cut does.
    pub fn into_ports(self) -> Ports<H> {
        self.take_apart().0
    }

    /// Gives the ports back, and the memory that was lent.
    pub fn take_apart(self) -> (Ports<H>, (&'m mut Memory, &'m mut Post)) {
        let Self { session, post, works } = self;
        let Works { memory, net, store, rows, panel, .. } = works;
        let flash = store.into_flash();
        (Ports { link: session.into_port(), net, flash, rows, panel }, (memory, post))
    }

    /// This box among the others of its show, to look at.
    pub const fn crew(&self) -> &Crew {
        &self.works.crew
    }

    /// The engine's state, to look at.
    pub const fn state(&self) -> &State {
        &self.works.state
    }

    /// The row port, for a board that has to look after it between polls.
    pub fn rows_mut(&mut self) -> &mut H::Rows {
        &mut self.works.rows
    }

    fn serve(&mut self, now: Instant) {
        match self.session.send() {
            Ok(true) => {}
            Ok(false) => return,
            Err(_) => self.works.note(Event::PortFault),
        }
        let answer = match self.session.listen() {
            Ok(News::Do(request)) => self.works.carry_out(request, now),
            Ok(News::Bad) => return self.works.bad_frame(),
            Ok(News::Mismatch) => return self.works.note(Event::VersionMismatch),
            Ok(News::Quiet) => return,
            Err(_) => return self.works.note(Event::PortFault),
        };
        self.session.answer(answer);
    }
}
