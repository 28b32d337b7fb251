//! The answering side: each request is carried out once; a repeated one only gets its answer again.

use super::frame::{self, Frame, MAX_WIRE_BYTES};
use super::message::{Answer, Request};
use super::refusal::Refusal;
use super::version::Versions;

/// What a frame asks of the device.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Heard<'b> {
    /// Carry this out, then call [`Responder::answer`].
    Do(Request<'b>),
    /// Nothing to carry out; [`Responder::reply`] has the bytes to send.
    Settled,
}

/// The box's end of a conversation.
#[derive(Clone, Debug)]
pub struct Responder {
    reply: [u8; MAX_WIRE_BYTES],
    len: usize,
    sequence: u8,
    version: Option<u16>,
    mismatched: bool,
}

impl Default for Responder {
    fn default() -> Self {
        Self::new()
    }
}

impl Responder {
    /// A responder that has heard nothing.
    pub const fn new() -> Self {
        Self { reply: [0; MAX_WIRE_BYTES], len: 0, sequence: 0, version: None, mismatched: false }
    }

    /// The agreed version, once there is one.
    pub const fn version(&self) -> Option<u16> {
        self.version
    }

    /// True when the last desk that said hello shares no version with this build.
    pub const fn is_mismatched(&self) -> bool {
        self.mismatched
    }

    /// Takes a frame.
    pub fn hear<'b>(&mut self, frame: Frame<'b>) -> Heard<'b> {
        let request = match postcard::take_from_bytes::<Request<'b>>(frame.message) {
            Ok((request, [])) => request,
            _ => return self.settle(frame.sequence, Answer::Refused(Refusal::Unreadable)),
        };
        // OFF is obeyed from anybody, hello or not, first time or repeated.
        if request == Request::Off {
            self.sequence = frame.sequence;
            return Heard::Do(request);
        }
        if let Request::Hello(desk) = request {
            return self.greet(frame.sequence, desk);
        }
        if self.version.is_none() {
            return self.settle(frame.sequence, Answer::Refused(Refusal::HelloFirst));
        }
        if frame.sequence == self.sequence && self.len > 0 {
            return Heard::Settled;
        }
        self.sequence = frame.sequence;
        self.len = 0;
        Heard::Do(request)
    }

    /// Puts the answer to the request just carried out into [`Responder::reply`].
    pub fn answer(&mut self, answer: Answer) {
        self.len = frame::write(self.sequence, &answer, &mut self.reply).unwrap_or(0);
    }

    /// The bytes to send.
    pub fn reply(&self) -> &[u8] {
        self.reply.get(..self.len).unwrap_or(&[])
    }

    fn greet(&mut self, sequence: u8, desk: Versions) -> Heard<'static> {
        // Both sides work the answer out for themselves; the box always tells its own versions.
        self.version = Versions::agree(desk, Versions::OURS).ok();
        self.mismatched = self.version.is_none();
        self.settle(sequence, Answer::Hello(Versions::OURS))
    }

    /// Puts `answer` to the request of this number into [`Responder::reply`], whatever was asked before.
    pub(crate) fn settle(&mut self, sequence: u8, answer: Answer) -> Heard<'static> {
        self.sequence = sequence;
        self.answer(answer);
        Heard::Settled
    }
}
