//! One conversation with a box.

use std::fmt;
use std::io::{self, ErrorKind};
use std::sync::atomic::{AtomicU8, Ordering};
use std::time::Instant;

use underfoot_core::link::frame::MAX_WIRE_BYTES;
use underfoot_core::link::{Answer, Decoder, Desk, DeskStep, Mismatch, Refusal, Report, Request, Spoken, Versions};

use super::line::{self, Line};
use super::{SendError, Target};

/// Moves on with each conversation of this desk.
static OPENED: AtomicU8 = AtomicU8::new(0);

/// What was being done when something failed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// Exchanging versions.
    Hello,
    /// Announcing the pack.
    Begin,
    /// Sending a part of the pack.
    Chunk,
    /// Having the pack checked and stored.
    Commit,
    /// Asking for the box's state.
    Report,
    /// Giving a command.
    Command,
    /// Asking what the plan says of a place.
    Place,
    /// Asking what happened.
    Events,
    /// Asking what it shows.
    Picture,
    /// Having everything forgotten.
    Wipe,
}

impl fmt::Display for Step {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Hello => "the exchange of versions",
            Self::Begin => "the announcement of the pack",
            Self::Chunk => "a part of the pack",
            Self::Commit => "the request to check and store the pack",
            Self::Report => "the question how it is",
            Self::Command => "the command",
            Self::Place => "the question what is there",
            Self::Events => "the question what happened",
            Self::Picture => "the question what it shows",
            Self::Wipe => "the request to forget everything",
        })
    }
}

/// An open conversation.
pub struct Session {
    line: Box<dyn Line>,
    desk: Desk,
    /// What this desk said hello with.
    greeting: Option<Versions>,
    decoder: Decoder,
    started: Instant,
    sent: u32,
    asked: u32,
}

impl Session {
    /// Opens the line to a box.
    ///
    /// # Errors
    /// [`SendError::Line`].
    pub fn open(target: &Target) -> Result<Self, SendError> {
        let (line, patience) = line::open(target).map_err(SendError::Line)?;
        let started = Instant::now();
        // A sequence number that an earlier conversation is not likely to have ended with.
        let seed = (std::process::id() as u8).wrapping_add(OPENED.fetch_add(37, Ordering::Relaxed));
        let desk = Desk::with_patience(seed, patience);
        Ok(Self { line, desk, greeting: None, decoder: Decoder::new(), started, sent: 0, asked: 0 })
    }

    /// Opens the line to a box that has to speak this version of the link at least.
    ///
    /// The hello says all that this desk speaks: whether what the box speaks is enough is decided here.
    ///
    /// # Errors
    /// [`SendError::Versions`], and those of [`Self::open`] and [`Self::hello`].
    pub fn since(target: &Target, least: u16) -> Result<Self, SendError> {
        let mut session = Self::open(target)?;
        let version = session.hello(Versions::OURS)?;
        if version < least {
            let desk = Versions { min: least, ..Versions::OURS };
            let device = Versions { min: version, current: version };
            return Err(SendError::Versions(Mismatch::UpdateBox { desk, device }));
        }
        Ok(session)
    }

    /// How often a request had to be repeated so far.
    pub fn repeats(&self) -> u32 {
        self.sent - self.asked
    }

    /// Exchanges versions and returns the one that both speak.
    ///
    /// # Errors
    /// [`SendError::Versions`] says which side to update.
    pub fn hello(&mut self, ours: Versions) -> Result<u16, SendError> {
        self.greeting = Some(ours);
        match self.ask(Step::Hello, &Request::Hello(ours))? {
            Answer::Hello(theirs) => Versions::agree(ours, theirs).map_err(SendError::Versions),
            _ => Err(SendError::Confused(Step::Hello)),
        }
    }

    /// Asks how the box is.
    ///
    /// # Errors
    /// [`SendError`].
    pub fn report(&mut self) -> Result<Report, SendError> {
        match self.ask(Step::Report, &Request::Report)? {
            Answer::Report(report) => Ok(report),
            Answer::Refused(why) => Err(SendError::Refused(Step::Report, why)),
            _ => Err(SendError::Confused(Step::Report)),
        }
    }

    /// Asks what the plan says of a place now, millimetres on the stage.
    ///
    /// # Errors
    /// [`SendError`].
    pub fn place(&mut self, (x_mm, y_mm): (i32, i32)) -> Result<Spoken, SendError> {
        match self.ask(Step::Place, &Request::At { x_mm, y_mm })? {
            Answer::At(spoken) => Ok(spoken),
            Answer::Refused(why) => Err(SendError::Refused(Step::Place, why)),
            _ => Err(SendError::Confused(Step::Place)),
        }
    }

    /// Has a request carried out that is answered by done or refused.
    ///
    /// # Errors
    /// [`SendError::Refused`] with the box's reason, or what happened to the line.
    pub fn done(&mut self, step: Step, request: &Request<'_>) -> Result<(), SendError> {
        match self.ask(step, request)? {
            Answer::Done => Ok(()),
            Answer::Refused(why) => Err(SendError::Refused(step, why)),
            _ => Err(SendError::Confused(step)),
        }
    }

    /// Sends a request until its answer comes or patience ends. A box that has forgotten this desk, as after a power
    /// cut or when others came between, is greeted again.
    ///
    /// # Errors
    /// [`SendError::Silent`] or [`SendError::Line`].
    pub fn ask(&mut self, step: Step, request: &Request<'_>) -> Result<Answer, SendError> {
        let answer = self.exchange(step, request)?;
        match self.greeting {
            Some(ours) if answer == Answer::Refused(Refusal::HelloFirst) => {
                self.exchange(Step::Hello, &Request::Hello(ours))?;
                self.exchange(step, request)
            }
            _ => Ok(answer),
        }
    }

    fn exchange(&mut self, step: Step, request: &Request<'_>) -> Result<Answer, SendError> {
        self.desk.ask(request);
        self.asked += 1;
        loop {
            let now = underfoot_core::units::Instant::from_micros(self.started.elapsed().as_micros() as u64);
            match self.desk.poll(now) {
                DeskStep::Send(bytes) => {
                    self.sent += 1;
                    self.line.write_all(bytes).and_then(|()| self.line.flush()).map_err(SendError::Line)?;
                }
                DeskStep::GiveUp => return Err(SendError::Silent(step)),
                DeskStep::Wait => {}
            }
            if let Some(answer) = self.look().map_err(SendError::Line)? {
                return Ok(answer);
            }
        }
    }

    fn look(&mut self) -> io::Result<Option<Answer>> {
        let mut bytes = [0; MAX_WIRE_BYTES];
        let len = match self.line.read(&mut bytes) {
            Ok(0) => return Err(ErrorKind::UnexpectedEof.into()),
            Ok(len) => len,
            Err(e) if matches!(e.kind(), ErrorKind::WouldBlock | ErrorKind::TimedOut | ErrorKind::Interrupted) => 0,
            Err(e) => return Err(e),
        };
        for &byte in &bytes[..len] {
            if let Some(Ok(frame)) = self.decoder.push(byte)
                && let Some(answer) = self.desk.hear(frame)
            {
                return Ok(Some(answer));
            }
        }
        Ok(None)
    }
}
