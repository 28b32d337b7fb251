//! Desks that talk by datagrams: a conversation with each, kept apart by where they are.
//!
//! A datagram holds one whole frame and nothing else, so that its loss costs one request and no two are mixed up.
//! A network loses, repeats and reorders; what is new, what is asked again and what is a late copy is told by the
//! frame's number.

use crate::limits;
use crate::link::{Answer, Decoder, Frame, Heard, Request, Responder};
use crate::ports::{DATAGRAM_BYTES, Station};
use crate::units::{Duration, Instant};

/// A flood must not drown the log.
const BETWEEN_NOTES: Duration = Duration::from_millis(1_000);
/// Copies of a datagram that come later than this are no longer expected: networks of one hall take milliseconds.
const COPIES_LIVE: Duration = Duration::from_millis(5_000);

/// The datagram in hand, and the conversations. Made to stand in static memory.
#[derive(Debug)]
pub struct Post {
    pub(super) bytes: [u8; DATAGRAM_BYTES],
    talks: Talks,
    decoder: Decoder,
    /// Answers outside of any conversation.
    pub(super) once: Responder,
    /// Nothing more about the network goes to the log before this.
    silent_until: Instant,
}

/// Conversations with desks.
#[derive(Debug)]
pub(super) struct Talks([Talk; limits::DATAGRAM_DESKS]);

/// A conversation with one desk.
#[derive(Clone, Debug)]
struct Talk {
    with: Option<Station>,
    heard: Instant,
    /// Number of its newest frame.
    newest: u8,
    responder: Responder,
}

/// What is to be done about a frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Due<'b> {
    /// Nothing: a late copy.
    Nothing,
    /// The answer is in the conversation: send it.
    Reply,
    /// As `Reply`; and the log should know that the versions do not meet.
    Mismatch,
    /// Carry this out, then answer in the conversation.
    Do(Request<'b>),
    /// Everything off; answered outside of any conversation.
    Off,
    /// A stranger who has not said hello; told so outside of any conversation.
    HelloFirst,
}

impl Post {
    /// No conversations; nothing but zeros, so that a static one costs no flash.
    pub const fn new() -> Self {
        let talks = Talks([const { Talk::new() }; limits::DATAGRAM_DESKS]);
        Self {
            bytes: [0; DATAGRAM_BYTES],
            talks,
            decoder: Decoder::new(),
            once: Responder::new(),
            silent_until: Instant::ZERO,
        }
    }

    /// The frame in the first `len` bytes, and the conversations; `None` when they are no frame.
    pub(super) fn open(&mut self, len: usize) -> Option<(Frame<'_>, &mut Talks)> {
        let (end, body) = self.bytes.get(..len)?.split_last()?;
        if *end != 0 || body.contains(&0) {
            return None;
        }
        for byte in body {
            self.decoder.feed(*byte);
        }
        // What ends a frame also ends whatever was no frame, so nothing is left behind for the next datagram.
        self.decoder.feed(*end);
        let frame = self.decoder.take()?.ok()?;
        Some((frame, &mut self.talks))
    }

    /// True when the log may be told something of the network at `now`; then not again for a while.
    pub(super) fn may_note(&mut self, now: Instant) -> bool {
        let may = now >= self.silent_until;
        if may {
            self.silent_until = now.after(BETWEEN_NOTES);
        }
        may
    }
}

impl Default for Post {
    fn default() -> Self {
        Self::new()
    }
}

impl Talk {
    const fn new() -> Self {
        Self { with: None, heard: Instant::ZERO, newest: 0, responder: Responder::new() }
    }

    /// True for a frame from before the newest. Numbers count up and go round, so half of them are before.
    const fn is_late(&self, sequence: u8) -> bool {
        sequence.wrapping_sub(self.newest) >= 0x80
    }
}

impl Talks {
    /// Takes `frame` of the desk at `from`.
    pub(super) fn hear<'b>(&mut self, from: Station, frame: Frame<'b>, now: Instant) -> Due<'b> {
        let is_hello = match postcard::from_bytes(frame.message) {
            // Obeyed from anybody, and however late.
            Ok(Request::Off) => return Due::Off,
            Ok(Request::Hello(_)) => true,
            _ => false,
        };
        let Some(talk) = self.place(from, is_hello) else { return Due::HelloFirst };
        let is_new = talk.with != Some(from) || (is_hello && now.since(talk.heard) >= COPIES_LIVE);
        if !is_new && talk.is_late(frame.sequence) {
            return Due::Nothing;
        }
        (talk.with, talk.heard, talk.newest) = (Some(from), now, frame.sequence);
        match talk.responder.hear(frame) {
            Heard::Do(request) => Due::Do(request),
            Heard::Settled if is_hello && talk.responder.is_mismatched() => Due::Mismatch,
            Heard::Settled => Due::Reply,
        }
    }

    /// Puts the answer to the request just carried out into the conversation with `from`.
    pub(super) fn answer(&mut self, from: Station, answer: Answer) {
        if let Some(talk) = self.place(from, false) {
            talk.responder.answer(answer);
        }
    }

    /// The bytes to send to `from`.
    pub(super) fn reply(&mut self, from: Station) -> &[u8] {
        self.place(from, false).map_or(&[], |talk| talk.responder.reply())
    }

    /// The conversation with `from`; for one who says hello, else the one that has been silent longest.
    fn place(&mut self, from: Station, is_hello: bool) -> Option<&mut Talk> {
        let known = self.0.iter().position(|talk| talk.with == Some(from));
        let all = self.0.iter().enumerate();
        let quietest = all.min_by_key(|(_, talk)| (talk.with.is_some(), talk.heard)).map(|(place, _)| place);
        self.0.get_mut(known.or(quietest.filter(|_| is_hello))?)
    }
}
