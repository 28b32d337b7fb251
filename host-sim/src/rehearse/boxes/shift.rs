//! The boxes of one revision at work: orders in, polls, what changed out.

use std::collections::BTreeMap;
use std::sync::Arc;
use std::sync::mpsc::RecvTimeoutError;
use std::time::{Duration as Span, Instant as Clock};

use underfoot_core::ports::Haptic;
use underfoot_core::show::CueId;
use underfoot_core::units::Duration;

use super::desk::{Desk, Once, Stage};
use super::doings::{self, Done};
use super::life::{Life, Next, Order, Over};
use super::people::{self, Placed};
use super::pulled::Pull;
use super::rig::{Rig, Seat};
use super::told::{self, Told};
use crate::rehearse::draft::Revision;
use crate::rehearse::house::lock;
use crate::rehearse::notices::Kind;
use crate::render::CanvasPixels;
use crate::sim::wording;

/// While nothing is in work; a busy box has half of a processor, and the page the rest.
const NAP: Span = Span::from_millis(2);
const SPELL: Span = Span::from_millis(4);
/// Between two looks at what has to be told.
const TELL: Duration = Duration::from_millis(50);

/// The boxes of one revision at work.
pub(super) struct Shift<'l, 'm> {
    life: &'l mut Life,
    revision: &'l Arc<Revision>,
    rig: Rig<'m>,
    /// Changes of each box's LEDs that were looked at.
    seen: BTreeMap<usize, u64>,
    /// These boxes have shown a face.
    seen_face: bool,
}

impl<'l, 'm> Shift<'l, 'm> {
    /// Boxes without power yet.
    pub(super) const fn new(life: &'l mut Life, revision: &'l Arc<Revision>, rig: Rig<'m>) -> Self {
        Self { life, revision, rig, seen: BTreeMap::new(), seen_face: false }
    }

    /// Runs until another revision comes, or another beginning. `lit` is the cue to begin with.
    pub(super) fn work(mut self, lit: Option<CueId>) -> Result<Next, Over> {
        let start = self.life.now();
        (0..self.rig.seats().len()).for_each(|i| self.rig.power(i, true, start));
        let mut desks: Vec<Desk> = self.rig.seats().iter().map(|seat| Desk::new(seat.wire.clone())).collect();
        if let (Some(cue), Some(desk)) = (lit, desks.first_mut()) {
            desk.ask(Once::Go(cue));
        }
        loop {
            match self.life.orders.recv_timeout(NAP) {
                Ok(Order::Show(next)) => return Ok((next, self.front_cue().map(|(cue, _)| cue))),
                Ok(Order::Begin(cue)) => return Ok((Arc::clone(self.revision), Some(cue))),
                Ok(Order::Desk(once)) => {
                    let front = self.rig.front();
                    desks.get_mut(front).into_iter().for_each(|desk| desk.ask(once));
                    if let Once::Mode(mode) = once {
                        self.life.doings.add([Done::Mode(mode)]);
                    }
                }
                Ok(order) => self.take(order),
                Err(RecvTimeoutError::Timeout) => {}
                Err(RecvTimeoutError::Disconnected) => return Err(Over),
            }
            self.poll(&mut desks);
        }
    }

    /// Polls until nothing is in work, but not for long.
    fn poll(&mut self, desks: &mut [Desk]) {
        let begun = Clock::now();
        loop {
            self.poll_once(desks);
            let asks = desks.get(self.rig.front()).is_some_and(Desk::waits);
            if !(asks || self.rig.is_painting()) || begun.elapsed() >= SPELL {
                return;
            }
        }
    }

    fn poll_once(&mut self, desks: &mut [Desk]) {
        let now = self.life.step();
        let (front, cue) = (self.rig.front(), self.front_cue());
        let show = &self.revision.project.show;
        self.life.levels.keys = self.life.fingers.keys(now);
        self.rig.set(self.life.levels);
        if let Some(desk) = desks.get_mut(front) {
            desk.poll(&Stage { show, cue, pulled: &self.life.pulled, people: &|| self.people(cue) }, now);
        }
        self.rig.poll(now);
        if now.since(self.life.told_at) >= TELL {
            self.life.told_at = now;
            self.look();
            self.tell(cue, &self.people(cue));
        }
    }

    fn people(&self, cue: Option<(CueId, f32)>) -> Vec<Placed> {
        people::placed(&self.revision.project, cue, &self.life.elsewhere)
    }

    /// The cue on the front box's floor, and seconds since it began.
    fn front_cue(&self) -> Option<(CueId, f32)> {
        let seat = self.rig.seats().get(self.rig.front())?;
        let state = seat.state()?;
        let since = seat.state_time(self.life.now()).since(state.since);
        Some((state.shown()?, since.as_micros() as f32 * 1e-6))
    }

