//! Sending a pack, over a line that may break on the way.

use std::thread;
use std::time::{Duration, Instant};

use underfoot_core::link::message::CHUNK_BYTES;
use underfoot_core::link::version::WITH_WIPE;
use underfoot_core::link::{Answer, Refusal, Report, Request, Versions};
use underfoot_core::pack::{ShowCode, envelope};

use super::{SendError, Session, Step, Target};

/// How long nothing may get through before the desk gives up.
const PATIENCE: Duration = Duration::from_secs(30);
/// Between two tries to open a line that broke.
const PAUSE: Duration = Duration::from_millis(250);

/// A pack that a box has taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sent {
    /// Its show code, as the box's display shows it.
    pub code: ShowCode,
    /// Bytes of the pack.
    pub bytes: usize,
    /// Version of the link that both sides spoke.
    pub version: u16,
    /// How often a request had to be repeated.
    pub repeats: u32,
    /// How often the line broke.
    pub breaks: u32,
    /// Bytes that the box had from an earlier try when this desk first asked.
    pub had: usize,
    /// The box's state afterwards.
    pub report: Report,
}

/// Sends a whole pack to a box: versions first, then the pack in chunks, then the box checks, stores and reads back.
/// When the line breaks on the way, the desk opens it again and goes on where the box says. `progress` is called with
/// bytes done and bytes in all.
///
/// # Errors
/// [`SendError`]; the box then has its old show, whole. A line that never opened is not tried again.
pub fn send(pack: &[u8], target: &str, progress: &mut dyn FnMut(usize, usize)) -> Result<Sent, SendError> {
    let (_, crc) = envelope::open(pack).map_err(SendError::Pack)?;
    let target: Target = target.parse().map_err(SendError::Target)?;
    let mut sending = Sending { pack, crc, had: None, is_committed: false, repeats: 0, reached: None, progress };
    let (mut breaks, mut session, mut since) = (0, Session::open(&target)?, Instant::now());
    loop {
        let before = sending.reached;
        let error = match sending.go(&mut session) {
            Ok((version, report)) => return Ok(sending.sent(version, breaks, report)),
            Err(error) => error,
        };
        if sending.reached != before {
            since = Instant::now();
        }
        if !is_a_break(&error) || since.elapsed() > PATIENCE {
            return Err(error);
        }
        breaks += 1;
        session = reopen(&target, since, error)?;
    }
}

/// True for what another try may mend: the line, or a box that lost power or heard another desk in between.
fn is_a_break(error: &SendError) -> bool {
    match error {
        SendError::Line(_) | SendError::Silent(_) => true,
        SendError::Refused(_, why) => {
            matches!(why, Refusal::HelloFirst | Refusal::NoPack | Refusal::Offset { .. } | Refusal::Incomplete { .. })
        }
        _ => false,
    }
}

/// Opens the line again; `first` is what broke it.
fn reopen(target: &Target, since: Instant, first: SendError) -> Result<Session, SendError> {
    loop {
        thread::sleep(PAUSE);
        match Session::open(target) {
            Ok(session) => return Ok(session),
            Err(_) if since.elapsed() > PATIENCE => return Err(first),
            Err(_) => {}
        }
    }
}

struct Sending<'s> {
    pack: &'s [u8],
    crc: u32,
    had: Option<usize>,
    /// The box was asked to store it: it may have done so although its answer was lost.
    is_committed: bool,
    repeats: u32,
    reached: Option<usize>,
    progress: &'s mut dyn FnMut(usize, usize),
}

impl Sending<'_> {
    fn go(&mut self, session: &mut Session) -> Result<(u16, Report), SendError> {
        let done = self.talk(session);
        self.repeats += session.repeats();
        done
    }

    fn talk(&mut self, session: &mut Session) -> Result<(u16, Report), SendError> {
        let version = session.hello(Versions::OURS)?;
        if self.is_committed && session.report()?.pack_crc == Some(self.crc) {
            return Ok((version, session.report()?));
        }
        let from = if version >= WITH_WIPE { self.resume(session)? } else { self.begin(session)? };
        self.had.get_or_insert(from);
        for (offset, bytes) in chunks(self.pack, from) {
            self.reach(offset);
            session.done(Step::Chunk, &Request::PackChunk { offset: offset as u32, bytes })?;
        }
        self.is_committed = true;
        session.done(Step::Commit, &Request::PackCommit)?;
        self.reach(self.pack.len());
        let report = session.report()?;
        if report.pack_crc != Some(self.crc) {
            return Err(SendError::OtherPack { expected: self.crc, got: report.pack_crc });
        }
        Ok((version, report))
    }

    fn begin(&self, session: &mut Session) -> Result<usize, SendError> {
        session.done(Step::Begin, &Request::PackBegin { len: self.pack.len() as u32 })?;
        Ok(0)
    }

    fn resume(&self, session: &mut Session) -> Result<usize, SendError> {
        let request = Request::PackResume { len: self.pack.len() as u32, crc: self.crc };
        match session.ask(Step::Begin, &request)? {
            Answer::From { offset } if offset as usize <= self.pack.len() => Ok(offset as usize),
            Answer::Refused(why) => Err(SendError::Refused(Step::Begin, why)),
            _ => Err(SendError::Confused(Step::Begin)),
        }
    }

    fn reach(&mut self, done: usize) {
        if self.reached != Some(done) {
            self.reached = Some(done);
            (self.progress)(done, self.pack.len());
        }
    }

    fn sent(&self, version: u16, breaks: u32, report: Report) -> Sent {
        let (code, bytes) = (ShowCode::of_crc(self.crc), self.pack.len());
        Sent { code, bytes, version, repeats: self.repeats, breaks, had: self.had.unwrap_or(0), report }
    }
}

/// The chunks of a pack from an offset on, each with where it belongs.
fn chunks(pack: &[u8], from: usize) -> impl Iterator<Item = (usize, &[u8])> {
    let rest = pack.get(from..).unwrap_or(&[]);
    rest.chunks(CHUNK_BYTES).enumerate().map(move |(i, bytes)| (from + i * CHUNK_BYTES, bytes))
}
