//! Tables about the floor and what stands round it.

use schemars::JsonSchema;
use serde::Deserialize;
use underfoot_core::floor::survey::Scale;
use underfoot_core::limits;
use underfoot_core::show::{Edge, TileState};

use super::desk::OutputWord;
use super::numbers::{Coord, Deg, Height, Length, MmOrNone, NameText, PanelMm, Place, Place3, RefText, words};

words!(
    /// What lies beyond a side of the floor.
    EdgeWord: Edge { "open" => Edge::Open, "wall" => Edge::Wall, "level" => Edge::Level }
);

/// The walkable floor.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub(crate) struct RawFloor {
    /// Corners counter-clockwise seen from above, metres. Left out, the floor is the rectangle round all floor blocks.
    #[schemars(length(min = 3, max = limits::FLOOR_VERTICES))]
    pub(crate) outline: Option<Vec<Place>>,
    /// What lies beyond each side of `outline`, from corner 1 to 2 first: open (a drop), wall or level.
    #[schemars(length(min = 3, max = limits::FLOOR_VERTICES))]
    pub(crate) sides: Option<Vec<EdgeWord>>,
    /// What lies beyond the four sides of a floor without `outline`.
    pub(crate) edges: Option<RawEdges>,
    /// Width of the band inside the edge that people keep off, metres.
    #[schemars(range(min = 0, max = 10))]
    pub(crate) edge_band_m: f64,
    /// Height of the LED surface above the studio floor, metres.
    #[schemars(range(min = 0, max = 10))]
    pub(crate) step_m: f64,
    /// Height of the lowest thing in the rig, metres.
    pub(crate) rig_height_m: Option<Length>,
    /// Side of an occupancy cell, millimetres.
    pub(crate) cell_mm: PanelMm,
}

impl Default for RawFloor {
    fn default() -> Self {
        Self {
            outline: None,
            sides: None,
            edges: None,
            edge_band_m: 0.3,
            step_m: 0.0,
            rig_height_m: None,
            cell_mm: PanelMm(50.0),
        }
    }
}

/// The four sides of a rectangular floor; a side that is left out is open.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub(crate) struct RawEdges {
    /// Downstage.
    #[serde(rename = "DS")]
    pub(crate) ds: EdgeWord,
    /// Stage left.
    #[serde(rename = "SL")]
    pub(crate) sl: EdgeWord,
    /// Upstage.
    #[serde(rename = "US")]
    pub(crate) us: EdgeWord,
    /// Stage right.
    #[serde(rename = "SR")]
    pub(crate) sr: EdgeWord,
}

impl Default for RawEdges {
    fn default() -> Self {
        let open = EdgeWord(Edge::Open);
        Self { ds: open, sl: open, us: open, sr: open }
    }
}

/// An output picture.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawCanvas {
    /// The crew's name for it.
    pub(crate) name: NameText,
    /// Width and height, pixels.
    #[schemars(inner(range(min = 1, max = limits::CANVAS_SIDE_PX)))]
    pub(crate) size_px: [u16; 2],
    /// How it reaches the LEDs; the show's `output` when it is left out.
    #[serde(default)]
    pub(crate) output: Option<OutputWord>,
    /// First sACN universe of a direct canvas; left out when its pixels are row-driven.
    #[serde(default)]
    #[schemars(range(min = 1, max = 63_999))]
    pub(crate) first_universe: Option<u16>,
    /// Number of the controller that paints it; 0 is the desk.
    #[serde(default)]
    pub(crate) controller: u8,
}

words!(
    /// What a block is for.
    SurfaceWord: bool { "floor" => true, "tape" => false }
);

/// A rectangle of panels on a canvas.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawBlock {
    /// The crew's name for it.
    pub(crate) name: NameText,
    /// Its canvas.
    pub(crate) canvas: RefText,
    /// Panel columns and rows.
    #[schemars(inner(range(min = 1, max = limits::CANVAS_SIDE_PX)))]
    pub(crate) panels: [u16; 2],
    /// Width and height of one panel, millimetres.
    pub(crate) panel_mm: [PanelMm; 2],
    /// Width and height of one panel, pixels. Pitch is panel size over pixels, never a selling name.
    #[schemars(inner(range(min = 1, max = limits::CANVAS_SIDE_PX)))]
    pub(crate) panel_px: [u16; 2],
    /// Gap between neighbouring panels, millimetres. Not together with `size_m`.
    #[serde(default)]
    pub(crate) joint_mm: Option<MmOrNone>,
    /// As-built width and depth with all joints, metres. Not together with `joint_mm`.
    #[serde(default)]
    pub(crate) size_m: Option<[Length; 2]>,
    /// Its centre on the stage, metres.
    #[serde(default)]
    pub(crate) at: Place,
    /// Turn counter-clockwise seen from above, degrees. 0 puts canvas right at stage left and canvas up upstage.
    #[serde(default)]
    pub(crate) turn_deg: Deg,
    /// Its left and top edge on the canvas, pixels.
    #[serde(default)]
    #[schemars(inner(range(min = 0, max = limits::CANVAS_SIDE_PX)))]
    pub(crate) canvas_px: [u16; 2],
    /// Height of its surface above the floor, metres: the top of a riser.
    #[serde(default)]
    pub(crate) height_m: Height,
    /// `floor` is walked on; `tape` is a strip of pixels that is not.
    #[serde(default = "SurfaceWord::floor")]
    pub(crate) surface: SurfaceWord,
}