    fn take(&mut self, order: Order) {
        let now = self.life.now();
        match order {
            Order::Show(_) | Order::Begin(_) | Order::Desk(_) => {}
            Order::Key(key, down) => self.life.fingers.put(key, down),
            Order::Pull(pull) => {
                self.life.pulled.take(pull);
                match pull {
                    Pull::Power { seat, lost } => self.rig.power(seat.into(), !lost, now),
                    Pull::Cable { seat, lost } => self.rig.plug(seat.into(), !lost),
                    _ => {}
                }
                let levels = &mut self.life.levels;
                (levels.on_air, levels.stop) = (self.life.pulled.on_air, self.life.pulled.stop);
            }
            Order::Stand(person, Some(at)) => drop(self.life.elsewhere.insert(person.0, at)),
            Order::Stand(person, None) => drop(self.life.elsewhere.remove(&person.0)),
        }
    }

    /// Takes over what changed on displays and LEDs.
    fn look(&mut self) {
        let panel = self.rig.seats().get(self.rig.front()).map(|seat| seat.panel.panel());
        let face = panel.and_then(|panel| panel.face);
        if face != self.life.face {
            if let Some(words) = told::change(self.life.face.as_ref(), face.as_ref()) {
                self.life.note(words);
            }
            // The first face of boxes that started anew follows from no order.
            if let (true, Some(old), Some(new)) = (self.seen_face, &self.life.face, &face) {
                self.life.doings.add(doings::between(old, new));
            }
            self.seen_face = true;
            self.life.face.clone_from(&face);
            self.life.numbers.0 += 1;
            lock(&self.life.shown).face = face;
        }
        let changed: Vec<usize> = (0..self.rig.seats().len()).filter(|i| self.has_changed(*i)).collect();
        if !changed.is_empty() {
            self.repaint();
        }
    }

    fn has_changed(&mut self, i: usize) -> bool {
        let Some(seat) = self.rig.seats().get(i) else { return false };
        // A box that begins or ceases to drive changes the floor, whatever its own LEDs do.
        let number = seat.leds.changes() * 2 + u64::from(seat.drives());
        self.seen.insert(i, number) != Some(number)
    }

    /// Every canvas as the box shows it that drives it.
    fn repaint(&mut self) {
        let show = &self.revision.project.show;
        let mut canvases = BTreeMap::new();
        for (i, canvas) in (0..).zip(&show.canvases) {
            let paints = |c: u8| c == 0 || c == canvas.controller;
            let mut seats = self.rig.seats().iter().filter(|seat| paints(seat.setup.controller) && seat.drives());
            let pixels = seats.next().and_then(|seat| seat.leds.canvas(i));
            canvases.insert(i, pixels.unwrap_or_else(|| CanvasPixels::new(canvas)));
        }
        let mut shown = lock(&self.life.shown);
        // A show that is tried begins anew and mostly lights the same: nobody has to fetch that again.
        if shown.canvases != canvases {
            shown.canvases = canvases;
            self.life.numbers.1 += 1;
        }
    }

    fn tell(&mut self, cue: Option<(CueId, f32)>, people: &[Placed]) {
        let front = self.rig.front();
        let Some(seat) = self.rig.seats().get(front) else { return };
        let panel = seat.panel.panel();
        let told = Told {
            revision: self.revision.number,
            front,
            lines: wording::lines(&panel),
            face: told::said(&panel),
            lamp: wording::lamp(panel.lamp),
            relay: panel.relay,
            felt: (panel.ticks.len(), panel.ticks.last() == Some(&Haptic::Taken)),
            wired: self.revision.project.show.control.on_air_contact,
            cue_s: cue.map(|(_, t_s)| t_s as u64),
            people: self.persons(people),
            seats: self.seats(),
            pulled: self.life.pulled.clone(),
            table: told::table(seat.state()),
            log: self.life.log.clone(),
            display: self.life.numbers.0,
            floor: self.life.numbers.1,
        };
        self.life.notices.pin(Kind::Box, &told);
    }

    fn persons(&self, people: &[Placed]) -> Vec<told::Person> {
        let show = &self.revision.project.show;
        let seat = self.rig.seats().get(self.rig.front());
        let now = self.life.now();
        let view = seat.and_then(|seat| Some(seat.state()?.view(show, seat.state_time(now))));
        let rounded = |m: f32| (m * 1000.0).round() / 1000.0;
        people
            .iter()
            .map(|placed| told::Person {
                name: show.people.get(placed.person.index()).map(|p| p.name.to_string()).unwrap_or_default(),
                state: view.map_or("", |view| told::state_word(view.states.of(placed.person))),
                at: [rounded(placed.at.x), rounded(placed.at.y)],
                moved: self.life.elsewhere.contains_key(&placed.person.0),
            })
            .collect()
    }

    fn seats(&self) -> Vec<told::Seat> {
        let show = &self.revision.project.show;
        let of = |seat: &Seat<'_>| {
            let said = told::said(&seat.panel.panel());
            told::Seat {
                name: told::seat_name(show, seat.setup.controller, seat.setup.backup),
                power: seat.has_power(),
                cable: seat.plugged,
                drives: seat.drives(),
                mode: said.as_ref().map_or("dark", |said| said.mode),
                cue: said.as_ref().and_then(|said| said.now),
                faults: said.map_or(Vec::new(), |said| said.faults),
            }
        };
        self.rig.seats().iter().map(of).collect()
    }
}
