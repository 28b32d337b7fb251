//! What comes of moving a mark or a prop by hand.

use serde::{Deserialize, Serialize};

use super::spoken::What;
use crate::limits;
use crate::show::{CueId, MarkId, PropId};

/// What can be moved.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Piece {
    /// 0: a mark.
    Mark(MarkId),
    /// 1: a prop.
    Prop(PropId),
}

/// Where something is after a move, and what that makes of the cues.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Moved {
    /// How far it is from where the show has it, towards stage left, millimetres: all moves since the show was loaded.
    pub dx_mm: i32,
    /// The same upstage.
    pub dy_mm: i32,
    /// Things that were measured.
    pub checked: u16,
    /// Those that now miss their limit.
    pub short: u16,
    /// Those that missed their limit before this move and keep it now.
    pub mended: u16,
    /// The one of those that miss their limit which misses it most; `None` when there is none.
    pub worst: Option<Short>,
}

/// A limit that is missed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Short {
    /// The cue it is missed in.
    pub cue: CueId,
    /// What needs the room.
    pub need: Need,
    /// What takes it.
    pub by: What,
    /// What there is, millimetres.
    pub have_mm: i32,
    /// What there has to be, millimetres.
    pub least_mm: i32,
}

/// What needs room.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Need {
    /// 0: a person at this mark.
    Stand(MarkId),
    /// 1: a person on the walk line of this index.
    Walk(u8),
    /// 2: a prop.
    Prop(PropId),
    /// 3: a person on the straight way to this mark, from the mark of the cue before.
    Way(MarkId),
}

/// Things that may be moved at once.
pub const NUDGES: usize = limits::NUDGES;

/// Everything that is not where the show has it, moved by hand since the show was loaded.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Nudges {
    /// The things; all that follow a `None` are `None`.
    pub list: [Option<Nudge>; NUDGES],
}

/// One thing that is not where the show has it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Nudge {
    /// What.
    pub what: Piece,
    /// How far it is from where the show has it, towards stage left, millimetres.
    pub dx_mm: i16,
    /// The same upstage.
    pub dy_mm: i16,
}

/// What a dead panel means.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Tiled {
    /// The marks of which the panel shows some: bit i for mark i.
    pub marks: u64,
    /// Another place for one of them, at most 0.25 m away, on no dead panel and with room for everybody who uses it;
    /// `None` when there is none, or no mark on a dead panel.
    pub offer: Option<Nudge>,
}
