//! Widths and tolerances of one show's floor.

use crate::floor::Block;
use crate::show::Show;

/// Sizes that every drawing of a show shares, metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sizes {
    /// Width of a light line, as the show sets it.
    pub line_m: f32,
    /// Width of the dark keyline on each side: as the show sets it, at least two pixels.
    pub keyline_m: f32,
    /// Pitch of the largest block.
    pub pitch_m: f32,
    /// Farthest that a chord may leave its arc: a quarter pixel of the largest block.
    pub tolerance_m: f32,
}

/// Pitch that a show without blocks is drawn for.
const PITCH_M: f32 = 0.004;

impl Sizes {
    /// The sizes for `show`.
    pub fn of(show: &Show) -> Self {
        let area = |b: &Block| u32::from(b.width_px) * u32::from(b.height_px);
        let largest = show.blocks.iter().max_by_key(|b| area(b));
        let pitch_m = largest.map_or(PITCH_M, Block::pitch_m);
        Self {
            line_m: show.look.line_m,
            keyline_m: libm::fmaxf(show.look.keyline_m, 2.0 * pitch_m),
            pitch_m,
            tolerance_m: libm::fminf(libm::fmaxf(pitch_m * 0.25, 0.0005), 0.005),
        }
    }

    /// Half the width of a line.
    pub fn half_m(&self) -> f32 {
        self.line_m * 0.5
    }
}
