//! The box's end of the link over its port: bytes in, one frame at a time, and the answer out.

use crate::link::{Answer, Decoder, Heard, Request, Responder};
use crate::ports::LinkPort;

/// Bytes taken from the port at a time.
const READ_BYTES: usize = 64;

/// Port, decoder and responder.
#[derive(Debug)]
pub(super) struct Session<L> {
    port: L,
    decoder: Decoder,
    responder: Responder,
    input: [u8; READ_BYTES],
    /// The part of `input` that is not decoded yet.
    waiting: core::ops::Range<usize>,
    /// Bytes of the answer that the port has taken.
    sent: usize,
}

/// What a look at the link gave.
pub(super) enum News<'b> {
    /// Nothing to do.
    Quiet,
    /// Carry this out, then answer.
    Do(Request<'b>),
    /// A damaged frame.
    Bad,
    /// A desk said hello whose versions do not meet ours.
    Mismatch,
}

impl<L: LinkPort> Session<L> {
    pub(super) const fn new(port: L) -> Self {
        Self {
            port,
            decoder: Decoder::new(),
            responder: Responder::new(),
            input: [0; READ_BYTES],
            waiting: 0..0,
            sent: 0,
        }
    }

    /// Sends what it can of the answer. A request is taken only when the last answer is out.
    ///
    /// # Errors
    /// The port's own; the answer is dropped, the desk asks again.
    pub(super) fn send(&mut self) -> Result<bool, L::Error> {
        let rest = self.responder.reply().get(self.sent..).unwrap_or(&[]);
        if rest.is_empty() {
            return Ok(true);
        }
        match self.port.write(rest) {
            Ok(taken) => {
                self.sent += taken.min(rest.len());
                Ok(taken >= rest.len())
            }
            Err(error) => {
                self.drop_answer();
                Err(error)
            }
        }
    }

    /// Starts sending the answer to the request just carried out.
    pub(super) fn answer(&mut self, answer: Answer) {
        self.responder.answer(answer);
        self.sent = 0;
    }

    pub(super) fn into_port(self) -> L {
        self.port
    }

    fn drop_answer(&mut self) {
        self.sent = self.responder.reply().len();
    }

    /// Takes bytes up to the next whole frame.
    ///
    /// # Errors
    /// The port's own.
    pub(super) fn listen(&mut self) -> Result<News<'_>, L::Error> {
        if self.waiting.is_empty() {
            let got = self.port.read(&mut self.input)?;
            self.waiting = 0..got.min(READ_BYTES);
        }
        let Self { input, decoder, waiting, .. } = self;
        if !waiting.by_ref().filter_map(|i| input.get(i)).any(|&byte| decoder.feed(byte)) {
            return Ok(News::Quiet);
        }
        match self.decoder.take() {
            None => Ok(News::Quiet),
            Some(Err(_)) => Ok(News::Bad),
            Some(Ok(frame)) => match self.responder.hear(frame) {
                Heard::Do(request) => Ok(News::Do(request)),
                Heard::Settled => {
                    self.sent = 0;
                    Ok(if self.responder.is_mismatched() { News::Mismatch } else { News::Quiet })
                }
            },
        }
    }
}
