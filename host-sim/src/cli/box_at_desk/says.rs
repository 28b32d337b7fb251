//! What a box says, in words and in characters.

use embedded_graphics::Pixel;
use embedded_graphics::draw_target::DrawTarget;
use embedded_graphics::geometry::{OriginDimensions, Point, Size};
use embedded_graphics::pixelcolor::BinaryColor;
use underfoot_core::panel::{Face, display};
use underfoot_core::ports::Haptic;

use crate::sim::{Panel, wording};

/// The display's words, line by line, and lamp and relay below them.
pub(super) fn words_of(panel: &Panel) -> String {
    wording::lines(panel).into_iter().map(|line| line + "\n").collect()
}

/// What the hand felt.
pub(super) const fn felt(haptic: Option<&Haptic>) -> &'static str {
    match haptic {
        Some(Haptic::Taken) => "one tick: taken",
        Some(Haptic::Refused) => "two ticks: refused",
        None => "nothing",
    }
}

/// The small display's pixels.
struct Pixels([[bool; 128]; 64]);

impl OriginDimensions for Pixels {
    fn size(&self) -> Size {
        display::MONO
    }
}

impl DrawTarget for Pixels {
    type Color = BinaryColor;
    type Error = std::convert::Infallible;

    fn draw_iter<I: IntoIterator<Item = Pixel<BinaryColor>>>(&mut self, pixels: I) -> Result<(), Self::Error> {
        for Pixel(Point { x, y }, color) in pixels {
            let row = usize::try_from(y).ok().and_then(|y| self.0.get_mut(y));
            if let Some(pixel) = row.and_then(|row| row.get_mut(usize::try_from(x).ok()?)) {
                *pixel = color.is_on();
            }
        }
        Ok(())
    }
}

/// How many pixels a character stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Grain {
    /// One beside another above another: 128 characters by 32 lines.
    Halves,
    /// Two by four, as the dots of Braille: 64 characters by 16 lines, which leaves room in 80 by 24.
    Dots,
}

/// The small display, line by line; dark for a box without power.
pub(super) fn picture_of(face: Option<&Face>, grain: Grain) -> Vec<String> {
    let mut pixels = Pixels([[false; 128]; 64]);
    if let Some(face) = face {
        let Ok(()) = display::mono(face, &mut pixels);
    }
    let at = |x: usize, y: usize| pixels.0[y][x];
    match grain {
        Grain::Halves => {
            let half = |x, y| [[' ', '▄'], ['▀', '█']][usize::from(at(x, y))][usize::from(at(x, y + 1))];
            (0..64).step_by(2).map(|y| (0..128).map(|x| half(x, y)).collect()).collect()
        }
        Grain::Dots => {
            // Unicode 15, block 2800: dots 1 2 3 7 down the left side, 4 5 6 8 down the right.
            const BITS: [[u32; 2]; 4] = [[0, 3], [1, 4], [2, 5], [6, 7]];
            let cell = |x: usize, y: usize| {
                let dots = (0..4).flat_map(|j| (0..2).map(move |i| (i, j))).filter(|&(i, j)| at(x + i, y + j));
                let code = dots.fold(0x2800, |code, (i, j)| code | 1 << BITS[j][i]);
                char::from_u32(code).unwrap_or(' ')
            };
            (0..64).step_by(4).map(|y| (0..128).step_by(2).map(|x| cell(x, y)).collect()).collect()
        }
    }
}
