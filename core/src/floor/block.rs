//! One canvas rectangle with one affine map to the stage.
//!
//! A plain floor is one block. Turned, shifted or differently pitched panels are more blocks, and a
//! riser's top is a block with its own height. Joints are spread over the block: its pitch is the
//! as-built size divided by its pixels, so a pixel is never farther than half a joint from its place.

use serde::{Deserialize, Serialize};

use crate::geom::affine::ToCanvas;
use crate::geom::{Affine, PixelPoint, StagePoint, StageVector};
use crate::limits;
use crate::show::Name;
use crate::units::Angle;

/// One output picture: what one feed, controller or tape shows.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Canvas {
    /// The crew's name for it.
    pub name: Name,
    /// Width in pixels.
    pub width_px: u16,
    /// Height in pixels.
    pub height_px: u16,
    /// How its pixels reach the LEDs.
    pub output: Output,
    /// Number of the controller that paints it, 0 for the desk.
    pub controller: u8,
}

/// How a canvas reaches the LEDs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Output {
    /// A picture with alpha that the content system lays over its own.
    Layer,
    /// The box or the desk drives the pixels itself.
    Direct {
        /// First sACN universe; 0 when the pixels are row-driven.
        first_universe: u16,
    },
}

/// A canvas rectangle with one affine map between its pixels and the stage.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Block {
    /// The crew's name for it.
    pub name: Name,
    /// Index of its canvas.
    pub canvas: u8,
    /// Left edge on the canvas, pixels.
    pub x_px: u16,
    /// Top edge on the canvas, pixels.
    pub y_px: u16,
    /// Width in pixels.
    pub width_px: u16,
    /// Height in pixels.
    pub height_px: u16,
    /// Width of one panel in pixels.
    pub panel_width_px: u16,
    /// Height of one panel in pixels.
    pub panel_height_px: u16,
    /// Map from canvas pixels (not block pixels) to the stage.
    pub map: Affine,
    /// Height of the surface above the floor, metres.
    pub height_m: f32,
}

/// Why a block cannot be used.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BlockError {
    /// Width, height or panel size is zero.
    Empty,
    /// It reaches past [`limits::CANVAS_SIDE_PX`].
    TooLarge,
    /// Its size is not a whole number of panels.
    PartPanel,
    /// Its map is not finite or folds the floor flat.
    BadMap,
}

/// Where and how a block lies, as people measure it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lay {
    /// Stage place of the block's centre.
    pub centre: StagePoint,
    /// As-built size along its pixel rows, metres, joints included.
    pub width_m: f32,
    /// As-built size across its pixel rows, metres, joints included.
    pub depth_m: f32,
    /// Turn counter-clockwise seen from above; 0 puts canvas right at stage left and canvas up upstage.
    pub turn: Angle,
}

impl Block {
    /// A block of `columns` × `rows` panels of `panel_px` pixels each, at (`x_px`, `y_px`) on its canvas.
    ///
    /// # Errors
    /// [`BlockError`] names what is wrong; nothing is clamped.
    pub fn laid(
        name: Name,
        canvas: u8,
        (x_px, y_px): (u16, u16),
        (columns, rows): (u16, u16),
        (panel_width_px, panel_height_px): (u16, u16),
        lay: &Lay,
    ) -> Result<Self, BlockError> {
        let width_px = columns.checked_mul(panel_width_px).ok_or(BlockError::TooLarge)?;
        let height_px = rows.checked_mul(panel_height_px).ok_or(BlockError::TooLarge)?;
        if width_px == 0 || height_px == 0 {
            return Err(BlockError::Empty);
        }
        let (sin, cos) = lay.turn.sin_cos();
        let per_px_x = StageVector::new(cos, sin) * (lay.width_m / f32::from(width_px));
        let per_px_y = StageVector::new(sin, -cos) * (lay.depth_m / f32::from(height_px));
        let centre_x = f32::from(x_px) + f32::from(width_px) / 2.0;
        let centre_y = f32::from(y_px) + f32::from(height_px) / 2.0;
        let origin = lay.centre - per_px_x * centre_x - per_px_y * centre_y;
        let block = Self {
            name,
            canvas,
            x_px,
            y_px,
            width_px,
            height_px,
            panel_width_px,
            panel_height_px,
            map: Affine { origin, per_px_x, per_px_y },
            height_m: 0.0,
        };
        block.validate().map(|()| block)
    }

    /// Checks what every other function relies on.
    ///
    /// # Errors
    /// The first [`BlockError`] found.
    pub fn validate(&self) -> Result<(), BlockError> {
        if self.width_px == 0 || self.height_px == 0 || self.panel_width_px == 0 || self.panel_height_px == 0 {
            return Err(BlockError::Empty);
        }
        if !self.width_px.is_multiple_of(self.panel_width_px) || !self.height_px.is_multiple_of(self.panel_height_px) {
            return Err(BlockError::PartPanel);
        }
        let side = u32::from(limits::CANVAS_SIDE_PX);
        if self.right_px() > side || self.bottom_px() > side {
            return Err(BlockError::TooLarge);
        }
        if !self.height_m.is_finite() || self.map.inverse().is_none() {
            return Err(BlockError::BadMap);
        }
        Ok(())
    }

    /// First canvas column to the right of the block.
    pub fn right_px(&self) -> u32 {
        u32::from(self.x_px) + u32::from(self.width_px)
    }

    /// First canvas row below the block.
    pub fn bottom_px(&self) -> u32 {
        u32::from(self.y_px) + u32::from(self.height_px)
    }

    /// Panel columns and rows.
    pub fn panels(&self) -> (u16, u16) {
        (self.width_px / self.panel_width_px.max(1), self.height_px / self.panel_height_px.max(1))
    }

    /// The map from the stage to this block's canvas; `None` only for a block that [`Block::validate`] refuses.
    pub fn to_canvas(&self) -> Option<ToCanvas> {
        self.map.inverse()
    }

    /// True when the stage point lies on the block (left and top edge in, right and bottom edge out).
    pub fn contains(&self, p: StagePoint) -> bool {
        self.pixel_of(p).is_some()
    }

    /// Canvas place of a stage point, or `None` when it is off the block.
    pub fn pixel_of(&self, p: StagePoint) -> Option<PixelPoint> {
        let q = self.to_canvas()?.point(p);
        let inside_x = q.x >= f32::from(self.x_px) && q.x < self.right_px() as f32;
        let inside_y = q.y >= f32::from(self.y_px) && q.y < self.bottom_px() as f32;
        (inside_x && inside_y).then_some(q)
    }

    /// The block's corners on the stage: top left, top right, bottom right, bottom left of its canvas rectangle.
    pub fn corners(&self) -> [StagePoint; 4] {
        let (l, t) = (f32::from(self.x_px), f32::from(self.y_px));
        let (r, b) = (self.right_px() as f32, self.bottom_px() as f32);
        [(l, t), (r, t), (r, b), (l, b)].map(|(x, y)| self.map.to_stage(PixelPoint::new(x, y)))
    }

    /// Mean pitch in metres: the side of a square with the area of one pixel.
    pub fn pitch_m(&self) -> f32 {
        libm::sqrtf(libm::fabsf(self.map.per_px_x.cross(self.map.per_px_y)))
    }
}
