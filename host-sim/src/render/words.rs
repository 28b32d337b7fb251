//! Words and small signs on pictures for people.

use embedded_graphics::Drawable;
use embedded_graphics::geometry::{Point, Size};
use embedded_graphics::mono_font::{MonoFont, MonoTextStyle};
use embedded_graphics::pixelcolor::Rgb888;
use embedded_graphics::primitives::{Circle, Line, Primitive, PrimitiveStyle, Rectangle, Triangle};
use embedded_graphics::text::{Alignment, Baseline, Text, TextStyleBuilder};
use underfoot_core::look::ink;
use underfoot_core::show::Who;

use super::Picture;

/// Words and lines.
pub(crate) const INK: Rgb888 = Rgb888::new(232, 232, 226);
/// Words that matter less.
pub(crate) const QUIET: Rgb888 = Rgb888::new(160, 162, 158);
/// Below words that lie on a picture.
pub(crate) const PLATE: Rgb888 = Rgb888::new(10, 10, 12);

/// The colour of a person.
pub(crate) fn color_of(who: Who) -> Rgb888 {
    let ink = ink::of(who);
    Rgb888::new(ink.r, ink.g, ink.b)
}

/// Writes one line of words with its top at `y`; `x` is its left end, middle or right end.
pub(crate) fn text(
    picture: &mut Picture,
    words: &str,
    (x, y): (i32, i32),
    (font, ink): (&MonoFont<'_>, Rgb888),
    alignment: Alignment,
) {
    let style = TextStyleBuilder::new().alignment(alignment).baseline(Baseline::Top).build();
    let _ = Text::with_text_style(words, Point::new(x, y), MonoTextStyle::new(font, ink), style).draw(picture);
}

/// Width of words in pixels.
pub(crate) fn width(words: &str, font: &MonoFont<'_>) -> i32 {
    let advance = font.character_size.width + font.character_spacing;
    words.chars().count() as i32 * advance as i32
}

/// Words on dark plates that do not cover each other: the first come stay.
#[derive(Debug, Default)]
pub(crate) struct Plates(Vec<[i32; 4]>);

impl Plates {
    /// A plate with a sign before the words, its top at `y`, `x` in its middle; kept inside the picture, and left out
    /// where it would cover another.
    pub(crate) fn add(
        &mut self,
        picture: &mut Picture,
        words: &str,
        (x, y): (i32, i32),
        (font, ink): (&MonoFont<'_>, Rgb888),
        who: Option<Who>,
    ) {
        let high = font.character_size.height as i32;
        let lead = if who.is_some() { high } else { 0 };
        let (wide, tall) = (width(words, font) + lead + 8, high + 2);
        let left = (x - wide / 2).clamp(0, (picture.width() as i32 - wide).max(0));
        let top = y.clamp(0, (picture.height() as i32 - tall).max(0));
        let clear = |&[l, t, r, b]: &[i32; 4]| left >= r || left + wide <= l || top >= b || top + tall <= t;
        if !self.0.iter().all(clear) {
            return;
        }
        self.0.push([left, top, left + wide, top + tall]);
        fill(picture, (left, top), (wide, tall), PLATE);
        if let Some(who) = who {
            sign(picture, who, (left + 4 + high / 2 - 2, top + tall / 2), high * 3 / 5);
        }
        text(picture, words, (left + 4 + lead, top + 1), (font, ink), Alignment::Left);
    }
}

/// A filled rectangle.
pub(crate) fn fill(picture: &mut Picture, (x, y): (i32, i32), (wide, tall): (i32, i32), ink: Rgb888) {
    let area = Rectangle::new(Point::new(x, y), Size::new(wide.max(0) as u32, tall.max(0) as u32));
    let _ = area.into_styled(PrimitiveStyle::with_fill(ink)).draw(picture);
}

/// A straight line on a dark one, so that it reads on anything.
pub(crate) fn line(picture: &mut Picture, (ax, ay): (f64, f64), (bx, by): (f64, f64), ink: Rgb888, width: u32) {
    let at = |x: f64, y: f64| Point::new(x.round() as i32, y.round() as i32);
    let line = Line::new(at(ax, ay), at(bx, by));
    let _ = line.into_styled(PrimitiveStyle::with_stroke(PLATE, width + 2)).draw(picture);
    let _ = line.into_styled(PrimitiveStyle::with_stroke(ink, width)).draw(picture);
}

/// The shape and colour that say who, `size` pixels across.
pub(crate) fn sign(picture: &mut Picture, who: Who, (x, y): (i32, i32), size: i32) {
    let style = PrimitiveStyle::with_fill(color_of(who));
    let half = size / 2;
    let point = |dx: i32, dy: i32| Point::new(x + dx, y + dy);
    let _ = match who {
        Who::WhiteCircle => Circle::with_center(Point::new(x, y), size as u32).into_styled(style).draw(picture),
        Who::AmberSquare => {
            Rectangle::with_center(Point::new(x, y), Size::new_equal(size as u32)).into_styled(style).draw(picture)
        }
        Who::CyanTriangle => {
            Triangle::new(point(0, -half), point(half, half), point(-half, half)).into_styled(style).draw(picture)
        }
        Who::MagentaDiamond => {
            let (up, down) = (point(0, -half - 1), point(0, half + 1));
            let (left, right) = (point(-half, 0), point(half, 0));
            let _ = Triangle::new(up, right, left).into_styled(style).draw(picture);
            Triangle::new(down, right, left).into_styled(style).draw(picture)
        }
    };
}
