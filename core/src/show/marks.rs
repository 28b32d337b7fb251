//! Marks and walk lines: places and routes for people.

use serde::{Deserialize, Serialize};

use super::{Label, Name, PersonId, Run};
use crate::geom::StagePoint;

/// Colour and shape that say who: never one without the other.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Who {
    /// White circle.
    #[default]
    WhiteCircle,
    /// Amber square.
    AmberSquare,
    /// Cyan triangle.
    CyanTriangle,
    /// Magenta diamond.
    MagentaDiamond,
}

/// The form of a mark.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum MarkKind {
    /// Toe bar and stem.
    #[default]
    Tee,
    /// Open bracket for a wheelchair; its point is the seat's centre.
    Bracket,
    /// A ring.
    Ring,
    /// A cross.
    Cross,
}

/// A place for a person.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Mark {
    /// The crew's name for it.
    pub name: Name,
    /// What it shows on the floor: up to three characters.
    pub label: Label,
    /// Midpoint between the heels, or the seat's centre.
    pub at: StagePoint,
    /// Direction the person faces, degrees counter-clockwise from stage left (+X): 90 is upstage, 270 downstage.
    pub facing_deg: f32,
    /// Its form.
    pub kind: MarkKind,
    /// Who it is for; `None` for anybody.
    pub person: Option<PersonId>,
    /// Colour and shape.
    pub who: Who,
}

/// What a walk line is made of.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Dots {
    /// Discs.
    #[default]
    Discs,
    /// Chevrons that point along the way.
    Chevrons,
}

/// A point of a walk line.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct LinePoint {
    /// Where the legs on both sides of it meet.
    pub at: StagePoint,
    /// 0 for a point that people gave: the line goes through it. Above 0 for a corner that planning put there: the
    /// line leaves one leg and joins the other on the arc of this radius, metres, that touches both.
    pub bend_m: f32,
}

impl LinePoint {
    /// A point that the line goes through.
    pub const fn sharp(at: StagePoint) -> Self {
        Self { at, bend_m: 0.0 }
    }

    /// True for a point that people gave: an end of the line, or one that it leads by way of.
    pub fn is_stop(&self) -> bool {
        self.bend_m == 0.0
    }
}

/// A route for people.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Line {
    /// The crew's name for it.
    pub name: Name,
    /// Its points: a run of the show's line points.
    pub points: Run,
    /// What it is made of.
    pub dots: Dots,
    /// Size of a dot or chevron, metres.
    pub dot_m: f32,
    /// Spacing of dots or chevrons, metres.
    pub spacing_m: f32,
    /// Width of the corridor that it needs, metres.
    pub corridor_m: f32,
    /// Colour of the person who walks it.
    pub who: Who,
    /// True when its sharp points are stops, and everything between them was planned.
    pub planned: bool,
}
