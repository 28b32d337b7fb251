//! What people changed on the set, told on from box to box: dead panels, moved marks and props.
//!
//! Every box keeps all changes and tells a few of them with every beat, in turn: whoever comes back has them all after a
//! second, and no lost datagram matters. Of two words about one thing the one with the greater stamp counts.

use heapless::Vec;
use serde::{Deserialize, Serialize};

use crate::limits;

/// Changes in one beat.
pub const CHANGES_TOLD: usize = 4;

/// Something that people changed, as it is now.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Change {
    /// A panel is dead, or good again.
    Tile {
        /// Index of the block.
        block: u8,
        /// Column from the block's left canvas edge.
        column: u8,
        /// Row from the block's top canvas edge.
        row: u8,
        /// It is dead.
        dead: bool,
    },
    /// A mark is this far from its stored place, millimetres.
    Mark {
        /// Index of the mark.
        id: u8,
        /// Towards stage left.
        dx_mm: i16,
        /// Upstage.
        dy_mm: i16,
    },
    /// A prop is this far from its stored place, millimetres.
    Prop {
        /// Index of the prop.
        id: u8,
        /// Towards stage left.
        dx_mm: i16,
        /// Upstage.
        dy_mm: i16,
    },
}

/// A change and its stamp: one more than any that its maker knew of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Stamped {
    /// The stamp.
    pub stamp: u16,
    /// The change.
    pub change: Change,
}

impl Change {
    /// True when both are about the same thing.
    fn is_about(&self, other: &Self) -> bool {
        match (*self, *other) {
            (
                Self::Tile { block, column, row, .. },
                Self::Tile { block: other_block, column: other_column, row: other_row, .. },
            ) => (block, column, row) == (other_block, other_column, other_row),
            (Self::Mark { id, .. }, Self::Mark { id: other, .. })
            | (Self::Prop { id, .. }, Self::Prop { id: other, .. }) => id == other,
            _ => false,
        }
    }
}

/// All changes that a box knows of.
#[derive(Clone, Debug)]
pub(super) struct Changes {
    list: Vec<Stamped, { limits::CREW_CHANGES }>,
    newest: u16,
    /// Whose turn it is to be told.
    turn: usize,
}

impl Changes {
    pub(super) const fn none() -> Self {
        Self { list: Vec::new(), newest: 0, turn: 0 }
    }

    /// Takes how something is at this box. True when that is new.
    pub(super) fn note(&mut self, change: Change) -> bool {
        let is_known = self.list.iter().any(|known| known.change == change);
        if !is_known {
            self.put(Stamped { stamp: self.newest.saturating_add(1), change });
        }
        !is_known
    }

    /// Takes a word of another box. True when it is newer than what is known of the thing.
    pub(super) fn hear(&mut self, word: Stamped) -> bool {
        let known = self.list.iter().find(|known| known.change.is_about(&word.change));
        let is_newer = known.is_none_or(|known| (word.stamp, word.change) > (known.stamp, known.change));
        if is_newer {
            self.put(word);
        }
        is_newer
    }

    fn put(&mut self, word: Stamped) {
        self.newest = self.newest.max(word.stamp);
        match self.list.iter().position(|known| known.change.is_about(&word.change)) {
            // The newest stand at the end, and are told first.
            Some(i) => drop(self.list.remove(i)),
            None if self.list.is_full() => drop(self.list.remove(0)),
            None => {}
        }
        let _ = self.list.push(word);
        self.turn = 0;
    }

    /// Those that the next beat tells: the newest first, then all in turn.
    pub(super) fn tell(&mut self) -> Vec<Stamped, CHANGES_TOLD> {
        let told = self.list.iter().rev().skip(self.turn).take(CHANGES_TOLD).copied().collect();
        self.turn += CHANGES_TOLD;
        if self.turn >= self.list.len() {
            self.turn = 0;
        }
        told
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mark(id: u8, dx_mm: i16) -> Change {
        Change::Mark { id, dx_mm, dy_mm: 0 }
    }

    #[test]
    fn all_are_told_in_turn_and_the_newest_first() {
        let mut changes = Changes::none();
        (0..6).for_each(|id| assert!(changes.note(mark(id, 10))));
        assert!(!changes.note(mark(3, 10)));
        let mut other = Changes::none();
        let first = changes.tell();
        assert_eq!(first[0].change, mark(5, 10));
        first.iter().chain(&changes.tell()).for_each(|word| assert!(other.hear(*word)));
        assert_eq!(other.list.len(), 6);
        assert!(first.iter().all(|word| !other.hear(*word)), "a second word of the same is no news");
    }

    #[test]
    fn the_later_of_two_words_counts_in_whatever_order_they_come() {
        let (mut a, mut b) = (Changes::none(), Changes::none());
        a.note(mark(1, 10));
        let early = a.tell()[0];
        a.note(mark(1, 20));
        let late = a.tell()[0];
        assert!(b.hear(late) && !b.hear(early));
        // Made at the same moment at two boxes: both end with the same.
        b.note(mark(1, -5));
        let other = b.tell()[0];
        a.note(mark(1, 30));
        let ours = a.tell()[0];
        assert_eq!(ours.stamp, other.stamp);
        assert!(b.hear(ours) && !a.hear(other));
    }
}
