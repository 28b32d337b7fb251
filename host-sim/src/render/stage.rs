//! Canvases laid where their blocks lie: one picture of the whole floor, upstage at the top.

use underfoot_core::floor::Block;
use underfoot_core::geom::affine::ToCanvas;
use underfoot_core::geom::{PixelPoint, StagePoint};
use underfoot_core::paint::Rgba;
use underfoot_core::show::{Show, TileState};

use super::{CanvasPixels, Picture};

/// Samples per picture pixel and axis: a floor pixel thinner than a picture pixel still counts.
const SAMPLES: usize = 3;
/// The studio floor round the LED floor.
const STUDIO: [u8; 3] = [58, 60, 64];
/// A panel that shows nothing.
const PANEL: [u8; 3] = [12, 12, 14];
/// The joint between panels.
const JOINT: [u8; 3] = [30, 31, 34];
/// A dead panel.
const DEAD: [u8; 3] = [70, 34, 70];

/// Where a stage picture lies on the stage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Extent {
    /// Stage place of the picture's top left corner.
    pub corner: StagePoint,
    /// Picture pixels per metre.
    pub per_m: f32,
    /// Width in pixels.
    pub width: usize,
    /// Height in pixels.
    pub height: usize,
}

impl Extent {
    /// The extent of all blocks with a margin of `margin_m`, its longer side `long_side_px` pixels.
    pub fn of(show: &Show, margin_m: f32, long_side_px: u16) -> Self {
        let corners = show.blocks.iter().flat_map(|b| b.corners());
        let (mut low, mut high) = ((f32::MAX, f32::MAX), (f32::MIN, f32::MIN));
        for p in corners {
            low = (low.0.min(p.x), low.1.min(p.y));
            high = (high.0.max(p.x), high.1.max(p.y));
        }
        let (width_m, depth_m) = (high.0 - low.0 + 2.0 * margin_m, high.1 - low.1 + 2.0 * margin_m);
        let per_m = f32::from(long_side_px) / width_m.max(depth_m);
        Self {
            corner: StagePoint::new(low.0 - margin_m, high.1 + margin_m),
            per_m,
            width: (width_m * per_m).round() as usize,
            height: (depth_m * per_m).round() as usize,
        }
    }

    /// Stage place of a picture point.
    pub fn to_stage(&self, x: f32, y: f32) -> StagePoint {
        StagePoint::new(self.corner.x + x / self.per_m, self.corner.y - y / self.per_m)
    }

    /// Picture point of a stage place.
    pub fn to_picture(&self, p: StagePoint) -> (f32, f32) {
        ((p.x - self.corner.x) * self.per_m, (self.corner.y - p.y) * self.per_m)
    }
}

/// A block with what does not change from sample to sample.
pub(super) struct Placed<'s> {
    index: usize,
    block: &'s Block,
    map: ToCanvas,
}

impl<'s> Placed<'s> {
    /// All blocks, the highest first: a riser's top hides the floor beneath.
    pub(super) fn all(show: &'s Show) -> Vec<Self> {
        let place = |(index, block): (usize, &'s Block)| Some(Self { index, block, map: block.to_canvas()? });
        let mut blocks: Vec<Self> = show.blocks.iter().enumerate().filter_map(place).collect();
        blocks.sort_by(|a, b| b.block.height_m.total_cmp(&a.block.height_m));
        blocks
    }

    /// Height of its surface above the floor, metres.
    pub(super) fn height_m(&self) -> f32 {
        self.block.height_m
    }

    /// What the block shows at a stage place, over dark panels or over `content`; `None` beside it and where its panel
    /// is missing.
    pub(super) fn color(
        &self,
        show: &Show,
        (canvases, content): (&[CanvasPixels], Option<[u8; 3]>),
        p: StagePoint,
    ) -> Option<[u8; 3]> {
        let (at, block) = (self.map.point(p), self.block);
        let inside_x = at.x >= f32::from(block.x_px) && at.x < block.right_px() as f32;
        let inside_y = at.y >= f32::from(block.y_px) && at.y < block.bottom_px() as f32;
        if !(inside_x && inside_y) {
            return None;
        }
        match tile_state(show, self.index, block, at) {
            Some(TileState::Missing) => None,
            Some(TileState::Dead) => Some(DEAD),
            None => Some(over(pixel(canvases, block, at), content.unwrap_or_else(|| surface(block, at)))),
        }
    }
}

/// Lays the canvases (one for each of the show's, in its order) on the stage.
pub fn assemble(show: &Show, canvases: &[CanvasPixels], extent: &Extent) -> Picture {
    let blocks = Placed::all(show);
    let mut picture = Picture::new(extent.width, extent.height, STUDIO);
    for y in 0..extent.height {
        for x in 0..extent.width {
            let mut sum = [0u32; 3];
            for i in 0..SAMPLES * SAMPLES {
                let at = |n: usize| (n as f32 + 0.5) / SAMPLES as f32;
                let p = extent.to_stage(x as f32 + at(i % SAMPLES), y as f32 + at(i / SAMPLES));
                let color = sample(show, &blocks, canvases, p);
                sum.iter_mut().zip(color).for_each(|(s, c)| *s += u32::from(c));
            }
            if let Some(pixel) = picture.at_mut(x, y) {
                *pixel = sum.map(|s| (s / (SAMPLES * SAMPLES) as u32) as u8);
            }
        }
    }
    picture
}

/// What is seen at a stage place: the highest block there, else the studio floor.
fn sample(show: &Show, blocks: &[Placed<'_>], canvases: &[CanvasPixels], p: StagePoint) -> [u8; 3] {
    blocks.iter().find_map(|placed| placed.color(show, (canvases, None), p)).unwrap_or(STUDIO)
}

fn pixel(canvases: &[CanvasPixels], block: &Block, at: PixelPoint) -> Rgba {
    canvases.get(usize::from(block.canvas)).map_or(Rgba::CLEAR, |c| c.at(at.x as usize, at.y as usize))
}

fn panel_of(block: &Block, at: PixelPoint) -> (u16, u16) {
    let column = (at.x as u16 - block.x_px) / block.panel_width_px;
    let row = (at.y as u16 - block.y_px) / block.panel_height_px;
    (column, row)
}

fn tile_state(show: &Show, index: usize, block: &Block, at: PixelPoint) -> Option<TileState> {
    if show.tile_faults.is_empty() {
        return None;
    }
    let (column, row) = panel_of(block, at);
    let here = |t: &&underfoot_core::show::TileFault| {
        usize::from(t.block) == index && u16::from(t.column) == column && u16::from(t.row) == row
    };
    show.tile_faults.iter().find(here).map(|t| t.state)
}

fn surface(block: &Block, at: PixelPoint) -> [u8; 3] {
    let in_panel_x = (at.x as u16 - block.x_px) % block.panel_width_px;
    let in_panel_y = (at.y as u16 - block.y_px) % block.panel_height_px;
    if in_panel_x == 0 || in_panel_y == 0 { JOINT } else { PANEL }
}

fn over(top: Rgba, below: [u8; 3]) -> [u8; 3] {
    let rest = u32::from(255 - top.a);
    let mix = |c: u8, b: u8| (u32::from(c) + (u32::from(b) * rest + 127) / 255).min(255) as u8;
    [mix(top.r, below[0]), mix(top.g, below[1]), mix(top.b, below[2])]
}
