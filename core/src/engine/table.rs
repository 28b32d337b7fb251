//! What happens when something is lost: one table, mode by mode. The engine acts by it.

use super::faults::Fault;
use crate::show::Mode;

/// What happens to the floor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Then {
    /// Nothing: it stays as it is, and the fault is told.
    Keep,
    /// The cue stays, and what is lost advances nothing.
    HoldCue,
    /// AIR while it is lost.
    Air,
    /// AIR until the next advance.
    FallToAir,
    /// What depends on it goes off within one frame.
    Blank,
    /// OFF; two steps lead out.
    Off,
    /// OFF; one GO restores the cue.
    Held,
}

/// The modes in the order of the table's columns.
pub const MODES: [Mode; 7] =
    [Mode::Build, Mode::Brief, Mode::Standby, Mode::Air, Mode::Reset, Mode::Worklight, Mode::Off];

/// What is lost, and what happens then in each of [`MODES`].
pub const TABLE: [(Fault, [Then; 7]); 11] = {
    use Then::{Air, Blank, FallToAir as Fall, Held, HoldCue, Keep, Off};
    [
        (Fault::Tally, [Air, Air, Air, Keep, Air, Air, Keep]),
        (Fault::Tracking, [Keep, Keep, Keep, Blank, Fall, Keep, Keep]),
        (Fault::Desk, [HoldCue, HoldCue, HoldCue, HoldCue, Fall, HoldCue, Keep]),
        (Fault::Timecode, [HoldCue, HoldCue, HoldCue, HoldCue, Fall, HoldCue, Keep]),
        // The rows that go out are as right as before, and so is the word of when the break ends.
        (Fault::Controller, [Keep, Keep, Keep, Keep, Keep, Keep, Keep]),
        (Fault::Partner, [Keep, Keep, Keep, Keep, Keep, Keep, Keep]),
        (Fault::Show, [Off, Off, Off, Off, Off, Off, Keep]),
        (Fault::Power, [Held, Held, Held, Held, Held, Held, Keep]),
        (Fault::Paint, [Keep, Keep, Keep, Keep, Fall, Keep, Keep]),
        (Fault::Port, [Keep, Keep, Keep, Keep, Fall, Keep, Keep]),
        // Nothing is lost: a box that does not belong here must not end a break.
        (Fault::Misfit, [Keep, Keep, Keep, Keep, Keep, Keep, Keep]),
    ]
};

/// What happens when `lost` is lost in `mode`.
pub fn then(mode: Mode, lost: Fault) -> Then {
    let column = MODES.iter().position(|&m| m == mode);
    let row = TABLE.iter().find(|(fault, _)| *fault == lost);
    row.zip(column).and_then(|((_, cells), i)| cells.get(i).copied()).unwrap_or(Then::Keep)
}
