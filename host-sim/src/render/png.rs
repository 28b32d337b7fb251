//! PNG bytes: transparent layer, picture on black, matte, and pictures for people.

use std::fmt;
use std::path::{Path, PathBuf};

use png::{BitDepth, ColorType, Encoder};
use underfoot_core::paint::Rgba;

use super::{CanvasPixels, Picture};

/// Which picture of a canvas.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// Colour with alpha, to lay over content. PNG keeps colours unmultiplied.
    Layer,
    /// The layer over black: the colour half of a colour-and-matte feed.
    Black,
    /// The layer's alpha as grey.
    Matte,
}

impl Kind {
    /// All kinds.
    pub const ALL: [Self; 3] = [Self::Layer, Self::Black, Self::Matte];

    /// The word in file names and on the command line.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Layer => "layer",
            Self::Black => "black",
            Self::Matte => "matte",
        }
    }
}

/// A picture could not be written.
#[derive(Debug)]
pub struct PngError {
    /// The file.
    pub path: PathBuf,
    /// Why, in the system's words.
    pub why: String,
}

impl fmt::Display for PngError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "cannot write {}: {}", self.path.display(), self.why)
    }
}

impl std::error::Error for PngError {}

/// The PNG bytes of one kind of picture of a canvas.
///
/// # Errors
/// The encoder's own words, for a canvas without pixels.
pub fn of_canvas(canvas: &CanvasPixels, kind: Kind) -> Result<Vec<u8>, png::EncodingError> {
    pack_canvas(canvas, kind, png::Compression::High)
}

/// The same pixels in more bytes and less time, for who looks and goes on.
///
/// # Errors
/// As [`of_canvas`].
pub fn quick_canvas(canvas: &CanvasPixels, kind: Kind) -> Result<Vec<u8>, png::EncodingError> {
    pack_canvas(canvas, kind, png::Compression::Fast)
}

fn pack_canvas(canvas: &CanvasPixels, kind: Kind, effort: png::Compression) -> Result<Vec<u8>, png::EncodingError> {
    let pixels = canvas.pixels();
    let (color, data): (_, Vec<u8>) = match kind {
        Kind::Layer => (ColorType::Rgba, pixels.iter().map(|p| straight(*p)).collect::<Vec<_>>().into_flattened()),
        Kind::Black => (ColorType::Rgb, pixels.iter().map(|p| [p.r, p.g, p.b]).collect::<Vec<_>>().into_flattened()),
        Kind::Matte => (ColorType::Grayscale, pixels.iter().map(|p| p.a).collect()),
    };
    encode((canvas.width(), canvas.height()), color, &data, effort)
}

/// The PNG bytes of a picture for people.
///
/// # Errors
/// The encoder's own words, for a picture without pixels.
pub fn of_picture(picture: &Picture) -> Result<Vec<u8>, png::EncodingError> {
    encode((picture.width(), picture.height()), ColorType::Rgb, picture.pixels().as_flattened(), png::Compression::High)
}

/// The same pixels in more bytes and less time.
///
/// # Errors
/// As [`of_picture`].
pub fn quick_picture(picture: &Picture) -> Result<Vec<u8>, png::EncodingError> {
    encode((picture.width(), picture.height()), ColorType::Rgb, picture.pixels().as_flattened(), png::Compression::Fast)
}

fn encode(
    (width, height): (usize, usize),
    color: ColorType,
    data: &[u8],
    effort: png::Compression,
) -> Result<Vec<u8>, png::EncodingError> {
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, width as u32, height as u32);
    encoder.set_color(color);
    encoder.set_depth(BitDepth::Eight);
    // Rows mostly repeat the row above: with that filter, pictures of outlines pack to a few kilobytes.
    encoder.set_compression(effort);
    encoder.set_filter(png::Filter::Up);
    let mut writer = encoder.write_header()?;
    writer.write_image_data(data)?;
    writer.finish()?;
    Ok(bytes)
}

/// Writes bytes to a file.
///
/// # Errors
/// [`PngError`] with the file and the reason.
pub fn write(path: &Path, bytes: Result<Vec<u8>, png::EncodingError>) -> Result<(), PngError> {
    let failed = |why: String| PngError { path: path.to_path_buf(), why };
    let bytes = bytes.map_err(|e| failed(e.to_string()))?;
    std::fs::write(path, bytes).map_err(|e| failed(e.to_string()))
}

/// The colour without its alpha folded in, as PNG wants it (ISO/IEC 15948, 12.3 "unassociated alpha").
fn straight(p: Rgba) -> [u8; 4] {
    let channel = |c: u8| match p.a {
        0 => 0,
        a => ((u32::from(c) * 255 + u32::from(a) / 2) / u32::from(a)).min(255) as u8,
    };
    [channel(p.r), channel(p.g), channel(p.b), p.a]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn alpha_is_taken_out_of_the_colour() {
        assert_eq!(straight(Rgba { r: 64, g: 128, b: 0, a: 128 }), [128, 255, 0, 128]);
        assert_eq!(straight(Rgba::CLEAR), [0, 0, 0, 0]);
        assert_eq!(straight(Rgba::opaque(1, 2, 3)), [1, 2, 3, 255]);
    }
}
