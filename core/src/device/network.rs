//! Datagrams: what has come goes to whom it is for.

use super::hardware::Hardware;
use super::post::{Due, Post};
use super::works::Works;
use crate::limits;
use crate::link::{Answer, Refusal, Request};
use crate::ports::{Datagram, Door, Event, NetPort, Station};
use crate::units::Instant;

impl<H: Hardware> Works<'_, H> {
    /// Takes what has come by the network, but no more than a flood may cost: keys come first.
    pub(super) fn network(&mut self, post: &mut Post, now: Instant) {
        self.tune(post, now);
        for _ in 0..limits::DATAGRAMS_PER_POLL {
            match self.net.receive(now, &mut post.bytes) {
                Ok(None) => break,
                Ok(Some(datagram)) => self.sort(post, datagram, now),
                Err(_) => {
                    self.note_network(post, Event::PortFault, now);
                    break;
                }
            }
        }
        if let Some(input) = self.lights.pass(&self.memory.show, now) {
            let _ = self.enter(now, input);
        }
    }

    /// Listens to the universe that the show in memory names.
    fn tune(&mut self, post: &mut Post, now: Instant) {
        if self.lights.tune(&self.memory.show) && self.net.listen(self.lights.universe()).is_err() {
            self.note_network(post, Event::PortFault, now);
        }
    }

    fn sort(&mut self, post: &mut Post, datagram: Datagram, now: Instant) {
        match datagram.door {
            Door::Link => self.desk(post, datagram, now),
            Door::Sacn => self.lighting(post, datagram, now),
            Door::Crew => self.mate(post, datagram, now),
        }
    }

    /// Another box of the show.
    fn mate(&mut self, post: &mut Post, Datagram { len, .. }: Datagram, now: Instant) {
        let is_whole = post.bytes.get(..len).is_some_and(|bytes| self.hear_crew(bytes, now));
        if !is_whole {
            self.bad_datagram(post, now);
        }
    }

    /// A lighting desk's packet. What the engine refuses is not asked again: the desk's next move is its own.
    fn lighting(&mut self, post: &mut Post, Datagram { len, .. }: Datagram, now: Instant) {
        let bytes = post.bytes.get(..len).unwrap_or(&[]);
        match self.lights.hear(bytes, &self.memory.show, now) {
            Ok(None) => {}
            Ok(Some(input)) => {
                let _ = self.enter(now, input);
            }
            Err(_) => self.bad_datagram(post, now),
        }
    }

    /// A desk's frame.
    fn desk(&mut self, post: &mut Post, Datagram { from, len, .. }: Datagram, now: Instant) {
        let Some((frame, talks)) = post.open(len) else { return self.bad_datagram(post, now) };
        let sequence = frame.sequence;
        match talks.hear(from, frame, now) {
            Due::Nothing => {}
            Due::Reply => self.post(from, talks.reply(from)),
            Due::Mismatch => {
                self.post(from, talks.reply(from));
                self.note_network(post, Event::VersionMismatch, now);
            }
            Due::Do(request) => {
                let answer = self.carry_out(request, now);
                talks.answer(from, answer);
                self.post(from, talks.reply(from));
            }
            Due::Off => {
                let answer = self.carry_out(Request::Off, now);
                post.once.settle(sequence, answer);
                self.post(from, post.once.reply());
            }
            Due::HelloFirst => {
                post.once.settle(sequence, Answer::Refused(Refusal::HelloFirst));
                self.post(from, post.once.reply());
            }
        }
    }

    /// Sends an answer; one that finds no room is lost, and the desk asks again.
    fn post(&mut self, to: Station, bytes: &[u8]) {
        let _ = self.net.send(Door::Link, to, bytes);
    }

    fn bad_datagram(&mut self, post: &mut Post, now: Instant) {
        self.counts.bad_frames = self.counts.bad_frames.wrapping_add(1);
        self.note_network(post, Event::BadFrame, now);
    }

    fn note_network(&mut self, post: &mut Post, event: Event, now: Instant) {
        if post.may_note(now) {
            self.note(event);
        }
    }
}
