//! What a box says of a place on the floor.

use serde::{Deserialize, Serialize};

use crate::show::{CueId, MarkId, PropId};

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
    /// 6: somebody on this mark. Since version 3, as all that follow; not of a place.
    Mark(MarkId),
    /// 7: an LED wall.
    Wall(u8),
}
