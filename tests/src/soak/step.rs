//! One millisecond of a run: everybody sends, the box is polled, and what came of it is looked at.

use underfoot_core::engine::Source;
use underfoot_core::link::{Answer, Decoder, DeskStep, Request};
use underfoot_core::ports::Door;
use underfoot_core::units::Duration;

use super::acts::Do;
use super::harm::Fate;
use super::heap::heap;
use super::ports::Packet;
use super::run::Soak;
use super::senders::{DESK, LEVELS_US, POSE_US};
use crate::rules::{Event, Hand};

/// From one poll to the next.
const POLL: Duration = Duration::from_millis(1);
/// How often the rules are told what lasts, and how often graphics and people sensing say what there is.
const LASTS_US: u64 = 100_000;
const SAYS_US: u64 = 200_000;
/// Levels that the lighting desk did not mean may act for so long: a source that is silent is lost then.
const CALM: Duration = Duration::from_millis(3_000);
/// Somebody so far off that no prop is near: towards stage left and upstage, millimetres.
const FAR_MM: i32 = 180_000;

impl Soak<'_> {
    /// Asks, and waits for the answer.
    pub(super) fn ask(&mut self, request: Request<'_>) -> Result<Answer, String> {
        self.answer = None;
        if !self.desk.ask(&request) {
            return Err("the desk waits for another answer".to_owned());
        }
        loop {
            self.step(false)?;
            if let Some(answer) = self.answer.take() {
                return Ok(answer);
            }
        }
    }

    /// Lets a millisecond pass. `acts` says whether people begin anything.
    pub(super) fn step(&mut self, acts: bool) -> Result<(), String> {
        self.now = self.now.after(POLL);
        self.floor.set_time(self.now);
        self.last();
        if acts {
            let calm = self.is_calm();
            self.operator.act(self.now, &self.model, calm);
        }
        while let Some(what) = self.operator.take(self.now) {
            self.perform(what)?;
        }
        self.send();
        self.send_desk()?;
        let made = heap().made;
        self.device.poll(self.now);
        self.told.made += heap().made - made;
        self.after()
    }

    /// True when everything that acts on the box was meant.
    fn is_calm(&self) -> bool {
        self.strange.is_none_or(|at| self.now.since(at) >= CALM)
    }

    /// True once in every `every` microseconds, `phase` later.
    fn is_due(&self, every: u64, phase_us: u64) -> bool {
        let us = self.now.as_micros() + every - phase_us % every;
        us % every < POLL.as_micros()
    }

    /// Tells the rules what lasts: the light, and that poses and questions keep coming.
    fn last(&mut self) {
        if !self.is_due(LASTS_US, 0) {
            return;
        }
        for event in [Event::Light(self.lit), Event::DeskHeard, Event::Unseen] {
            let _ = self.model.enter(self.now, event);
        }
    }

    fn perform(&mut self, what: Do) -> Result<(), String> {
        match what {
            Do::Key(key, true) => self.levels.keys |= key.bit(),
            Do::Key(key, false) => self.levels.keys &= !key.bit(),
            Do::Light(lit) => self.levels.on_air = Some(lit),
            Do::Levels(levels) => self.slots = levels,
            Do::Slots(to) => self.pressing = Some((to, 0)),
            Do::Means(event) => self.mean(event),
            Do::GoDown => self.latency.press(self.now),
            Do::OffDown => self.latency.press_off(self.now, self.floor.is_lit()),
            Do::Look => return self.look(),
            Do::Ask(request, event) => {
                self.meant = Some(event);
                if !self.desk.ask(&request) {
                    return Err(format!("the desk waits for another answer before {request:?}"));
                }
            }
        }
        self.front.set(self.levels);
        Ok(())
    }

    fn mean(&mut self, event: Event) {
        if let Event::Light(lit) = event {
            self.lit = lit;
        }
        // Whether it is done is seen by what everybody is told.
        let _ = self.model.enter(self.now, event);
    }

    /// Everything that people are told must be as the rules say, and nothing may hang.
    fn look(&mut self) -> Result<(), String> {
        self.latency.end();
        let hung = self.pressing.take().is_some();
        if !self.is_calm() {
            return Ok(());
        }
        let at = || format!("at {} ms", self.now.as_millis());
        if hung || self.meant.is_some() {
            return Err(format!("{}: what was asked was never taken", at()));
        }
        if let Some(how) = self.model.differs(self.device.state(), self.now) {
            return Err(format!("{}: {how}", at()));
        }
        self.told.looks += 1;
        Ok(())
    }

    /// Everybody sends what is due.
    fn send(&mut self) {
        for i in 0..self.pans.len() {
            if self.is_due(POSE_US, 7_000 * i as u64) {
                let pose = self.senders[0].packet(&self.pans[i].pose(self.now));
                self.told.poses[0] += u64::from(self.push(pose) == Fate::Whole);
            }
        }
        if self.is_due(SAYS_US, 3_000) {
            let drawn = self.senders[1].packet(&Request::Drawn { props: u32::MAX });
            self.push(drawn);
        }
        if self.is_due(SAYS_US, 5_000) {
            let [x, y] = [FAR_MM.to_le_bytes(); 2];
            let people = self.senders[2].packet(&Request::Presence { places: [x, y].as_flattened() });
            if self.push(people) == Fate::Whole {
                self.mean(Event::People(false));
            }
        }
        if self.is_due(LEVELS_US, 0) {
            self.send_levels();
        }
    }

    fn send_levels(&mut self) {
        let levels = self.lighting.packet(self.slots);
        let fate = self.push(levels);
        let calm = self.is_calm();
        let Some((to, packets)) = self.pressing.as_mut().filter(|_| fate == Fate::Whole) else { return };
        *packets += 1;
        // GO acts with its second packet (`core/docs/sacn.md`).
        if *packets == 2 && calm {
            let go = Event::Go(*to, Hand::Slots);
            self.pressing = None;
            self.mean(go);
        }
    }

    fn send_desk(&mut self) -> Result<(), String> {
        let packet = match self.desk.poll(self.now) {
            DeskStep::Wait => return Ok(()),
            DeskStep::GiveUp => return Err(format!("at {} ms: no answer to the desk", self.now.as_millis())),
            DeskStep::Send(bytes) => Packet::new(Door::Link, DESK, bytes),
        };
        if self.push(packet) == Fate::Whole
            && let Some(event) = self.meant.take()
        {
            self.mean(event);
        }
        Ok(())
    }

    /// Sends a packet, harmed or not.
    fn push(&mut self, mut packet: Packet) -> Fate {
        let fate = self.harm.strike(&mut packet);
        if fate == (Fate::Altered { matters: true }) {
            self.strange = Some(self.now);
        }
        self.wire.push(packet);
        fate
    }

    /// Looks at what a poll made of it all.
    fn after(&mut self) -> Result<(), String> {
        let resets = !self.device.is_going(self.now) || self.device.wants_restart(self.now);
        self.told.resets += u64::from(resets);
        let advanced = self.latency.look(self.device.state(), self.floor.rows(), self.now);
        let by_slots = self.device.state().by == Some(Source::Slots);
        // After levels that nobody meant only the box knows whether GO was taken: where it leads to is known.
        if let Some((to, _)) = self.pressing.filter(|_| advanced && by_slots) {
            self.pressing = None;
            self.mean(Event::Go(to, Hand::Slots));
        }
        if let Some((bytes, len)) = self.wire.mail() {
            let mut decoder = Decoder::new();
            let heard = bytes[..len].iter().any(|byte| decoder.feed(*byte));
            let frame = decoder.take().filter(|_| heard).and_then(Result::ok);
            self.answer = frame.and_then(|frame| self.desk.hear(frame));
        }
        Ok(())
    }
}
