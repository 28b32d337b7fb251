//! Asking a box what the plan says of a place.

use underfoot_core::link::Spoken;
use underfoot_core::link::version::WITH_PLACES;
use underfoot_core::pack::{ShowCode, envelope};

use super::{SendError, Session, Target};

/// What the box says of a place, millimetres on the stage, in the cue on its floor now. `pack` is the show that
/// the caller takes names from: an answer has only numbers.
///
/// # Errors
/// [`SendError`]; [`SendError::OtherShow`] when the box has another show than `pack`.
pub fn place(pack: &[u8], target: &str, at_mm: (i32, i32)) -> Result<Spoken, SendError> {
    let (_, crc) = envelope::open(pack).map_err(SendError::Pack)?;
    let target: Target = target.parse().map_err(SendError::Target)?;
    let mut session = Session::since(&target, WITH_PLACES)?;
    let report = session.report()?;
    if report.pack_crc != Some(crc) {
        let device = report.pack_crc.map(ShowCode::of_crc);
        return Err(SendError::OtherShow { desk: ShowCode::of_crc(crc), device });
    }
    session.place(at_mm)
}
