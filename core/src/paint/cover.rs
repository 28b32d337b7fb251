//! How much each shape covers at one place of a row, and the colour that results.

use super::Rgba;
use super::scene::Shape;

/// Full cover, 16.16.
pub(super) const FULL: i32 = 1 << 16;

/// A shape that covers something.
#[derive(Clone, Copy, Debug)]
pub(super) struct Layer {
    cover: i32,
    shape: u16,
    ink: Rgba,
}

impl Layer {
    /// A layer that is never read: the filling of fresh memory.
    pub(super) const NONE: Self = Self { cover: 0, shape: 0, ink: Rgba::CLEAR };
}

/// The shapes that cover something, topmost last. There are rarely more than a few.
pub(super) struct Cover<'w> {
    shapes: &'w [Shape],
    layers: &'w mut [Layer],
    used: usize,
}

/// More shapes lie over one another than there is room for.
pub(super) struct TooDeep;

impl<'w> Cover<'w> {
    /// Nothing is covered.
    pub(super) fn new(shapes: &'w [Shape], layers: &'w mut [Layer]) -> Self {
        Self { shapes, layers, used: 0 }
    }

    /// Adds signed cover to a shape.
    #[inline]
    pub(super) fn add(&mut self, shape: u16, height: i32) -> Result<(), TooDeep> {
        let mut above = self.used;
        while let Some(layer) = above.checked_sub(1).and_then(|i| self.layers.get_mut(i)) {
            if layer.shape < shape {
                break;
            }
            above -= 1;
            if layer.shape == shape {
                layer.cover = layer.cover.wrapping_add(height);
                if layer.cover == 0 {
                    self.remove(above);
                }
                return Ok(());
            }
        }
        self.insert(above, shape, height)
    }

    fn insert(&mut self, at: usize, shape: u16, cover: i32) -> Result<(), TooDeep> {
        if cover == 0 {
            return Ok(());
        }
        if self.used >= self.layers.len() {
            return Err(TooDeep);
        }
        for i in (at..self.used).rev() {
            if let Some(&[layer, _]) = self.layers.get(i..i + 2) {
                self.put(i + 1, layer);
            }
        }
        let ink = self.shapes.get(usize::from(shape)).map_or(Rgba::CLEAR, |s| s.ink);
        self.put(at, Layer { cover, shape, ink });
        self.used += 1;
        Ok(())
    }

    /// Closes the gap that layer `at` leaves. Plain loops: there are a handful of layers at most.
    #[inline]
    fn remove(&mut self, at: usize) {
        self.used -= 1;
        for i in at..self.used {
            if let Some(&layer) = self.layers.get(i + 1) {
                self.put(i, layer);
            }
        }
    }

    #[inline]
    fn put(&mut self, at: usize, layer: Layer) {
        if let Some(slot) = self.layers.get_mut(at) {
            *slot = layer;
        }
    }

    /// Most shapes that may cover one place.
    pub(super) fn capacity(&self) -> usize {
        self.layers.len()
    }

    /// Forgets all cover.
    pub(super) fn reset(&mut self) {
        self.used = 0;
    }

    /// The colour of a pixel with the present cover, top shape first.
    #[inline]
    pub(super) fn color(&self) -> Rgba {
        let layers = self.layers.get(..self.used).unwrap_or(&[]);
        match layers.last() {
            None => Rgba::CLEAR,
            Some(top) if top.cover >= FULL && top.ink.a == 255 => top.ink,
            Some(_) => mix(layers),
        }
    }
}

/// Sums the inks front to back, weighted by what is still to be seen, in 16.16.
///
/// Weights add up to at most one and levels to at most 255, so nothing here can overflow 32 bits.
fn mix(layers: &[Layer]) -> Rgba {
    let mut sum = [0_u32; 4];
    let mut rest = FULL as u32;
    for layer in layers.iter().rev() {
        let cover = layer.cover.clamp(0, FULL) as u32;
        // rest and cover are at most 65536, so half of one keeps the product inside 32 bits.
        let weight = (rest >> 1).wrapping_mul(cover) >> 15;
        let ink = [layer.ink.r, layer.ink.g, layer.ink.b, layer.ink.a];
        for (channel, level) in sum.iter_mut().zip(ink) {
            *channel = channel.wrapping_add(weight.wrapping_mul(level.into()));
        }
        if layer.ink.a == 255 {
            rest = rest.wrapping_sub(weight);
            if rest == 0 {
                break;
            }
        } else {
            rest -= (weight * u32::from(layer.ink.a) + 127) / 255;
        }
    }
    let [r, g, b, a] = sum.map(|channel| (channel.wrapping_add(1 << 15) >> 16) as u8);
    Rgba { r, g, b, a }
}
