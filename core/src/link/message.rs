//! What desk and box say to each other.
//!
//! The order of variants and fields is the wire format: released ones never move, new ones go at the end.

use serde::{Deserialize, Serialize};

use super::version::Versions;
use crate::show::{CueId, Mode, PropId};

/// Most bytes of a pack in one [`Request::PackChunk`].
pub const CHUNK_BYTES: usize = 512;
/// Longest message in postcard: a full chunk (variant, 5-byte offset, 2-byte length, bytes).
pub const MAX_MESSAGE_BYTES: usize = 1 + 5 + 2 + CHUNK_BYTES;

/// What the desk asks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Request<'b> {
    /// 0: the desk's versions. Starts a conversation; anything else before it is refused.
    Hello(Versions),
    /// 1: how are you?
    Report,
    /// 2: a pack of this many bytes follows. Only in OFF.
    PackBegin {
        /// Length of the whole pack, bytes.
        len: u32,
    },
    /// 3: the next bytes of the pack.
    PackChunk {
        /// Where they belong.
        offset: u32,
        /// At most [`CHUNK_BYTES`] bytes.
        bytes: &'b [u8],
    },
    /// 4: the pack is complete: check it, store it, read it back, use it.
    PackCommit,
    /// 5: go to this cue, which the sender's display shows as the next.
    Go {
        /// The cue to go to.
        to: CueId,
    },
    /// 6: go back to this cue, which the sender's display shows as the one before.
    Back {
        /// The cue to go to.
        to: CueId,
    },
    /// 7: everything off, now. Always obeyed.
    Off,
    /// 8: let the next GO leave OFF.
    Arm,
    /// 9: what does the plan say of this place now? Since version 2.
    At {
        /// From the stage's origin towards stage left, millimetres.
        x_mm: i32,
        /// From the stage's origin upstage, millimetres.
        y_mm: i32,
    },
}

/// What the box answers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Answer {
    /// 0: the box's versions.
    Hello(Versions),
    /// 1: the box's state.
    Report(Report),
    /// 2: done.
    Done,
    /// 3: not done, and why.
    Refused(Refusal),
    /// 4: what the plan says of the place asked for. Since version 2.
    At(Spoken),
}

/// What the plan says of a place, and when.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Spoken {
    /// The cue on the floor.
    pub cue: CueId,
    /// Milliseconds since that cue began.
    pub after_ms: u32,
    /// What the place is.
    pub class: PlaceClass,
    /// What makes it so.
    pub what: What,
}

/// What a place is: the occupancy map's classes, with the map's numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum PlaceClass {
    /// 0: the plan has nothing there.
    Free,
    /// 1: a prop at foot height.
    Contact,
    /// 2: a prop at body height.
    Body,
    /// 3: a prop overhead only.
    Overhead,
    /// 4: a prop gets there soon or is announced for there.
    SweptSoon,
    /// 5: a real thing.
    Physical,
    /// 6: the edge band, or beyond the floor.
    Edge,
    /// 7: a dead or missing panel.
    Dead,
}

/// What makes a place what it is, by index in the show's lists.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum What {
    /// 0: nothing.
    Nothing,
    /// 1: a part of a prop.
    Part {
        /// The prop.
        prop: PropId,
        /// Index among the prop's parts.
        part: u8,
    },
    /// 2: a physical thing.
    Physical(u8),
    /// 3: a side of the floor: from vertex i to the next.
    Side(u8),
    /// 4: beyond the floor.
    OffFloor,
    /// 5: a panel, by its tile fault.
    Panel(u8),
}

/// The box's state.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Report {
    /// What the floor is doing.
    pub mode: Mode,
    /// The cue on the floor.
    pub now: Option<CueId>,
    /// The cue that GO leads to.
    pub next: Option<CueId>,
    /// The cue that BACK leads to.
    pub back: Option<CueId>,
    /// True while GO may leave OFF.
    pub armed: bool,
    /// Checksum of the show's pack, as at its end; `None` without a show.
    pub pack_crc: Option<u32>,
    /// Frames painted since power-up.
    pub frames: u32,
    /// CRC-32/ISO-HDLC of the last frame's rows, see `core/docs/link.md`.
    pub picture_crc: u32,
    /// Damaged frames received since power-up.
    pub bad_frames: u32,
    /// Pictures that could not be painted since power-up; the floor was blanked instead.
    pub paint_faults: u32,
}

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
