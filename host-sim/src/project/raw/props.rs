//! Tables about props and how they move.

use schemars::JsonSchema;
use serde::Deserialize;
use underfoot_core::limits;
use underfoot_core::show::Layer;

use super::numbers::{Deg, Height, Length, NameText, Period, Place, Place3, RefText, Seconds, TitleText, words};
use super::physicals::SideWord;

words!(
    /// Where a part is drawn.
    LayerWord: Layer { "overlay" => Layer::Overlay, "screen" => Layer::Screen, "extension" => Layer::Extension }
);

/// The footprint of a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Shape {
    Box,
    Cylinder,
    Ring,
    Polygon,
}

words!(
    /// The footprint of a part.
    ShapeWord: Shape {
        "box" => Shape::Box,
        "cylinder" => Shape::Cylinder,
        "ring" => Shape::Ring,
        "polygon" => Shape::Polygon,
    }
);

/// A virtual thing on the stage.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawProp {
    /// The crew's name for it.
    pub(crate) name: NameText,
    /// Its resting place, metres.
    pub(crate) at: Place,
    /// Turn counter-clockwise seen from above, degrees.
    #[serde(default)]
    pub(crate) turn_deg: Deg,
    /// Where its parts are drawn unless they say otherwise.
    #[serde(default = "LayerWord::overlay")]
    pub(crate) layer: LayerWord,
    /// Its parts: upright solids that are convex in plan.
    #[schemars(length(min = 1, max = limits::PARTS))]
    pub(crate) part: Vec<RawPart>,
    /// A remark for people.
    #[serde(default)]
    pub(crate) notes: Option<super::numbers::NoteText>,
}

impl LayerWord {
    fn overlay() -> Self {
        Self(Layer::Overlay)
    }
}

/// An upright solid of a prop.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawPart {
    /// What the crew call it; parts of one name are spoken of as one.
    #[serde(default)]
    pub(crate) name: Option<TitleText>,
    /// Its footprint: a box takes `size_m`, a cylinder `radius_m`, a ring `inner_m` and `outer_m`, a polygon `vertices`.
    pub(crate) shape: ShapeWord,
    /// Offset of its centre from the prop's place, metres.
    #[serde(default)]
    pub(crate) at: Place,
    /// A box's size along its own X and Y, metres.
    #[serde(default)]
    pub(crate) size_m: Option<[Length; 2]>,
    /// A box's turn counter-clockwise seen from above, degrees.
    #[serde(default)]
    pub(crate) turn_deg: Option<Deg>,
    /// A cylinder's radius, metres.
    #[serde(default)]
    pub(crate) radius_m: Option<Length>,
    /// A ring's inner radius, metres.
    #[serde(default)]
    pub(crate) inner_m: Option<Length>,
    /// A ring's outer radius, metres.
    #[serde(default)]
    pub(crate) outer_m: Option<Length>,
    /// Width of a ring's entry gap at the outer radius, metres.
    #[serde(default)]
    pub(crate) gap_m: Option<Length>,
    /// Direction of the gap, degrees counter-clockwise from stage left.
    #[serde(default)]
    pub(crate) gap_deg: Option<Deg>,
    /// Side that the gap faces.
    #[serde(default)]
    pub(crate) gap_faces: Option<SideWord>,
    /// Corners of a convex polygon relative to `at`, metres.
    #[serde(default)]
    #[schemars(length(min = 3, max = limits::HULL_VERTICES))]
    pub(crate) vertices: Option<Vec<Place>>,
    /// Its lower end above the floor, metres.
    #[serde(default)]
    pub(crate) bottom_m: Height,
    /// Its upper end above the floor, metres.
    pub(crate) top_m: Height,
    /// Where it is drawn; the prop's layer when it is left out.
    #[serde(default)]
    pub(crate) layer: Option<LayerWord>,
    /// What lies behind can be seen through it.
    #[serde(default)]
    pub(crate) transparent: bool,
}

/// How a prop moves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Way {
    Keys,
    Circle,
    Pendulum,
    Grow,
    Presence,
}

words!(
    /// How a prop moves.
    WayWord: Way {
        "keys" => Way::Keys,
        "circle" => Way::Circle,
        "pendulum" => Way::Pendulum,
        "grow" => Way::Grow,
        "presence" => Way::Presence,
    }
);

/// A way in which a prop moves.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawMotion {
    /// The crew's name for it.
    pub(crate) name: NameText,
    /// The prop that moves.
    pub(crate) prop: RefText,
    /// How: keys take `key` and `ease`; a circle `centre`, `radius_m`, `period_s`, `start_deg`; a pendulum `pivot`, `length_m`, `swing_deg`, `plane_deg`, `period_s`; grow takes `grow_s`; presence takes nothing.
    pub(crate) kind: WayWord,
    /// Places on the way, in time order; a single key holds the prop there.
    #[serde(default)]
    #[schemars(length(min = 1, max = limits::MOTION_KEYS))]
    pub(crate) key: Option<Vec<RawMotionKey>>,
    /// Cosine ease over the whole move; linear between the keys otherwise. Eased when it is left out.
    #[serde(default)]
    pub(crate) ease: Option<bool>,
    /// Centre of the circle, metres.
    #[serde(default)]
    pub(crate) centre: Option<Place>,
    /// Radius of the circle, metres.
    #[serde(default)]
    pub(crate) radius_m: Option<Length>,
    /// Seconds per turn or full swing.
    #[serde(default)]
    pub(crate) period_s: Option<Period>,
    /// The circle runs clockwise seen from above.
    #[serde(default)]
    pub(crate) clockwise: Option<bool>,
    /// Where on the circle it starts, degrees counter-clockwise from stage left.
    #[serde(default)]
    pub(crate) start_deg: Option<Deg>,
    /// The pendulum's pivot, metres.
    #[serde(default)]
    pub(crate) pivot: Option<Place3>,
    /// From pivot to the bob's centre, metres.
    #[serde(default)]
    pub(crate) length_m: Option<Length>,
    /// Largest angle from hanging, degrees.
    #[serde(default)]
    #[schemars(range(min = 0, max = 90))]
    pub(crate) swing_deg: Option<f64>,
    /// Direction of the swing, degrees counter-clockwise from stage left.
    #[serde(default)]
    pub(crate) plane_deg: Option<Deg>,
    /// Seconds from nothing to full height.
    #[serde(default)]
    pub(crate) grow_s: Option<Period>,
}

/// One key of a motion.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawMotionKey {
    /// Seconds from the start of the motion.
    pub(crate) at_s: Seconds,
    /// The prop's place then, metres.
    pub(crate) at: Place,
}
