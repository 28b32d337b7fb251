//! Person classes and the people of a show. Roles only: no names, no body sizes tied to a name.

use serde::{Deserialize, Serialize};

use super::{ClassId, Name, Who};

/// How a person sees the floor.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Sight {
    /// No special need.
    #[default]
    Typical,
    /// Red and green look alike: state must never be told by them.
    RedGreenDeficient,
    /// Low vision: 100 mm lines, 5:1 contrast, no text.
    Low,
}

/// A kind of body, for clearances, sight lines and paces.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PersonClass {
    /// The crew's name for it.
    pub name: Name,
    /// Standing stature, or total height when seated, metres.
    pub height_m: f32,
    /// Eye height, metres.
    pub eye_m: f32,
    /// Body radius, metres.
    pub radius_m: f32,
    /// Clear width needed to walk, metres.
    pub walk_width_m: f32,
    /// Walking pace, metres per second.
    pub pace_mps: f32,
    /// Seated in a chair of this width and length, metres.
    pub chair_m: Option<(f32, f32)>,
}

/// One person by role.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Person {
    /// The role: "Presenter", "Guest 1".
    pub name: Name,
    /// The class of body.
    pub class: ClassId,
    /// Colour and shape that stand for this person on the floor.
    pub who: Who,
    /// How this person sees the floor.
    pub sight: Sight,
}
