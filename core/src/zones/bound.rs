//! What bounds a side of a zone.

use crate::cameras::Side;
use crate::props::Limit;
use crate::show::{PropId, ShotId};

/// What forbids the floor beyond a side of a zone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bound {
    /// The floor's end, an edge band, a wall line or a keep-out.
    Limit(Limit),
    /// The person leaves the safe part of a shot's picture at this side.
    Frame {
        /// The shot.
        shot: ShotId,
        /// The side as seen in the picture.
        side: Side,
    },
    /// An overlay part behind the person paints over them.
    Painted {
        /// The shot.
        shot: ShotId,
        /// The prop.
        prop: PropId,
        /// Index among the prop's parts.
        part: u8,
    },
    /// An overlay part before the person hides head or torso.
    Hidden {
        /// The shot.
        shot: ShotId,
        /// The prop.
        prop: PropId,
        /// Index among the prop's parts.
        part: u8,
    },
    /// The person shows in front of a part on the LED surface that should be nearer.
    InFront {
        /// The shot.
        shot: ShotId,
        /// The prop.
        prop: PropId,
        /// Index among the prop's parts.
        part: u8,
    },
    /// Behind the person's outline there is no LED surface where an extension is drawn.
    OffWall {
        /// The shot.
        shot: ShotId,
        /// The side of the person as seen in the picture.
        side: Side,
    },
}

impl Bound {
    /// The shot that it is about, if it is about one.
    pub const fn shot(&self) -> Option<ShotId> {
        match *self {
            Self::Limit(_) => None,
            Self::Frame { shot, .. }
            | Self::Painted { shot, .. }
            | Self::Hidden { shot, .. }
            | Self::InFront { shot, .. }
            | Self::OffWall { shot, .. } => Some(shot),
        }
    }
}
