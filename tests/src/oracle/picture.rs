//! Painting figures pixel by pixel.

use underfoot_core::paint::Rgba;

use super::Figure;
use super::clip::{Keep, Place, area, cut};

/// What one pixel must show.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Pixel {
    /// Premultiplied red, green, blue and alpha, 0 to 255, not rounded.
    pub rgba: [f64; 4],
    /// Shapes that can be seen in it: those above and including the last one that hides all below.
    pub layers: u32,
}

/// A rectangle of pixels of a canvas.
#[derive(Clone, Debug)]
pub struct Picture {
    /// First column.
    pub left: u16,
    /// First row.
    pub top: u16,
    /// Columns.
    pub width: u16,
    /// Rows.
    pub height: u16,
    pixels: Vec<Pixel>,
}

impl Picture {
    /// A clear picture of `width` × `height` pixels from (`left`, `top`).
    pub fn clear((left, top): (u16, u16), (width, height): (u16, u16)) -> Self {
        let count = usize::from(width) * usize::from(height);
        Self { left, top, width, height, pixels: vec![Pixel::default(); count] }
    }

    /// The pixel at canvas column `x`, row `y`.
    pub fn at(&self, x: u16, y: u16) -> Pixel {
        self.pixels[usize::from(y - self.top) * usize::from(self.width) + usize::from(x - self.left)]
    }

    /// Canvas places of all pixels, row by row.
    pub fn places(&self) -> impl Iterator<Item = (u16, u16)> + use<> {
        let (left, right) = (self.left, self.left + self.width);
        (self.top..self.top + self.height).flat_map(move |y| (left..right).map(move |x| (x, y)))
    }

    fn lay(&mut self, x: u16, y: u16, ink: Rgba, cover: f64) {
        let index = usize::from(y - self.top) * usize::from(self.width) + usize::from(x - self.left);
        let pixel = &mut self.pixels[index];
        let through = 1.0 - cover * f64::from(ink.a) / 255.0;
        for (below, top) in pixel.rgba.iter_mut().zip([ink.r, ink.g, ink.b, ink.a]) {
            *below = f64::from(top) * cover + *below * through;
        }
        pixel.layers = if through == 0.0 { 1 } else { pixel.layers + 1 };
    }
}

/// Paints `figures` into the rectangle of `width` × `height` pixels from `corner`.
pub fn paint(figures: &[Figure], corner: (u16, u16), size: (u16, u16)) -> Picture {
    let mut picture = Picture::clear(corner, size);
    for figure in figures {
        for y in picture.top..picture.top + picture.height {
            for (x, cover) in row_cover(figure, y, picture.left..picture.left + picture.width) {
                picture.lay(x, y, figure.ink, cover);
            }
        }
    }
    picture
}

/// Cover of the pixels of row `y` that the figure touches, each 0 to 1.
///
/// Contours are cut to the row first and to each pixel then: the same polygon as one cut with all four
/// sides of the square.
pub fn row_cover(figure: &Figure, y: u16, columns: core::ops::Range<u16>) -> Vec<(u16, f64)> {
    let strips: Vec<Vec<Place>> = figure.contours.iter().map(|c| between(c, 1, f64::from(y))).collect();
    let all = || strips.iter().flatten().map(|p| p[0]);
    let (low, high) = (all().fold(f64::INFINITY, f64::min), all().fold(f64::NEG_INFINITY, f64::max));
    columns
        .filter(|&x| f64::from(x) < high && f64::from(x) + 1.0 > low)
        .map(|x| (x, strips.iter().map(|s| area(&between(s, 0, f64::from(x)))).sum::<f64>().clamp(0.0, 1.0)))
        .filter(|&(_, cover)| cover > 0.0)
        .collect()
}

fn between(polygon: &[Place], axis: usize, line: f64) -> Vec<Place> {
    let (mut half, mut whole) = (Vec::new(), Vec::new());
    cut(polygon, axis, line, Keep::Above, &mut half);
    cut(&half, axis, line + 1.0, Keep::Below, &mut whole);
    whole
}

#[cfg(test)]
mod tests {
    use super::*;

    fn total(picture: &Picture) -> f64 {
        picture.places().map(|(x, y)| picture.at(x, y).rgba[3] / 255.0).sum()
    }

    fn white(contours: Vec<Vec<Place>>) -> Figure {
        Figure { ink: Rgba::opaque(255, 255, 255), contours }
    }

    fn circle(x: f64, y: f64, radius: f64) -> Vec<Place> {
        let corner = |i: i32| {
            let (sin, cos) = (f64::from(i) * std::f64::consts::TAU / 4096.0).sin_cos();
            [x + radius * cos, y + radius * sin]
        };
        (0..4096).map(corner).collect()
    }

    /// The cover of all pixels adds up to the area: pi r² for a disc (textbook value).
    #[test]
    fn a_disc_covers_its_area() {
        let picture = paint(&[white(vec![circle(8.3, 7.9, 5.25)])], (0, 0), (16, 16));
        assert!((total(&picture) - std::f64::consts::PI * 5.25 * 5.25).abs() < 1e-4);
        assert_eq!(picture.at(8, 8).rgba, [255.0; 4]);
    }

    #[test]
    fn a_hole_takes_its_area_away() {
        let mut hole = circle(8.0, 8.0, 2.0);
        hole.reverse();
        let picture = paint(&[white(vec![circle(8.0, 8.0, 6.0), hole])], (0, 0), (16, 16));
        assert!((total(&picture) - std::f64::consts::PI * (36.0 - 4.0)).abs() < 1e-4);
        assert_eq!(picture.at(8, 8).layers, 0);
    }

    #[test]
    fn a_square_over_four_pixels_gives_each_its_part() {
        let square = vec![[0.75, 0.5], [1.25, 0.5], [1.25, 1.5], [0.75, 1.5]];
        let picture = paint(&[white(vec![square])], (0, 0), (2, 2));
        for (x, y) in picture.places() {
            assert_eq!(picture.at(x, y).rgba[3], 255.0 * 0.125, "{x}, {y}");
        }
    }

    #[test]
    fn half_cover_over_a_full_layer_mixes_both() {
        let full = vec![[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]];
        let half = vec![[0.0, 0.0], [0.5, 0.0], [0.5, 1.0], [0.0, 1.0]];
        let red = Figure { ink: Rgba::opaque(200, 0, 0), contours: vec![full] };
        let blue = Figure { ink: Rgba::opaque(0, 0, 100), contours: vec![half] };
        let picture = paint(&[red, blue], (0, 0), (1, 1));
        assert_eq!(picture.at(0, 0), Pixel { rgba: [100.0, 0.0, 50.0, 255.0], layers: 2 });
    }
}
