//! Draws words, plates and rules in whole display pixels or in doubled ones.

use embedded_graphics::draw_target::DrawTarget;
use embedded_graphics::geometry::{Point, Size};
use embedded_graphics::pixelcolor::{BinaryColor, PixelColor, Rgb565};
use embedded_graphics::primitives::Rectangle;

use super::lettering::{ELLIPSIS, Type};

/// What a thing on the display is drawn with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ink {
    /// What matters.
    Bright,
    /// What stands beside it: as bright where a display has no levels.
    Quiet,
    /// The ground.
    Dark,
}

/// A display's colours for the inks.
pub trait Inks: PixelColor {
    /// The colour of an ink.
    fn of(ink: Ink) -> Self;
}

impl Inks for BinaryColor {
    fn of(ink: Ink) -> Self {
        if ink == Ink::Dark { Self::Off } else { Self::On }
    }
}

impl Inks for Rgb565 {
    /// Amber: kind to eyes that have to see a dark stage, and no colour that crews read as stand by, go or on air.
    fn of(ink: Ink) -> Self {
        match ink {
            Ink::Bright => Self::new(31, 42, 0),
            Ink::Quiet => Self::new(19, 25, 0),
            Ink::Dark => Self::new(0, 0, 0),
        }
    }
}

/// A target, and how many of its pixels one of ours takes along each side.
pub struct Pen<'t, D> {
    target: &'t mut D,
    scale: i32,
}

impl<'t, D> Pen<'t, D>
where
    D: DrawTarget,
    D::Color: Inks,
{
    /// A pen on `target`.
    pub const fn new(target: &'t mut D, scale: i32) -> Self {
        Self { target, scale }
    }

    /// Fills the pixels of columns `x.0..x.1` and rows `y.0..y.1`.
    ///
    /// # Errors
    /// The target's own.
    pub fn fill(&mut self, x: (i32, i32), y: (i32, i32), ink: Ink) -> Result<(), D::Error> {
        let size = |(from, to): (i32, i32)| u32::try_from((to - from) * self.scale).unwrap_or(0);
        let corner = Point::new(x.0 * self.scale, y.0 * self.scale);
        let (width, height) = (size(x), size(y));
        if width == 0 || height == 0 {
            return Ok(());
        }
        self.target.fill_solid(&Rectangle::new(corner, Size::new(width, height)), D::Color::of(ink))
    }

    /// Writes `words`, cut to `width`, with their left end at `x` and their top at `y`; returns where they end.
    ///
    /// # Errors
    /// The target's own.
    pub fn text(
        &mut self,
        (words, kind): (&str, Type),
        (x, y): (i32, i32),
        width: i32,
        ink: Ink,
    ) -> Result<i32, D::Error> {
        self.letters((words, kind), (x, y), width, (ink, None))
    }

    /// Writes dark words on a bright plate of columns `x.0..x.1`, centred, with `pad` pixels of plate above and below.
    ///
    /// # Errors
    /// The target's own.
    pub fn plate(&mut self, (words, kind): (&str, Type), x: (i32, i32), y: i32, pad: i32) -> Result<(), D::Error> {
        let room = x.1 - x.0;
        let wide =
            kind.width(kind.cut(words, room).0) + if kind.width(words) > room { kind.advance(ELLIPSIS) } else { 0 };
        let left = x.0 + (room - wide) / 2;
        let end = self.letters((words, kind), (left, y), room, (Ink::Dark, Some(Ink::Bright)))?;
        let rows = (y, y + kind.height());
        self.fill((x.0, left), rows, Ink::Bright)?;
        self.fill((end, x.1), rows, Ink::Bright)?;
        self.fill(x, (y - pad, y), Ink::Bright)?;
        self.fill(x, (rows.1, rows.1 + pad), Ink::Bright)
    }

    /// A triangle that points right, `height` high, and half as wide: full, or its outline.
    ///
    /// # Errors
    /// The target's own.
    pub fn pointer(&mut self, (x, y): (i32, i32), height: i32, full: bool) -> Result<(), D::Error> {
        for row in 0..height {
            let end = 1 + row.min(height - 1 - row);
            let from = if full || row < 2 || row + 2 >= height { 0 } else { (end - 3).max(0) };
            if from > 2 {
                self.fill((x, x + 2), (y + row, y + row + 1), Ink::Bright)?;
            }
            let from = if from > 2 { from } else { 0 };
            self.fill((x + from, x + end), (y + row, y + row + 1), Ink::Bright)?;
        }
        Ok(())
    }

    fn letters(
        &mut self,
        (words, kind): (&str, Type),
        (x, y): (i32, i32),
        width: i32,
        (ink, ground): (Ink, Option<Ink>),
    ) -> Result<i32, D::Error> {
        let (kept, is_whole) = kind.cut(words, width);
        let mut left = x;
        if !is_whole && width < kind.advance(ELLIPSIS) {
            return Ok(left);
        }
        for c in kept.chars().chain((!is_whole).then_some(ELLIPSIS)) {
            self.letter((c, kind), (left, y), (ink, ground))?;
            left += kind.advance(c);
        }
        Ok(left)
    }

    fn letter(
        &mut self,
        (c, kind): (char, Type),
        (x, y): (i32, i32),
        (ink, ground): (Ink, Option<Ink>),
    ) -> Result<(), D::Error> {
        for (row, top, bottom) in kind.lines() {
            // One fill for each run of pixels that are alike.
            let mut run: Option<(i32, i32, bool)> = None;
            for (column, from, to) in kind.columns(c) {
                let has_ink = kind.has_ink(c, column, row);
                run = match run {
                    Some((start, _, was)) if was == has_ink => Some((start, to, was)),
                    other => {
                        self.run(other, x, (y + top, y + bottom), (ink, ground))?;
                        Some((from, to, has_ink))
                    }
                };
            }
            self.run(run, x, (y + top, y + bottom), (ink, ground))?;
        }
        Ok(())
    }

    fn run(
        &mut self,
        run: Option<(i32, i32, bool)>,
        x: i32,
        rows: (i32, i32),
        (ink, ground): (Ink, Option<Ink>),
    ) -> Result<(), D::Error> {
        match run {
            Some((from, to, true)) => self.fill((x + from, x + to), rows, ink),
            Some((from, to, false)) => match ground {
                Some(ground) => self.fill((x + from, x + to), rows, ground),
                None => Ok(()),
            },
            None => Ok(()),
        }
    }
}
