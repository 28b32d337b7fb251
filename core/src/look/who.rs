//! The shape that says who, drawn round a mark. Its openings say in what state the mark is.

use core::f32::consts::{FRAC_PI_2, FRAC_PI_4, TAU};

use heapless::Vec;

use crate::geom::StagePoint;
use crate::paint::SceneFull;
use crate::show::Who;
use crate::units::Angle;

use super::arc;
use super::frame::Frame;
use super::item::Pass;
use super::sheet::Sheet;
use super::sides::Sides;
use super::states::MarkState;

/// Clear floor between a mark and the shape round it, metres.
pub const CLEAR_M: f32 = 0.05;
/// Share of each side that is open in stand by.
pub const OPEN: f32 = 0.36;

/// The upright rectangle that a shape has to clear, in the mark's own frame, metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Extent {
    /// Farthest ahead of the mark's point.
    pub(super) front_m: f32,
    /// Farthest behind, a negative number.
    pub(super) back_m: f32,
    /// Farthest to each side.
    pub(super) side_m: f32,
}

/// The centre line of a shape.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Outline {
    /// A circle.
    Circle {
        /// Its centre.
        centre: StagePoint,
        /// Its radius, metres.
        radius_m: f32,
        /// Direction ahead, radians.
        ahead: f32,
    },
    /// A convex polygon, counter-clockwise.
    Polygon {
        /// The middle of what it surrounds.
        centre: StagePoint,
        /// Its corners.
        corners: Vec<StagePoint, 4>,
    },
}

impl Outline {
    /// The shape of `who` round `extent`, for lines of `half_m` on each side.
    pub(super) fn of(who: Who, frame: &Frame, extent: Extent, half_m: f32) -> Self {
        let space = CLEAR_M + half_m;
        let depth = (extent.front_m - extent.back_m) * 0.5;
        let middle = frame.moved((extent.front_m + extent.back_m) * 0.5, 0.0);
        let side = extent.side_m;
        let corners: &[(f32, f32)] = match who {
            Who::WhiteCircle => {
                let radius_m = libm::sqrtf(side * side + depth * depth) + space;
                let ahead = libm::atan2f(frame.ahead.y, frame.ahead.x);
                return Self::Circle { centre: middle.origin, radius_m, ahead };
            }
            Who::AmberSquare => {
                let (a, l) = (depth + space, side + space);
                &[(-a, -l), (a, -l), (a, l), (-a, l)]
            }
            Who::CyanTriangle => {
                // Equilateral, its tip ahead. Its sides lean 30 degrees, so a front corner's distance
                // to a side is half its distance below the tip less 0.866 of its distance to the side.
                let tip = depth + 2.0 * (space + SIN_60 * side);
                let base = -depth - space;
                let l = (tip - base) / (2.0 * SIN_60);
                &[(base, -l), (tip, 0.0), (base, l)]
            }
            Who::MagentaDiamond => {
                // Longer than wide: a diamond as wide as long is a square to whoever comes from its corner.
                let slant = libm::sqrtf(1.0 + SLIM * SLIM) / SLIM;
                let wide = side + depth / SLIM + space * slant;
                let long = SLIM * wide;
                &[(-long, 0.0), (0.0, -wide), (long, 0.0), (0.0, wide)]
            }
        };
        let corners = corners.iter().map(|&(a, l)| middle.at(a, l)).collect();
        Self::Polygon { centre: middle.origin, corners }
    }

    /// Draws the band of one pass in the form of `state`.
    pub(super) fn draw(
        &self,
        scene: &mut Sheet<'_, '_>,
        (half_m, tolerance_m): (f32, f32),
        pass: Pass,
        state: MarkState,
    ) -> Result<(), SceneFull> {
        let half_m = if state == MarkState::Later { half_m * 0.5 } else { half_m } + pass.grow_m;
        match state {
            MarkState::StandBy | MarkState::Go if !pass.keyline => self.opened(scene, half_m, tolerance_m),
            MarkState::Off { toward_deg } if !pass.keyline => {
                self.gapped(scene, half_m, tolerance_m, Angle::from_degrees(toward_deg))
            }
            _ => self.whole(scene, half_m),
        }
    }

    fn whole(&self, scene: &mut Sheet<'_, '_>, half_m: f32) -> Result<(), SceneFull> {
        match self {
            Self::Circle { centre, radius_m, .. } => arc::ring(scene, *centre, *radius_m, half_m),
            Self::Polygon { corners, .. } => Sides(corners).band(scene, half_m),
        }
    }

    fn opened(&self, scene: &mut Sheet<'_, '_>, half_m: f32, tolerance_m: f32) -> Result<(), SceneFull> {
        match self {
            Self::Circle { centre, radius_m, ahead } => {
                let first = ahead + FRAC_PI_4;
                arc::pieces(scene, *centre, (*radius_m, half_m), (4, 1.0 - OPEN, first), tolerance_m)
            }
            Self::Polygon { corners, .. } => Sides(corners).opened(scene, half_m, OPEN),
        }
    }

    /// All but the quarter of the outline that lies toward `toward`.
    fn gapped(&self, scene: &mut Sheet<'_, '_>, half_m: f32, tolerance_m: f32, toward: Angle) -> Result<(), SceneFull> {
        match self {
            Self::Circle { centre, radius_m, .. } => {
                let from = toward.to_radians() + FRAC_PI_4;
                let band = (radius_m - half_m, radius_m + half_m);
                arc::sector(scene, *centre, band, (from, from + TAU - FRAC_PI_2), tolerance_m)
            }
            Self::Polygon { centre, corners } => {
                let shape = Sides(corners);
                let (perimeter, gap) = (shape.perimeter_m(), shape.perimeter_m() * 0.25);
                let middle = shape.crossing_m(&Frame::facing(*centre, toward.to_degrees()));
                shape.piece(scene, (middle + gap * 0.5, middle + perimeter - gap * 0.5), half_m)
            }
        }
    }
}

/// Half the side of the largest square that the shape of `who` can go round while it keeps, lines and
/// all, within `within_m` to each side; 0 when there is no room.
pub(super) fn room(who: Who, within_m: f32, half_m: f32) -> f32 {
    // How far each shape reaches sideways for each metre of the square, of the space round it, and of
    // half a line at its corner: from the formulas of `Outline::of` with depth and side alike.
    let (square, space, tip) = match who {
        Who::WhiteCircle => (core::f32::consts::SQRT_2, 1.0, 1.0),
        Who::AmberSquare => (1.0, 1.0, 1.0),
        Who::CyanTriangle => ((1.0 + SIN_60) / SIN_60, 1.5 / SIN_60, 2.0 * SIN_60),
        Who::MagentaDiamond => {
            let slant = libm::sqrtf(1.0 + SLIM * SLIM) / SLIM;
            (1.0 + 1.0 / SLIM, slant, slant)
        }
    };
    libm::fmaxf((within_m - tip * half_m - space * (CLEAR_M + half_m)) / square, 0.0)
}

const SIN_60: f32 = 0.866_025_4;
/// Length of a diamond to its width.
const SLIM: f32 = 1.5;
