//! The desk's end of the link: datagrams, TCP or a serial line, and what a box is asked over it.

mod line;
mod place;
mod session;
mod target;

pub use place::place;
pub use session::{Session, Step};
pub use target::{BadTarget, Target};

use std::fmt;
use std::io;

use underfoot_core::link::message::CHUNK_BYTES;
use underfoot_core::link::{Mismatch, Refusal, Report, Request, Versions};
use underfoot_core::pack::{PackError, ShowCode, envelope};

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
    /// The box's state afterwards.
    pub report: Report,
}

/// Why a pack was not taken.
#[derive(Debug)]
pub enum SendError {
    /// The bytes are no whole pack.
    Pack(PackError),
    /// The target cannot be read.
    Target(BadTarget),
    /// The line could not be opened or broke.
    Line(io::Error),
    /// The box did not answer this step.
    Silent(Step),
    /// The box answered this step with something else.
    Confused(Step),
    /// Desk and box share no version.
    Versions(Mismatch),
    /// The box refused this step.
    Refused(Step, Refusal),
    /// The box has another show than the one whose names are asked for, or none.
    OtherShow {
        /// The code of the desk's show.
        desk: ShowCode,
        /// The code of the box's.
        device: Option<ShowCode>,
    },
    /// The box says that it has another pack than the one sent.
    OtherPack {
        /// Checksum of the pack that was sent.
        expected: u32,
        /// Checksum that the box reports.
        got: Option<u32>,
    },
}

/// Sends a whole pack to a box: versions first, then the pack in chunks, then the box checks, stores and reads back.
/// `progress` is called with bytes done and bytes in all.
///
/// # Errors
/// [`SendError`]; the box then has its old show, whole.
pub fn send(pack: &[u8], target: &str, progress: &mut dyn FnMut(usize, usize)) -> Result<Sent, SendError> {
    let (_, crc) = envelope::open(pack).map_err(SendError::Pack)?;
    let target: Target = target.parse().map_err(SendError::Target)?;
    let mut session = Session::open(&target)?;
    let version = session.hello(Versions::OURS)?;
    session.done(Step::Begin, &Request::PackBegin { len: pack.len() as u32 })?;
    for (index, bytes) in pack.chunks(CHUNK_BYTES).enumerate() {
        let offset = index * CHUNK_BYTES;
        progress(offset, pack.len());
        session.done(Step::Chunk, &Request::PackChunk { offset: offset as u32, bytes })?;
    }
    session.done(Step::Commit, &Request::PackCommit)?;
    progress(pack.len(), pack.len());
    let report = session.report()?;
    if report.pack_crc != Some(crc) {
        return Err(SendError::OtherPack { expected: crc, got: report.pack_crc });
    }
    Ok(Sent { code: ShowCode::of_crc(crc), bytes: pack.len(), version, repeats: session.repeats(), report })
}

impl fmt::Display for SendError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Pack(error) => write!(f, "this is no whole pack: {error:?}"),
            Self::Target(error) => error.fmt(f),
            Self::Line(error) => write!(f, "the line to the box: {error}"),
            Self::Silent(step) => {
                write!(f, "no answer to {step}: is the box on, and is this its line? Its old show is unchanged")
            }
            Self::Confused(step) => write!(f, "the answer to {step} makes no sense: is this a box?"),
            Self::Versions(mismatch) => mismatch.fmt(f),
            Self::Refused(_, Refusal::NotOff) => {
                f.write_str("the box takes packs only while it is OFF: press OFF on the box, then send again")
            }
            Self::Refused(Step::Place, Refusal::NoCue) => {
                f.write_str("the box is OFF, so no cue is on the floor: GO first, or ask the show file for a cue")
            }
            Self::Refused(Step::Place, why) => write!(f, "the box refused {}: {why:?}", Step::Place),
            Self::OtherShow { desk, device: None } => {
                write!(f, "the box has no show, and names are needed: send it {desk} first")
            }
            Self::OtherShow { desk, device: Some(device) } => {
                write!(
                    f,
                    "the box has show {device}, and this file is {desk}: name the file that it has, or send this one"
                )
            }
            Self::Refused(step, why) => write!(f, "the box refused {step}: {why:?}. Its old show is unchanged"),
            Self::OtherPack { expected, got } => {
                write!(f, "the box reports another pack than the one sent: {got:08x?} instead of {expected:08x}")
            }
        }
    }
}

impl std::error::Error for SendError {}
