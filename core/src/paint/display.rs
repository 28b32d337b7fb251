//! Paints onto any `embedded_graphics` draw target: a small panel, a display, another simulator.

use embedded_graphics_core::draw_target::DrawTarget;
use embedded_graphics_core::geometry::{Point, Size};
use embedded_graphics_core::pixelcolor::{PixelColor, Rgb888, RgbColor};
use embedded_graphics_core::primitives::Rectangle;

use super::{RowTarget, Span};

/// A draw target behind rows. Cover is laid over `background`, which also fills what nothing covers.
#[derive(Debug)]
pub struct Display<'d, D> {
    draw: &'d mut D,
    background: Rgb888,
    row: u16,
    next: u16,
    end: u16,
}

impl<'d, D> Display<'d, D>
where
    D: DrawTarget,
    D::Color: PixelColor + From<Rgb888>,
{
    /// Paints onto `draw`.
    pub const fn new(draw: &'d mut D, background: Rgb888) -> Self {
        Self { draw, background, row: 0, next: 0, end: 0 }
    }

    fn fill(&mut self, end: u16, color: Rgb888) -> Result<(), D::Error> {
        let (start, width) = (self.next, end.saturating_sub(self.next));
        self.next = end;
        if width == 0 {
            return Ok(());
        }
        let area = Rectangle::new(Point::new(start.into(), self.row.into()), Size::new(width.into(), 1));
        self.draw.fill_solid(&area, color.into())
    }
}

impl<D> RowTarget for Display<'_, D>
where
    D: DrawTarget,
    D::Color: PixelColor + From<Rgb888>,
{
    type Error = D::Error;

    fn begin_row(&mut self, row: u16, start: u16, end: u16) -> Result<(), D::Error> {
        (self.row, self.next, self.end) = (row, start, end);
        Ok(())
    }

    fn span(&mut self, span: Span) -> Result<(), D::Error> {
        self.fill(span.start, self.background)?;
        let rest = 255 - span.color.a;
        let over = |ink: u8, under: u8| ink.saturating_add(super::color::scale(under, rest));
        let (ink, under) = (span.color, self.background);
        let color = Rgb888::new(over(ink.r, under.r()), over(ink.g, under.g()), over(ink.b, under.b()));
        self.fill(span.end, color)
    }

    fn end_row(&mut self) -> Result<(), D::Error> {
        self.fill(self.end, self.background)
    }
}

#[cfg(test)]
mod tests {
    use std::vec::Vec;

    use embedded_graphics_core::Pixel;
    use embedded_graphics_core::geometry::OriginDimensions;

    use super::super::Rgba;
    use super::*;

    struct Log(Vec<(Point, Rgb888)>);

    impl OriginDimensions for Log {
        fn size(&self) -> Size {
            Size::new(5, 1)
        }
    }

    impl DrawTarget for Log {
        type Color = Rgb888;
        type Error = core::convert::Infallible;
        fn draw_iter<I: IntoIterator<Item = Pixel<Rgb888>>>(&mut self, pixels: I) -> Result<(), Self::Error> {
            self.0.extend(pixels.into_iter().map(|Pixel(at, color)| (at, color)));
            Ok(())
        }
    }

    #[test]
    fn every_pixel_is_drawn_once_over_the_background() {
        let mut log = Log(Vec::new());
        let mut display = Display::new(&mut log, Rgb888::new(10, 20, 30));
        display.begin_row(0, 0, 5).unwrap();
        display.span(Span { start: 1, end: 3, color: Rgba { r: 128, g: 0, b: 0, a: 128 } }).unwrap();
        display.end_row().unwrap();
        let places: Vec<i32> = log.0.iter().map(|(at, _)| at.x).collect();
        assert_eq!(places, [0, 1, 2, 3, 4]);
        assert_eq!(log.0[0].1, Rgb888::new(10, 20, 30));
        assert_eq!(log.0[1].1, Rgb888::new(133, 10, 15));
    }
}
