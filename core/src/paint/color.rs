//! Colours with coverage folded in.

/// A premultiplied 8-bit colour: each channel already scaled by alpha, so no channel exceeds it.
///
/// Levels are drive values of the LED chain, not light: nothing here decodes a gamma. Four bytes in the
/// order red, green, blue, alpha, aligned so that a pixel is moved in one go.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
#[repr(C, align(4))]
pub struct Rgba {
    /// Red, at most `a`.
    pub r: u8,
    /// Green, at most `a`.
    pub g: u8,
    /// Blue, at most `a`.
    pub b: u8,
    /// Coverage: 0 leaves the content alone, 255 replaces it.
    pub a: u8,
}

impl Rgba {
    /// Nothing: the content below stays as it is.
    pub const CLEAR: Self = Self { r: 0, g: 0, b: 0, a: 0 };

    /// An opaque colour.
    pub const fn opaque(r: u8, g: u8, b: u8) -> Self {
        Self { r, g, b, a: 255 }
    }

    /// The colour scaled to `level` of 255 in all channels but alpha: dimmer light, same cover.
    pub const fn dimmed(self, level: u8) -> Self {
        Self { r: scale(self.r, level), g: scale(self.g, level), b: scale(self.b, level), a: self.a }
    }

    /// The colour with all channels scaled to `level` of 255: thinner cover.
    pub const fn thinned(self, level: u8) -> Self {
        Self { r: scale(self.r, level), g: scale(self.g, level), b: scale(self.b, level), a: scale(self.a, level) }
    }
}

/// `value * level / 255`, rounded to nearest.
pub const fn scale(value: u8, level: u8) -> u8 {
    let product = value as u32 * level as u32 + 128;
    ((product + (product >> 8)) >> 8) as u8
}
