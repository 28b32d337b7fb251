//! Tables about the floor and what stands round it.

use schemars::JsonSchema;
use serde::Deserialize;
use underfoot_core::limits;
use underfoot_core::show::{Edge, Passage, TileState};

use super::desk::OutputWord;
use super::numbers::{Deg, Height, Length, MmOrNone, NameText, PanelMm, Place, RefText, words};

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

words!(
    /// Which way people may cross the floor's edge.
    PassageWord: Passage { "both" => Passage::Both, "in" => Passage::In, "out" => Passage::Out }
);

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
    /// Which way people may cross there: onto the floor, off it, or both.
    #[serde(default = "PassageWord::both")]
    pub(crate) passage: PassageWord,
}

impl PassageWord {
    fn both() -> Self {
        Self(Passage::Both)
    }
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
