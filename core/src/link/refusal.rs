//! Why a box did not do what it was asked.

use serde::{Deserialize, Serialize};

use crate::show::CueId;

/// Why the box did not do it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Refusal {
    /// 0: the versions have not been exchanged.
    HelloFirst,
    /// 1: the message could not be read.
    Unreadable,
    /// 2: there is no show.
    NoShow,
    /// 3: another cue is shown as next (or before) than the one asked for.
    NotShown {
        /// The cue that is shown.
        shown: Option<CueId>,
    },
    /// 4: too soon after the last advance.
    Lockout {
        /// Milliseconds until an advance is taken.
        left_ms: u16,
    },
    /// 5: the box is OFF and GO has not been armed.
    NotArmed,
    /// 6: packs are taken only in OFF.
    NotOff,
    /// 7: no pack has been begun.
    NoPack,
    /// 8: the chunk is not the next one.
    Offset {
        /// The offset expected next.
        expected: u32,
    },
    /// 9: the pack does not fit.
    TooLong {
        /// Most bytes taken.
        limit: u32,
    },
    /// 10: the pack is incomplete.
    Incomplete {
        /// Bytes announced.
        expected: u32,
        /// Bytes received.
        got: u32,
    },
    /// 11: the pack failed a check.
    Pack {
        /// Which.
        check: PackCheck,
        /// What the check expected, 0 where that is no number.
        expected: u32,
        /// What it got, 0 where that is no number.
        got: u32,
    },
    /// 12: the store did not take the pack; the old show is unchanged.
    Store,
    /// 13: the box is OFF: there is no cue to speak of. Since version 2.
    NoCue,
    /// 14: a shape of the cue cannot be used, so nothing is said about any place. Since version 2.
    BadShape,
    /// 15: HOLD: only the keys of the box advance. Since version 3, as all that follow.
    Held,
    /// 16: the house's stop contact asks for darkness.
    Stopped,
    /// 17: not on air.
    OnAir,
    /// 18: this box has no part that could do it.
    Unable,
    /// 19: the show has no such camera, mark, prop or panel.
    NoSuch,
    /// 20: a number or a length is out of range.
    BadValue,
    /// 21: what would come of it could not be worked out, so it was not done.
    Unchecked,
    /// 22: too far from where the show has it.
    TooFar {
        /// How far it would be, millimetres, rounded up.
        asked_mm: u32,
        /// How far it may be.
        limit_mm: u32,
    },
    /// 23: a list is full.
    Full {
        /// How many it holds.
        limit: u32,
    },
    /// 24: a picture is in work: ask again.
    Busy,
}

/// Which check a pack failed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum PackCheck {
    /// 0: too few bytes.
    TooShort,
    /// 1: too many bytes.
    TooLong,
    /// 2: not a pack.
    Magic,
    /// 3: a version that the box does not read.
    Version,
    /// 4: the length in its header.
    Length,
    /// 5: the checksum.
    Crc,
    /// 6: a value that cannot be read.
    Value,
    /// 7: a list longer than the box holds.
    Full,
    /// 8: bytes left over.
    Trailing,
    /// 9: a number out of range or an index out of its list.
    Show,
}
