//! Strike: the box's list of what happened is kept at the desk, then the box forgets everything.

use std::thread;
use std::time::{Duration, Instant, SystemTime, UNIX_EPOCH};

use underfoot_core::link::version::WITH_WIPE;
use underfoot_core::link::{Answer, Entry, Report, Request};
use underfoot_core::pack::ShowCode;

use super::{SendError, Session, Step, Target};

/// How long a box may take to start over after it was wiped.
const PATIENCE: Duration = Duration::from_secs(10);
/// Between two looks at it.
const PAUSE: Duration = Duration::from_millis(700);

/// What a box told before it forgot it.
#[derive(Clone, Debug)]
pub struct Log {
    /// Code of the show that it had.
    pub code: Option<ShowCode>,
    /// What happened, oldest first, each with its time: milliseconds of the Unix epoch by the desk's clock.
    pub entries: Vec<(u64, Entry)>,
    /// Entries that the box no longer had.
    pub lost: u32,
}

/// Asks a box for what happened.
///
/// # Errors
/// [`SendError`].
pub fn log(target: &str) -> Result<Log, SendError> {
    let mut session = open(target)?;
    let report = session.report()?;
    read(&mut session, report)
}

/// Has `keep` keep what a box tells, then wipes the box and looks whether it is empty.
///
/// # Errors
/// [`SendError`]; the box is not wiped unless `keep` was content.
pub fn strike<E: From<SendError>>(target: &str, keep: impl FnOnce(&Log) -> Result<(), E>) -> Result<Log, E> {
    let mut session = open(target)?;
    let report = session.report()?;
    if report.now.is_some() {
        return Err(SendError::Lit.into());
    }
    let log = read(&mut session, report)?;
    keep(&log)?;
    session.done(Step::Wipe, &Request::Wipe)?;
    drop(session);
    await_empty(target)?;
    Ok(log)
}

fn open(target: &str) -> Result<Session, SendError> {
    let target: Target = target.parse().map_err(SendError::Target)?;
    Session::since(&target, WITH_WIPE)
}

fn read(session: &mut Session, report: Report) -> Result<Log, SendError> {
    let mut log = Log { code: report.pack_crc.map(ShowCode::of_crc), entries: Vec::new(), lost: 0 };
    let mut known = 0;
    loop {
        let events = match session.ask(Step::Events, &Request::Events { after: known })? {
            Answer::Events(events) => events,
            Answer::Refused(why) => return Err(SendError::Refused(Step::Events, why)),
            _ => return Err(SendError::Confused(Step::Events)),
        };
        let part: Vec<Entry> = events.entries.into_iter().flatten().collect();
        if part.is_empty() {
            return Ok(log);
        }
        log.lost += events.first.saturating_sub(known + 1);
        known = events.first.saturating_add(part.len() as u32 - 1);
        let now = SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |d| d.as_millis() as u64);
        let at = |entry: &Entry| now.saturating_sub(u64::from(events.now_ms.saturating_sub(entry.at_ms)));
        log.entries.extend(part.into_iter().map(|entry| (at(&entry), entry)));
    }
}

/// Looks at a wiped box once it has started over.
fn await_empty(target: &str) -> Result<(), SendError> {
    let since = Instant::now();
    loop {
        thread::sleep(PAUSE);
        match open(target).and_then(|mut session| session.report()) {
            Ok(Report { pack_crc: None, .. }) => return Ok(()),
            Ok(report) => return Err(SendError::NotWiped(report.pack_crc.map(ShowCode::of_crc))),
            Err(error) if since.elapsed() > PATIENCE => return Err(error),
            Err(_) => {}
        }
    }
}
