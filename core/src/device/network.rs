//! Datagrams: what has come goes to whom it is for.

use super::hardware::Hardware;
use super::post::{Due, Post};
use super::works::Works;
use crate::limits;
use crate::link::{Answer, Refusal, Request, frame};
use crate::ports::{Datagram, Door, Event, NetPort, Station};
use crate::units::Instant;

impl<H: Hardware> Works<'_, H> {
    /// Takes what has come by the network, but no more than a flood may cost: keys come first.
    pub(super) fn network(&mut self, post: &mut Post, now: Instant) {
        self.tune(post, now);
        for _ in 0..limits::DATAGRAMS_PER_POLL {
            match self.net.receive(now, &mut post.bytes) {
                Ok(None) => return,
                Ok(Some(datagram)) => self.sort(post, datagram, now),
                Err(_) => return self.note_network(post, Event::PortFault, now),
            }
        }
    }

    /// Listens to the universe that the show in memory names.
    fn tune(&mut self, post: &mut Post, now: Instant) {
        let wanted = self.memory.show.control.slots_universe;
        if post.universe != wanted {
            post.universe = wanted;
            if self.net.listen(wanted).is_err() {
                self.note_network(post, Event::PortFault, now);
            }
        }
    }

    fn sort(&mut self, post: &mut Post, datagram: Datagram, now: Instant) {
        match datagram.door {
            Door::Link => self.desk(post, datagram, now),
            Door::Crew => self.mate(post, datagram, now),
            Door::Sacn => {}
        }
    }

    /// Another box of the show.
    fn mate(&mut self, post: &mut Post, Datagram { len, .. }: Datagram, now: Instant) {
        let is_whole = post.bytes.get(..len).is_some_and(|bytes| self.hear_crew(bytes, now));
        if !is_whole {
            self.bad_datagram(post, now);
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
                self.post_once(post, from, sequence, &answer);
            }
            Due::HelloFirst => self.post_once(post, from, sequence, &Answer::Refused(Refusal::HelloFirst)),
        }
    }

    /// Sends an answer that is not kept: the datagram that asked has been read, so its room is free.
    fn post_once(&mut self, post: &mut Post, to: Station, sequence: u8, answer: &Answer) {
        let len = frame::write(sequence, answer, &mut post.bytes).unwrap_or(0);
        self.post(to, post.bytes.get(..len).unwrap_or(&[]));
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
