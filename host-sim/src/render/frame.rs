//! What people need round a floor picture: directions, a ruler, and captions. None of it is on the floor.

use embedded_graphics::Drawable;
use embedded_graphics::geometry::{Point, Size};
use embedded_graphics::mono_font::ascii::{FONT_9X15_BOLD, FONT_10X20};
use embedded_graphics::mono_font::{MonoFont, MonoTextStyle};
use embedded_graphics::pixelcolor::Rgb888;
use embedded_graphics::primitives::{Primitive, PrimitiveStyle, Rectangle};
use embedded_graphics::text::{Alignment, Baseline, Text, TextStyleBuilder};
use underfoot_core::show::Show;

use super::stage::{self, Extent};
use super::{CanvasPixels, Picture};

const INK: Rgb888 = Rgb888::new(232, 232, 226);
const PAPER: [u8; 3] = [36, 38, 42];
/// Side and top margins in pixels: room for the directions.
const MARGIN: usize = 36;
/// Height of the strip of captions in pixels.
const STRIP: usize = 58;

/// Captions of a floor picture.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Captions {
    /// First line, on the left: show and code.
    pub head: String,
    /// Second line, on the left: cue.
    pub cue: String,
}

/// Longest side of the floor in a picture that people open on a monitor, pixels.
pub const MONITOR_PX: u16 = 1200;

/// The whole floor with its frame: directions outside the floor, a 1 m ruler and captions below. The floor's
/// longer side takes `long_side_px` pixels.
pub fn floor_picture(show: &Show, canvases: &[CanvasPixels], captions: &Captions, long_side_px: u16) -> Picture {
    let extent = Extent::of(show, 0.1, long_side_px);
    let floor = stage::assemble(show, canvases, &extent);
    let (width, height) = (floor.width() + 2 * MARGIN, floor.height() + 2 * MARGIN + STRIP);
    let mut picture = Picture::new(width, height, PAPER);
    picture.lay(&floor, MARGIN, MARGIN);
    directions(&mut picture, &floor);
    let top = floor.height() + 2 * MARGIN;
    text(&mut picture, &captions.head, (MARGIN, top), &FONT_10X20, Alignment::Left);
    text(&mut picture, &captions.cue, (MARGIN, top + 26), &FONT_10X20, Alignment::Left);
    ruler(&mut picture, extent.per_m, top);
    picture
}

fn directions(picture: &mut Picture, floor: &Picture) {
    let (middle_x, middle_y) = (MARGIN + floor.width() / 2, MARGIN + floor.height() / 2);
    let half = 10;
    text(picture, "US", (middle_x, MARGIN / 2 - half), &FONT_10X20, Alignment::Center);
    text(picture, "DS", (middle_x, MARGIN + floor.height() + MARGIN / 2 - half), &FONT_10X20, Alignment::Center);
    text(picture, "SR", (MARGIN / 2, middle_y - half), &FONT_10X20, Alignment::Center);
    text(picture, "SL", (MARGIN + floor.width() + MARGIN / 2, middle_y - half), &FONT_10X20, Alignment::Center);
}

/// A bar of 1 m at the right end of the strip.
fn ruler(picture: &mut Picture, per_m: f32, top: usize) {
    let length = per_m.round() as u32;
    let right = picture.width() - MARGIN;
    let left = right.saturating_sub(length as usize);
    let bar = Rectangle::new(Point::new(left as i32, top as i32 + 8), Size::new(length, 6));
    let ends = [left as i32, right as i32 - 2];
    let _ = bar.into_styled(PrimitiveStyle::with_fill(INK)).draw(picture);
    for x in ends {
        let end = Rectangle::new(Point::new(x, top as i32 + 3), Size::new(2, 16));
        let _ = end.into_styled(PrimitiveStyle::with_fill(INK)).draw(picture);
    }
    text(picture, "1 m", (right, top + 26), &FONT_9X15_BOLD, Alignment::Right);
}

fn text(picture: &mut Picture, words: &str, (x, y): (usize, usize), font: &MonoFont<'_>, alignment: Alignment) {
    let style = TextStyleBuilder::new().alignment(alignment).baseline(Baseline::Top).build();
    // The fonts are ASCII: other characters would print as question marks.
    let words: String = words.chars().map(|c| if c == '·' { '-' } else { c }).collect();
    let at = Point::new(x as i32, y as i32);
    let _ = Text::with_text_style(&words, at, MonoTextStyle::new(font, INK), style).draw(picture);
}