impl SurfaceWord {
    fn floor() -> Self {
        Self(true)
    }
}

/// Where counting starts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Corner {
    /// A corner of the stage: counting runs (to SL, to US) from it when true.
    Stage { to_left: bool, to_up: bool },
    /// Top left of the block on its canvas.
    Canvas,
}

words!(
    /// Where counting starts.
    CornerWord: Corner {
        "SR-DS" => Corner::Stage { to_left: true, to_up: true },
        "SL-DS" => Corner::Stage { to_left: false, to_up: true },
        "SR-US" => Corner::Stage { to_left: true, to_up: false },
        "SL-US" => Corner::Stage { to_left: false, to_up: false },
        "canvas" => Corner::Canvas,
    }
);
words!(
    /// State of a panel.
    TileWord: TileState { "dead" => TileState::Dead, "missing" => TileState::Missing }
);

/// A dead or missing panel.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawTile {
    /// Its block; may be left out when there is only one floor block.
    #[serde(default)]
    pub(crate) block: Option<RefText>,
    /// Its column across the stage, the first is 1.
    #[schemars(range(min = 1, max = 255))]
    pub(crate) column: u16,
    /// Its row up the stage, the first is 1.
    #[schemars(range(min = 1, max = 255))]
    pub(crate) row: u16,
    /// Corner that both are counted from; `canvas` counts from the block's top left on its canvas.
    pub(crate) count_from: CornerWord,
    /// What is wrong with it.
    #[serde(default = "TileWord::dead")]
    pub(crate) state: TileWord,
}

impl TileWord {
    fn dead() -> Self {
        Self(TileState::Dead)
    }
}

/// A stretch of the floor's edge that people may cross.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawEntry {
    /// The crew's name for it.
    pub(crate) name: NameText,
    /// Its middle on the floor's edge, metres.
    pub(crate) at: Place,
    /// Its clear width, metres.
    pub(crate) width_m: Length,
}

/// An LED wall.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawWall {
    /// The crew's name for it.
    pub(crate) name: NameText,
    /// One end of its foot, metres.
    pub(crate) from: Place,
    /// The other end of its foot, metres.
    pub(crate) to: Place,
    /// Height of its lower edge, metres.
    #[serde(default)]
    pub(crate) bottom_m: Height,
    /// Height of its upper edge, metres.
    pub(crate) top_m: Height,
}

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
}

words!(
    /// Whether the fit may stretch the tracking frame.
    ScaleWord: Scale { "fixed" => Scale::Fixed, "common" => Scale::Common }
);

impl Default for ScaleWord {
    fn default() -> Self {
        Self(Scale::Fixed)
    }
}

/// The survey that ties the floor to camera tracking.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub(crate) struct RawSurvey {
    /// A CSV file beside the show file with the points: name, stage x, y, z, tracking x, y, z in metres. Not together with `point`.
    pub(crate) csv: Option<RefText>,
    /// A surveyed point.
    #[schemars(length(max = limits::SURVEY_POINTS))]
    pub(crate) point: Vec<RawPoint>,
    /// `fixed`: metres are metres in both frames. `common`: the fit may find one scale, at most 0.2 % from 1.
    pub(crate) scale: ScaleWord,
    /// Worst residual to add to every clearance, millimetres; computed from the points when it is left out.
    pub(crate) allowance_mm: Option<MmOrNone>,
}

/// A point known in both frames.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawPoint {
    /// What the crew call it.
    pub(crate) name: NameText,
    /// Its place on the stage, metres: x and y on the LED surface, or x, y and z.
    #[schemars(length(min = 2, max = 3))]
    pub(crate) stage: Vec<Coord>,
    /// Its place as tracking reads it, metres.
    pub(crate) tracking: Place3,
    /// It is a permanent reference point for the quick check after a knock.
    #[serde(default)]
    pub(crate) quick: bool,
}
