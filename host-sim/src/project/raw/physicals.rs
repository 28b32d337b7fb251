//! Tables about physical things on the floor.

use schemars::JsonSchema;
use serde::Deserialize;
use underfoot_core::show::StepOver;

use super::numbers::{Deg, Height, Length, NameText, Place, words};

/// What a physical thing is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Thing {
    Riser,
    Ramp,
    Step,
    Furniture,
    Rug,
    Column,
}

words!(
    /// What a physical thing is.
    ThingWord: Thing {
        "riser" => Thing::Riser,
        "ramp" => Thing::Ramp,
        "step" => Thing::Step,
        "furniture" => Thing::Furniture,
        "rug" => Thing::Rug,
        "column" => Thing::Column,
    }
);
words!(
    /// A direction on the stage, as degrees counter-clockwise from stage left.
    SideWord: f32 { "SL" => 0.0, "US" => 90.0, "SR" => 180.0, "DS" => 270.0 }
);

words!(
    /// How people on foot may cross raised sides.
    StepWord: StepOver { "never" => StepOver::Never, "down" => StepOver::Down, "both" => StepOver::Both }
);

/// A physical thing on the floor: a turned rectangle with a height.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawPhysical {
    /// The crew's name for it.
    pub(crate) name: NameText,
    /// What it is.
    pub(crate) kind: ThingWord,
    /// Its centre, metres.
    pub(crate) at: Place,
    /// Its size along its own X and Y, metres.
    pub(crate) size_m: [Length; 2],
    /// Turn counter-clockwise seen from above, degrees.
    #[serde(default)]
    pub(crate) turn_deg: Deg,
    /// Height of its top above the floor, metres.
    #[serde(default)]
    pub(crate) height_m: Option<Height>,
    /// Slope of a ramp, like "1:12"; gives the height when that is left out.
    #[serde(default)]
    #[schemars(length(min = 3, max = 12))]
    pub(crate) slope: Option<String>,
    /// Side that a ramp rises to.
    #[serde(default)]
    pub(crate) rises_to: Option<SideWord>,
    /// Direction that a ramp rises to, degrees counter-clockwise from stage left.
    #[serde(default)]
    pub(crate) rises_deg: Option<Deg>,
    /// Whether people on foot may cross the raised sides of a riser or ramp: never, down from it, or both ways. Wheels and guided people never do. `never` when it is left out: only by a ramp, a step, or a riser of the same height beside it.
    #[serde(default)]
    pub(crate) step_over: Option<StepWord>,
}
