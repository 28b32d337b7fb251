//! What happened in a box: nothing personal, and nothing of where anybody was.

use serde::{Deserialize, Serialize};

use super::refusal::Refusal;
use crate::engine::{Fault, Source};
use crate::show::{CueId, Mode};

/// Entries in one answer.
pub const EVENTS: usize = 8;

/// A stretch of what happened, oldest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Events {
    /// Number of the first entry here; they count up from 1 since power-up or the last wipe. A number further on than
    /// asked for means that the entries between are no longer kept.
    pub first: u32,
    /// Milliseconds since power-up now, so that the desk can tell the time of day of each entry.
    pub now_ms: u32,
    /// The entries; all that follow a `None` are `None`, and fewer than [`EVENTS`] are the last there are.
    pub entries: [Option<Entry>; EVENTS],
}

/// One thing that happened.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Entry {
    /// When it happened last: milliseconds since power-up.
    pub at_ms: u32,
    /// How often it happened in a row.
    pub times: u16,
    /// What.
    pub what: Happened,
}

/// What can happen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Happened {
    /// 0: the box started.
    Started(Start),
    /// 1: an advance.
    Advanced {
        /// Who made it.
        from: Source,
        /// The cue it led to.
        to: CueId,
    },
    /// 2: everything off.
    Off {
        /// Who asked; `None` for the box itself: the stop contact, a new show.
        from: Option<Source>,
    },
    /// 3: a mode beside the cue's own, or the cue's own again.
    Mode {
        /// Who asked.
        from: Source,
        /// The mode.
        mode: Option<Mode>,
    },
    /// 4: HOLD, or no longer.
    Hold {
        /// Who asked.
        from: Source,
        /// True for HOLD.
        on: bool,
    },
    /// 5: something was asked for and not done.
    Refused {
        /// Who asked.
        from: Source,
        /// Why it was not done.
        why: Refusal,
    },
    /// 6: something broke, or is whole again.
    Fault {
        /// What.
        fault: Fault,
        /// True when it broke.
        there: bool,
    },
    /// 7: a show is ready.
    ShowReady {
        /// Checksum at the end of its pack.
        pack_crc: u32,
    },
    /// 8: there is no show.
    NoShow,
    /// 9: flash could not be read or written.
    StoreFailed,
    /// 10: a pack was refused.
    PackRefused,
    /// 11: the versions of desk and box do not meet.
    VersionMismatch,
    /// 12: a damaged frame came over the link.
    BadFrame,
    /// 13: a picture could not be painted.
    PaintFault,
    /// 14: a port failed.
    PortFault,
    /// 15: the box was wiped.
    Wiped,
    /// 16: the box was told which one it is.
    SetUp,
}

/// Why a box started.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Start {
    /// 0: it got power, or its reset key was pressed.
    #[default]
    Power,
    /// 1: its watchdog had not been fed in time.
    Watchdog,
    /// 2: its program found itself wrong.
    Panic {
        /// CRC-32/ISO-HDLC of the source file's path as the compiler wrote it.
        file: u32,
        /// Line in it.
        line: u32,
    },
    /// 3: its processor could not go on.
    Fault {
        /// Address of the instruction.
        at: u32,
    },
    /// 4: its supply had sagged; only some boards can tell that from power.
    BrownOut,
}
