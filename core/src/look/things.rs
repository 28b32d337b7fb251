//! Things of a picture as bits: which there are, which are new.

use crate::show::{LineId, MarkId, PropId};

/// The marks and props that the cameras do not see, as bits by index. AIR draws nothing else.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Shown {
    /// Bit i for mark i.
    pub marks: u64,
    /// Bit i for prop i.
    pub props: u32,
}

/// Things of a picture, as bits by index.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Things {
    /// Bit i for mark i.
    pub marks: u64,
    /// Bit i for walk line i.
    pub lines: u32,
    /// Bit i for prop i.
    pub props: u32,
    /// Floor edges and steps: [`Things::EDGES`]; dance numbers: [`Things::NUMBERS`]; the load-in picture:
    /// [`Things::LOAD_IN`].
    pub rest: u8,
}

impl Things {
    /// Floor edges and steps.
    pub const EDGES: u8 = 1;
    /// Dance numbers.
    pub const NUMBERS: u8 = 2;
    /// The load-in picture.
    pub const LOAD_IN: u8 = 4;
    /// Nothing.
    pub const NONE: Self = Self { marks: 0, lines: 0, props: 0, rest: 0 };

    /// What is in this set and not in `other`.
    pub const fn without(self, other: Self) -> Self {
        Self {
            marks: self.marks & !other.marks,
            lines: self.lines & !other.lines,
            props: self.props & !other.props,
            rest: self.rest & !other.rest,
        }
    }

    /// What is in either set.
    pub const fn and(self, other: Self) -> Self {
        Self {
            marks: self.marks | other.marks,
            lines: self.lines | other.lines,
            props: self.props | other.props,
            rest: self.rest | other.rest,
        }
    }

    /// True without anything.
    pub const fn is_none(self) -> bool {
        self.marks == 0 && self.lines == 0 && self.props == 0 && self.rest == 0
    }

    /// True when the mark is in the set.
    pub fn mark(self, id: MarkId) -> bool {
        bit64(self.marks, id.index())
    }

    /// True when the walk line is in the set.
    pub fn line(self, id: LineId) -> bool {
        bit64(self.lines.into(), id.index())
    }

    /// True when the prop is in the set.
    pub fn prop(self, id: PropId) -> bool {
        bit64(self.props.into(), id.index())
    }
}

impl Shown {
    /// True when mark `index` may be shown.
    pub fn mark(self, index: usize) -> bool {
        bit64(self.marks, index)
    }

    /// True when prop `index` may be shown.
    pub fn prop(self, index: usize) -> bool {
        bit64(self.props.into(), index)
    }
}

fn bit64(bits: u64, index: usize) -> bool {
    u32::try_from(index).ok().and_then(|i| bits.checked_shr(i)).is_some_and(|bits| bits & 1 == 1)
}
