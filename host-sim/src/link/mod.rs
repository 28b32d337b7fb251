//! The desk's end of the link: datagrams, TCP or a serial line, and what a box is asked over it.

mod line;
mod log_words;
mod place;
mod sending;
mod session;
mod strike;
mod target;

pub use log_words::text as log_text;
pub use place::place;
pub use sending::{Sent, send};
pub use session::{Session, Step};
pub use strike::{Log, log, strike};
pub use target::{BadTarget, Target};

use std::fmt;
use std::io;

use underfoot_core::link::{Mismatch, Refusal};
use underfoot_core::pack::{PackError, ShowCode};

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
    /// The box is not OFF, so it is not wiped.
    Lit,
    /// The box says that it has a show after it was wiped.
    NotWiped(Option<ShowCode>),
    /// The box says that it has another pack than the one sent.
    OtherPack {
        /// Checksum of the pack that was sent.
        expected: u32,
        /// Checksum that the box reports.
        got: Option<u32>,
    },
}

impl fmt::Display for SendError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Pack(error) => write!(f, "this is no whole pack: {error:?}"),
            Self::Target(error) => error.fmt(f),
            Self::Line(error) => write!(f, "the line to the box: {error}"),
            Self::Lit | Self::Refused(Step::Wipe, Refusal::NotOff) => {
                f.write_str("the box is wiped only while it is OFF: press OFF on the box, then strike again")
            }
            Self::NotWiped(code) => {
                write!(f, "the box still has a show after its wipe, {code:?}: strike again, and mistrust its flash")
            }
            Self::Refused(Step::Wipe, why) => {
                write!(f, "the box did not say that it is wiped ({why:?}): strike again, and mistrust its flash")
            }
            Self::Silent(step @ (Step::Wipe | Step::Events | Step::Picture)) => {
                write!(f, "no answer to {step}: is the box on, and is this its line?")
            }
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
