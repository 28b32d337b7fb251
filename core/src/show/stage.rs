//! The floor's outline, edges, entries, walls and physical things; brightness and sizes.

use heapless::Vec;
use serde::{Deserialize, Serialize};

use super::Name;
use crate::geom::StagePoint;
use crate::limits as cap;

/// Frames per second as a fraction, so that 29.97 is exact.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct FrameRate {
    /// Numerator.
    pub num: u32,
    /// Denominator.
    pub den: u32,
}

impl Default for FrameRate {
    fn default() -> Self {
        Self { num: 50, den: 1 }
    }
}

/// What lies beyond one side of the floor.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Edge {
    /// A drop: people can step off.
    Open,
    /// An LED wall: marks double in its reflection.
    Wall,
    /// Level studio floor.
    Level,
}

/// The walkable LED floor: a convex or concave polygon, counter-clockwise seen from above.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct FloorOutline {
    /// Vertices, metres, counter-clockwise.
    pub vertices: Vec<StagePoint, { cap::FLOOR_VERTICES }>,
    /// What lies beyond the side from vertex i to vertex i + 1.
    pub edges: Vec<Edge, { cap::FLOOR_VERTICES }>,
    /// Width of the band inside the edge that people keep off, metres.
    pub edge_band_m: f32,
    /// Height of the LED surface above the studio floor, metres.
    pub step_m: f32,
}

/// Which way people may cross the floor's edge at an entry.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Passage {
    /// Onto the floor and off it.
    #[default]
    Both,
    /// Only onto the floor.
    In,
    /// Only off the floor.
    Out,
}

/// A stretch of the floor's edge that people may cross.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Entry {
    /// The crew's name for it.
    pub name: Name,
    /// Its centre on the floor's edge.
    pub at: StagePoint,
    /// Its clear width, metres.
    pub width_m: f32,
    /// Which way people may cross it.
    pub passage: Passage,
}

/// State of one panel.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum TileState {
    /// It is there and dark.
    Dead,
    /// It is not there.
    Missing,
}

/// One dead or missing panel, counted in canvas order inside its block.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct TileFault {
    /// Index of the block.
    pub block: u8,
    /// Panel column from the block's left canvas edge, 0 first.
    pub column: u8,
    /// Panel row from the block's top canvas edge, 0 first.
    pub row: u8,
    /// What is wrong with it.
    pub state: TileState,
}

/// An LED wall: a vertical rectangle standing on the line from `from` to `to`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Wall {
    /// The crew's name for it.
    pub name: Name,
    /// One end of its foot.
    pub from: StagePoint,
    /// The other end of its foot.
    pub to: StagePoint,
    /// Height of its lower edge, metres.
    pub bottom_m: f32,
    /// Height of its upper edge, metres.
    pub top_m: f32,
}

/// What a physical thing is.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum PhysicalKind {
    /// A platform people may stand on; it hides the LEDs beneath.
    Riser,
    /// A slope that rises from the side opposite `rises_deg` towards it.
    Ramp {
        /// Direction of rise, degrees counter-clockwise from stage left (+X).
        rises_deg: f32,
    },
    /// A step unit at an edge.
    Step,
    /// Furniture: nobody walks there.
    Furniture,
    /// A rug: people may walk there; it hides the LEDs beneath.
    Rug,
    /// A column: nobody walks there.
    Column,
}

/// How people on foot may cross the raised sides of a thing. Wheels and guided people never do.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum StepOver {
    /// Not at all: only by a ramp, a step unit, or what adjoins at the same height.
    #[default]
    Never,
    /// Down from it.
    Down,
    /// Up and down.
    Both,
}

/// A physical thing on the floor: a turned rectangle with a height.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Physical {
    /// The crew's name for it.
    pub name: Name,
    /// What it is.
    pub kind: PhysicalKind,
    /// Its centre.
    pub centre: StagePoint,
    /// Size along its own X axis, metres.
    pub width_m: f32,
    /// Size along its own Y axis, metres.
    pub depth_m: f32,
    /// Turn counter-clockwise seen from above, degrees.
    pub turn_deg: f32,
    /// Height of its top above the floor, metres.
    pub height_m: f32,
    /// Who may cross its raised sides on foot.
    pub step_over: StepOver,
}

/// Brightness and sizes of what is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Look {
    /// Drive of a full-bright line in BRIEF, 0 to 255.
    pub brief_level: u8,
    /// Drive of a line in AIR, 0 to 255.
    pub air_level: u8,
    /// Width of an outline, metres.
    pub line_m: f32,
    /// Width of the dark keyline on each side, metres.
    pub keyline_m: f32,
    /// Pulse of a stand-by mark, hertz.
    pub pulse_hz: f32,
    /// Spacing of dance numbers along the downstage edge, metres from the centre line; 0 for none.
    pub numbers_m: f32,
}

impl Default for Look {
    fn default() -> Self {
        Self { brief_level: 255, air_level: 255, line_m: 0.05, keyline_m: 0.012, pulse_hz: 1.0, numbers_m: 0.0 }
    }
}
