//! What is wrong with an attached box, in words with a remedy.

use std::io::{self, ErrorKind};

use underfoot_core::link::Refusal;
use underfoot_core::panel::CueTag;
use underfoot_core::panel::display::words;
use underfoot_core::show::Show;

use super::State;
use crate::link::{SendError, Step};
use crate::rehearse::boxes::doings::Done;
use crate::sim::wording;

/// Why the box at `to` cannot be looked at, and what to do.
pub(super) fn lost(error: &SendError, to: &str) -> (State, String) {
    let silent = match error {
        SendError::Versions(mismatch) => {
            return (State::OtherVersion, format!("{mismatch}; it is called again by itself"));
        }
        SendError::Line(error) => line(error, to),
        SendError::Silent(Step::Hello) => format!(
            "the line to {to} is open, but no box answers: is it on, is this its link, and is no other desk on its line?"
        ),
        SendError::Silent(_) => "it answers no more: is it on, and is its cable in?".into(),
        SendError::Confused(_) => format!("what answers at {to} is no box: correct the address"),
        SendError::Refused(step, why) => format!("it refused {step} ({why:?}): Detach, then Attach again"),
        other => other.to_string(),
    };
    (State::Silent, silent)
}

fn line(error: &io::Error, to: &str) -> String {
    match error.kind() {
        ErrorKind::ConnectionRefused => format!(
            "nothing takes calls at {to}: start the box (`underfoot box SHOW` in a terminal), or correct the address; it is called \
             again by itself"
        ),
        ErrorKind::UnexpectedEof
        | ErrorKind::ConnectionReset
        | ErrorKind::ConnectionAborted
        | ErrorKind::BrokenPipe
        | ErrorKind::NotConnected => {
            "its line was closed: it lost power, or another desk took the line; it is called again by itself".into()
        }
        ErrorKind::TimedOut | ErrorKind::HostUnreachable | ErrorKind::NetworkUnreachable => {
            format!("{to} is not reached: is the box on, and in this network?")
        }
        ErrorKind::PermissionDenied => format!("{to} may not be opened by this user: {error}"),
        _ => format!("{to} cannot be opened: correct the address, or plug the box in ({error})"),
    }
}

/// An order, as crew call it.
pub(super) fn order(done: Done, show: &Show) -> String {
    let cue = |id| CueTag::of(show, id).map_or_else(|| "a cue that the show has not".into(), |tag| wording::tag(&tag));
    match done {
        Done::Arm => "arm".into(),
        Done::Go(to) => format!("GO to {}", cue(to)),
        Done::Back(to) => format!("BACK to {}", cue(to)),
        Done::Off => "OFF".into(),
        Done::Hold(true) => "HOLD".into(),
        Done::Hold(false) => "the end of HOLD".into(),
        Done::Mode(Some(mode)) => words::mode(mode).into(),
        Done::Mode(None) => "the mode as cued".into(),
    }
}

/// Why an order was not obeyed, and what to do.
pub(super) fn refused(why: Refusal, show: &Show) -> String {
    match why {
        Refusal::NotShown { shown } => {
            let next = shown.and_then(|id| CueTag::of(show, id)).map_or("none".into(), |tag| wording::tag(&tag));
            format!("there it leads to {next}, and no cue is skipped: bring both boxes to the same cue")
        }
        Refusal::NotArmed => "it is in OFF and not armed: bring it to this cue at its own keys".into(),
        Refusal::Held => "HOLD is on at its own keys".into(),
        Refusal::Stopped => "its stop contact is pressed".into(),
        Refusal::OnAir => "it is on air, or does not know".into(),
        Refusal::NoShow => "it has no show".into(),
        other => format!("{other:?}"),
    }
}
