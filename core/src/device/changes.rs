//! What people changed on the set at one box of the show: the others have to have it too.

use super::hardware::Hardware;
use super::tiles;
use super::works::Works;
use crate::crew::Change;
use crate::link::Piece;
use crate::show::{MarkId, PropId};
use crate::units::Instant;

impl<H: Hardware> Works<'_, H> {
    /// Tells the others how far a thing is from its stored place, millimetres.
    pub(super) fn tell_move(&mut self, now: Instant, piece: Piece, (dx_mm, dy_mm): (i16, i16)) {
        let change = match piece {
            Piece::Mark(MarkId(id)) => Change::Mark { id, dx_mm, dy_mm },
            Piece::Prop(PropId(id)) => Change::Prop { id, dx_mm, dy_mm },
        };
        self.crew.changed(change, now);
    }

    /// Tells the others that a panel died or came back.
    pub(super) fn tell_tile(&mut self, now: Instant, change: tiles::Change) {
        let tiles::Change { block, column, row, dead } = change;
        self.crew.changed(Change::Tile { block, column, row, dead }, now);
    }

    /// Makes the changes that another box tells. Lines that this makes stale are planned one by one in later polls.
    pub(super) fn hear_changes(&mut self, changes: &[Change]) {
        for change in changes {
            // What finds no room here, or is nowhere in the show, is left out: whoever made it was not refused.
            if self.hear_change(*change) {
                self.floor_changed();
            }
        }
    }

    fn hear_change(&mut self, change: Change) -> bool {
        let (handwork, show) = (&mut self.memory.handwork, &mut self.memory.show);
        let (piece, dx_mm, dy_mm) = match change {
            Change::Tile { block, column, row, dead } => {
                let change = tiles::Change { block, column, row, dead };
                return handwork.tiles.set(show, change).unwrap_or(false);
            }
            Change::Mark { id, dx_mm, dy_mm } => (Piece::Mark(MarkId(id)), dx_mm, dy_mm),
            Change::Prop { id, dx_mm, dy_mm } => (Piece::Prop(PropId(id)), dx_mm, dy_mm),
        };
        handwork.nudges.set(show, piece, (dx_mm.into(), dy_mm.into())).is_ok_and(|(_, is_new)| is_new)
    }
}
