//! Orders of the simulated box, given to the attached one.

use std::thread;
use std::time::Duration;

use underfoot_core::link::{Answer, Refusal, Request};
use underfoot_core::show::Show;

use super::words;
use crate::link::{SendError, Session, Step};
use crate::rehearse::boxes::doings::Done;

/// How often an order is repeated that comes too soon after the last advance.
const TRIES: u32 = 4;

/// Gives an order; what came of it, in words.
///
/// # Errors
/// What happened to the line.
pub(super) fn give(session: &mut Session, done: Done, show: &Show) -> Result<String, SendError> {
    let order = words::order(done, show);
    let given = match obeyed(session, done)? {
        // HOLD that was asked for by a desk keeps desks from advancing; the page's own keys advance through it.
        Err(Refusal::Held) if matches!(done, Done::Go(_) | Done::Back(_)) => through_hold(session, done)?,
        given => given,
    };
    Ok(match given {
        Ok(()) => format!("it was given {order}"),
        Err(why) => format!("it did not take {order}: {}", words::refused(why, show)),
    })
}

fn through_hold(session: &mut Session, done: Done) -> Result<Result<(), Refusal>, SendError> {
    if let Err(why) = obeyed(session, Done::Hold(false))? {
        return Ok(Err(why));
    }
    let given = obeyed(session, done)?;
    // Who took HOLD away meanwhile has the last word.
    let _ = obeyed(session, Done::Hold(true))?;
    Ok(given)
}

fn obeyed(session: &mut Session, done: Done) -> Result<Result<(), Refusal>, SendError> {
    let mut refusal = Refusal::Unable;
    for _ in 0..TRIES {
        match session.ask(Step::Command, &request(done))? {
            Answer::Done => return Ok(Ok(())),
            Answer::Refused(Refusal::Lockout { left_ms }) => {
                refusal = Refusal::Lockout { left_ms };
                thread::sleep(Duration::from_millis(left_ms.into()));
            }
            Answer::Refused(why) => return Ok(Err(why)),
            _ => return Err(SendError::Confused(Step::Command)),
        }
    }
    Ok(Err(refusal))
}

const fn request(done: Done) -> Request<'static> {
    match done {
        Done::Arm => Request::Arm,
        Done::Go(to) => Request::Go { to },
        Done::Back(to) => Request::Back { to },
        Done::Off => Request::Off,
        Done::Hold(on) => Request::Hold { on },
        Done::Mode(mode) => Request::Mode { mode },
    }
}
