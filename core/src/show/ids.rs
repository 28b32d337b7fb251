//! Typed indices, and runs of shared lists.

use serde::{Deserialize, Serialize};

macro_rules! id {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[cfg_attr(feature = "defmt", derive(defmt::Format))]
        pub struct $name(pub u8);

        impl $name {
            /// The index into the show's list.
            pub const fn index(self) -> usize {
                self.0 as usize
            }
        }
    };
}

id!(
    /// Index of a camera.
    CameraId
);
id!(
    /// Index of a person class.
    ClassId
);
id!(
    /// Index of a cue in running order.
    CueId
);
id!(
    /// Index of a walk line.
    LineId
);
id!(
    /// Index of a mark.
    MarkId
);
id!(
    /// Index of a motion.
    MotionId
);
id!(
    /// Index of a person.
    PersonId
);
id!(
    /// Index of a prop.
    PropId
);
id!(
    /// Index of a shot.
    ShotId
);

/// A run of consecutive items in a shared list.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Run {
    /// Index of the first item.
    pub first: u16,
    /// Number of items.
    pub len: u16,
}

impl Run {
    /// The items, or an empty slice when the run leaves the list ([`super::Show::validate`] refuses such a show).
    pub fn of<T>(self, list: &[T]) -> &[T] {
        let first = usize::from(self.first);
        list.get(first..first + usize::from(self.len)).unwrap_or(&[])
    }

    /// True when the run lies inside a list of `len` items.
    pub fn fits(self, len: usize) -> bool {
        usize::from(self.first) + usize::from(self.len) <= len
    }
}
