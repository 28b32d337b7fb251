//! Which versions of the link this build speaks, and who has to update.
//!
//! Policy: `CURRENT` goes up whenever a message is added; `MIN` goes up only when an old peer cannot be served
//! any more. Messages are only ever added at the end, and the hello of both sides never changes its bytes.

use serde::{Deserialize, Serialize};

/// Oldest version that this build speaks.
pub const MIN: u16 = 1;
/// Newest version that this build speaks.
pub const CURRENT: u16 = 3;
/// First version with the question what is at a place.
pub const WITH_PLACES: u16 = 2;
/// First version with packs that go on where they stopped, the list of what happened, and the wipe.
pub const WITH_WIPE: u16 = 3;
/// First version with the questions what is on floor and display.
pub const WITH_PICTURES: u16 = 3;

/// The versions that one side speaks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Versions {
    /// Oldest.
    pub min: u16,
    /// Newest.
    pub current: u16,
}

/// No common version.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Mismatch {
    /// The desk is too old for the box.
    UpdateDesk {
        /// What the desk speaks.
        desk: Versions,
        /// What the box speaks.
        device: Versions,
    },
    /// The box is too old for the desk.
    UpdateBox {
        /// What the desk speaks.
        desk: Versions,
        /// What the box speaks.
        device: Versions,
    },
}

impl Versions {
    /// What this build speaks.
    pub const OURS: Self = Self { min: MIN, current: CURRENT };

    /// The newest version that desk and box share.
    ///
    /// # Errors
    /// [`Mismatch`] names the side that has to be updated.
    pub fn agree(desk: Self, device: Self) -> Result<u16, Mismatch> {
        if desk.current < device.min {
            return Err(Mismatch::UpdateDesk { desk, device });
        }
        if device.current < desk.min {
            return Err(Mismatch::UpdateBox { desk, device });
        }
        Ok(desk.current.min(device.current))
    }
}

impl core::fmt::Display for Mismatch {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        let (side, Self::UpdateDesk { desk, device } | Self::UpdateBox { desk, device }) = match self {
            Self::UpdateDesk { .. } => ("desk", *self),
            Self::UpdateBox { .. } => ("box", *self),
        };
        write!(
            f,
            "update the {side}: the desk speaks link {} to {}, the box {} to {}",
            desk.min, desk.current, device.min, device.current
        )
    }
}
