//! How bright each thing of a picture is: the picture's own drive, and less for what is only coming into it.

use super::things::Things;
use super::view::View;
use crate::paint::color::scale;
use crate::show::{LineId, MarkId, PropId};

/// Drives of one picture, 0 to 255.
#[derive(Clone, Copy, Debug)]
pub(super) struct Drive {
    level: u8,
    fresh: Things,
    fade: u8,
}

impl Drive {
    /// The drives of a view whose things are at `level` when they are all there.
    pub(super) const fn of(view: &View, level: u8) -> Self {
        Self { level, fresh: view.fresh, fade: view.fade }
    }

    /// Full drive of everything.
    #[cfg(test)]
    pub(super) const fn full() -> Self {
        Self { level: 255, fresh: Things::NONE, fade: 255 }
    }

    pub(super) fn mark(&self, id: Option<MarkId>) -> u8 {
        self.faded(id.is_some_and(|id| self.fresh.mark(id)))
    }

    pub(super) fn line(&self, id: LineId) -> u8 {
        self.faded(self.fresh.line(id))
    }

    pub(super) fn prop(&self, id: PropId) -> u8 {
        self.faded(self.fresh.prop(id))
    }

    /// The drive of what [`Things::rest`] names with this bit.
    pub(super) fn rest(&self, bit: u8) -> u8 {
        self.faded(self.fresh.rest & bit != 0)
    }

    fn faded(&self, is_fresh: bool) -> u8 {
        if is_fresh { scale(self.level, self.fade) } else { self.level }
    }
}
