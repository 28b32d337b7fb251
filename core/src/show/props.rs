//! Props: sets of convex parts with a layer each, and how they move.

use serde::{Deserialize, Serialize};

use super::{MotionId, Name, Run};
use crate::geom::StagePoint;

/// Where a part is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Layer {
    /// Composited over the camera's picture: it paints over anyone it overlaps.
    Overlay,
    /// Shown on the LED wall or floor.
    Screen,
    /// Drawn only outside the LED surface.
    Extension,
}

/// What a part means for a body at its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Band {
    /// 0 to 0.2 m: toes.
    Contact,
    /// 0.2 to 2.3 m: body and head.
    Body,
    /// Above 2.3 m: no keep-out; the camera alone cares.
    Overhead,
}

/// Upper end of the contact band, metres.
pub const CONTACT_TOP_M: f32 = 0.2;
/// Upper end of the body band, metres.
pub const BODY_TOP_M: f32 = 2.3;

/// The footprint of a part, relative to the prop's place and turned with it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum PartShape {
    /// A disc.
    Disc {
        /// Offset of its centre from the prop's place.
        at: StagePoint,
        /// Radius, metres.
        radius_m: f32,
    },
    /// A ring with an optional gap.
    Ring {
        /// Offset of its centre from the prop's place.
        at: StagePoint,
        /// Inner radius, metres.
        inner_m: f32,
        /// Outer radius, metres.
        outer_m: f32,
        /// Direction of the gap's middle, degrees counter-clockwise from stage left (+X).
        gap_deg: f32,
        /// Width of the gap at the outer radius, metres; 0 for none.
        gap_m: f32,
    },
    /// A convex polygon, counter-clockwise: a run of the show's part vertices.
    Polygon(Run),
}

/// One convex prism (or ring) of a prop.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Part {
    /// Its footprint.
    pub shape: PartShape,
    /// Its lower end above the floor, metres.
    pub bottom_m: f32,
    /// Its upper end above the floor, metres.
    pub top_m: f32,
    /// Where it is drawn.
    pub layer: Layer,
    /// True when what lies behind can be seen through it.
    pub transparent: bool,
}

impl Part {
    /// True when a body can meet the part: it reaches into the contact or the body band.
    pub fn meets_bodies(&self) -> bool {
        self.reaches(Band::Contact) || self.reaches(Band::Body)
    }

    /// True when the part reaches into `band`; touching its limit from outside does not count.
    pub fn reaches(&self, band: Band) -> bool {
        let (low, high) = match band {
            Band::Contact => (0.0, CONTACT_TOP_M),
            Band::Body => (CONTACT_TOP_M, BODY_TOP_M),
            Band::Overhead => (BODY_TOP_M, f32::INFINITY),
        };
        self.bottom_m < high && self.top_m > low
    }
}

/// A virtual thing on the stage.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Prop {
    /// The crew's name for it.
    pub name: Name,
    /// Its resting place.
    pub at: StagePoint,
    /// Turn counter-clockwise seen from above, degrees.
    pub turn_deg: f32,
    /// Its parts: a run of the show's parts.
    pub parts: Run,
}

/// One way a prop moves.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Motion {
    /// The prop that moves.
    pub prop: super::PropId,
    /// How.
    pub kind: MotionKind,
}

/// How a prop moves. Places are the prop's place on the stage.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum MotionKind {
    /// Through keys: a run of the show's motion keys. A single key holds the prop there.
    Keys {
        /// The keys.
        keys: Run,
        /// Cosine ease over the whole move; linear between keys otherwise.
        ease: bool,
    },
    /// Round a circle, counter-clockwise when the period is positive.
    Circle {
        /// Centre of the circle.
        centre: StagePoint,
        /// Radius, metres.
        radius_m: f32,
        /// Seconds per turn.
        period_s: f32,
        /// Where on the circle it starts, degrees counter-clockwise from stage left (+X).
        start_deg: f32,
    },
    /// A pendulum swinging in a vertical plane.
    Pendulum {
        /// The pivot's place on the floor plan.
        pivot: StagePoint,
        /// The pivot's height, metres.
        pivot_m: f32,
        /// From pivot to the bob's centre, metres.
        length_m: f32,
        /// Largest angle from hanging, degrees.
        swing_deg: f32,
        /// Direction of the swing, degrees counter-clockwise from stage left (+X).
        plane_deg: f32,
        /// Seconds per full swing.
        period_s: f32,
    },
    /// Grows from the floor to its full height.
    Grow {
        /// Seconds from nothing to full height.
        seconds_s: f32,
    },
    /// Follows what presence reports; its place in the show is where it rests.
    Presence,
}

/// One key of a keyed motion.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct MotionKey {
    /// Seconds from the start of the motion.
    pub at_s: f32,
    /// The prop's place then.
    pub place: StagePoint,
}

/// A motion chosen for a cue.
pub type ChosenMotion = Option<MotionId>;
