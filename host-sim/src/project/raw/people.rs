//! Tables about people: roles and classes, never names.

use schemars::JsonSchema;
use serde::Deserialize;
use underfoot_core::show::{Sight, Who};

use super::numbers::{NameText, RefText, words};

words!(
    /// Colour and shape that say who.
    WhoWord: Who {
        "white-circle" => Who::WhiteCircle,
        "amber-square" => Who::AmberSquare,
        "cyan-triangle" => Who::CyanTriangle,
        "magenta-diamond" => Who::MagentaDiamond,
    }
);
words!(
    /// How a person sees the floor.
    SightWord: Sight {
        "typical" => Sight::Typical,
        "red-green-deficient" => Sight::RedGreenDeficient,
        "low" => Sight::Low,
    }
);

/// A kind of body.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawClass {
    /// The crew's name for it.
    pub(crate) name: NameText,
    /// Stature, or total height when seated, metres.
    #[schemars(range(min = 0.5, max = 3))]
    pub(crate) height_m: f64,
    /// Eye height, metres; 0.12 below the top standing, 0.13 seated, when it is left out.
    #[serde(default)]
    #[schemars(range(min = 0.2, max = 3))]
    pub(crate) eye_m: Option<f64>,
    /// Body radius, metres.
    #[serde(default = "radius")]
    #[schemars(range(min = 0.05, max = 2))]
    pub(crate) radius_m: f64,
    /// Clear width needed to walk, metres.
    #[serde(default = "walk_width")]
    #[schemars(range(min = 0.1, max = 5))]
    pub(crate) walk_width_m: f64,
    /// Walking pace, metres per second.
    #[serde(default = "pace")]
    #[schemars(range(min = 0.1, max = 5))]
    pub(crate) pace_mps: f64,
    /// Seated in a chair of this width and length, metres.
    #[serde(default)]
    #[schemars(inner(range(min = 0.1, max = 3)))]
    pub(crate) chair_m: Option<[f64; 2]>,
}

fn radius() -> f64 {
    0.25
}

fn walk_width() -> f64 {
    0.9
}

fn pace() -> f64 {
    0.9
}

/// What a person does: sets the walking pace and the clear width.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Role {
    Presenter,
    Guest,
    Guided,
    Wheelchair,
    Performer,
}

words!(
    /// What a person does.
    RoleWord: Role {
        "presenter" => Role::Presenter,
        "guest" => Role::Guest,
        "guided" => Role::Guided,
        "wheelchair" => Role::Wheelchair,
        "performer" => Role::Performer,
    }
);

/// A person by role.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawPerson {
    /// The role: "Presenter", "Guest 1". Never a real name.
    pub(crate) name: NameText,
    /// A class, declared or built in: child, small, mid, tall, seated. Not together with `height_m`.
    #[serde(default)]
    pub(crate) class: Option<RefText>,
    /// Stature, or total height when seated, metres; makes a class of that height. Not together with `class`.
    #[serde(default)]
    #[schemars(range(min = 0.5, max = 3))]
    pub(crate) height_m: Option<f64>,
    /// Sets pace and clear width: presenter and performer 0.9 m/s, guest 0.7, guided 0.6 and 1.2 m wide, wheelchair 0.8, seated, and 1.2 m wide. Presenter, or wheelchair for the class `seated`, when it is left out; a declared class brings its own.
    #[serde(default)]
    pub(crate) role: Option<RoleWord>,
    /// Colour and shape that stand for this person on the floor.
    #[serde(default = "WhoWord::white")]
    pub(crate) who: WhoWord,
    /// How this person sees the floor.
    #[serde(default = "SightWord::typical")]
    pub(crate) sight: SightWord,
    /// Chair's width and length, metres; 0.70 × 1.20 for a wheelchair when it is left out.
    #[serde(default)]
    #[schemars(inner(range(min = 0.1, max = 3)))]
    pub(crate) chair_m: Option<[f64; 2]>,
}

impl WhoWord {
    fn white() -> Self {
        Self(Who::WhiteCircle)
    }
}

impl SightWord {
    fn typical() -> Self {
        Self(Sight::Typical)
    }
}
