//! How much each shape covers at one place of a row, and the colour that results.

use super::Rgba;
use super::scene::Shape;
use crate::limits;

/// Full cover, 16.16.
const FULL: i32 = 1 << 16;
const WORDS: usize = limits::SCENE_SHAPES / 32;

/// The cover of every shape, with a two-level bit set of all that cover something (and some that just ceased to).
pub(super) struct Cover<'w> {
    shapes: &'w [Shape],
    /// 16.16; zero for every shape without a bit.
    cover: &'w mut [i32],
    words: [u32; WORDS],
    /// One bit for each word that is not zero.
    summary: u32,
}

impl<'w> Cover<'w> {
    /// Nothing is covered. `cover` has room for every shape of the scene.
    pub(super) fn new(shapes: &'w [Shape], cover: &'w mut [i32]) -> Self {
        cover.fill(0);
        Self { shapes, cover, words: [0; WORDS], summary: 0 }
    }

    /// Adds signed cover to a shape.
    #[inline]
    pub(super) fn add(&mut self, shape: u16, change: i32) {
        let w = usize::from(shape >> 5);
        let (Some(cover), Some(word)) = (self.cover.get_mut(usize::from(shape)), self.words.get_mut(w)) else { return };
        *cover = cover.wrapping_add(change);
        *word |= 1 << (shape & 31);
        self.summary |= 1 << w;
    }

    /// Forgets all cover: what reaches over the right border of a row.
    pub(super) fn reset(&mut self) {
        while let Some(i) = self.top() {
            if let Some(cover) = self.cover.get_mut(i) {
                *cover = 0;
            }
        }
    }

    /// The colour of a pixel with the present cover, top shape first.
    #[inline]
    pub(super) fn color(&mut self) -> Rgba {
        let Some(i) = self.top() else { return Rgba::CLEAR };
        let (cover, ink) = self.layer(i);
        if cover >= FULL && ink.a == 255 { ink } else { self.edge_color(i, cover, ink) }
    }

    /// The topmost shape that covers something; takes the bits of those above that no longer do.
    #[inline]
    fn top(&mut self) -> Option<usize> {
        loop {
            let w = 31_u32.checked_sub(self.summary.leading_zeros())?;
            let word = self.words.get_mut(w as usize)?;
            let Some(bit) = 31_u32.checked_sub(word.leading_zeros()) else {
                self.summary &= !(1 << w);
                continue;
            };
            let i = (w << 5 | bit) as usize;
            if self.cover.get(i).is_some_and(|&cover| cover != 0) {
                return Some(i);
            }
            *word &= !(1 << bit);
        }
    }

    /// The colour where the top shape covers in part: nearly always over one full opaque shape or over nothing.
    fn edge_color(&self, i: usize, cover: i32, ink: Rgba) -> Rgba {
        if ink.a < 255 {
            return self.mix();
        }
        let mut w = i >> 5;
        let mut word = self.words.get(w).map_or(0, |word| word & !(1 << (i & 31)));
        let mut summary = self.summary & !(1 << w);
        loop {
            while word == 0 {
                let Some(next) = 31_u32.checked_sub(summary.leading_zeros()) else {
                    return blend(ink, Rgba::CLEAR, cover);
                };
                w = next as usize;
                summary &= !(1 << next);
                word = self.words.get(w).copied().unwrap_or(0);
            }
            let bit = 31_u32.saturating_sub(word.leading_zeros());
            match self.layer(w << 5 | bit as usize) {
                (0, _) => word &= !(1 << bit),
                (FULL.., under) if under.a == 255 => return blend(ink, under, cover),
                _ => return self.mix(),
            }
        }
    }

    #[inline]
    fn layer(&self, i: usize) -> (i32, Rgba) {
        match (self.cover.get(i), self.shapes.get(i)) {
            (Some(&cover), Some(shape)) => (cover, shape.ink),
            _ => (0, Rgba::CLEAR),
        }
    }

    /// Sums all inks front to back, weighted by what is still to be seen, in 16.16.
    ///
    /// Weights add up to at most one and levels to at most 255, so nothing here can overflow 32 bits.
    fn mix(&self) -> Rgba {
        let (mut r, mut g, mut b, mut a) = (1_u32 << 15, 1_u32 << 15, 1_u32 << 15, 1_u32 << 15);
        let mut rest = FULL as u32;
        let mut summary = self.summary;
        'all: while summary != 0 {
            let w = 31 - summary.leading_zeros();
            summary &= !(1 << w);
            let mut word = self.words.get(w as usize).copied().unwrap_or(0);
            while word != 0 {
                let bit = 31 - word.leading_zeros();
                word &= !(1 << bit);
                let (cover, ink) = self.layer((w << 5 | bit) as usize);
                // rest and cover are at most 65536, so half of one keeps the product inside 32 bits.
                let weight = (rest >> 1).wrapping_mul(cover.clamp(0, FULL) as u32) >> 15;
                r = r.wrapping_add(weight.wrapping_mul(ink.r.into()));
                g = g.wrapping_add(weight.wrapping_mul(ink.g.into()));
                b = b.wrapping_add(weight.wrapping_mul(ink.b.into()));
                a = a.wrapping_add(weight.wrapping_mul(ink.a.into()));
                let hidden = if ink.a == 255 { weight } else { weight.wrapping_mul(ink.a.into()) / 255 };
                rest = rest.wrapping_sub(hidden);
                if rest == 0 {
                    break 'all;
                }
            }
        }
        Rgba { r: (r >> 16) as u8, g: (g >> 16) as u8, b: (b >> 16) as u8, a: (a >> 16) as u8 }
    }
}

/// `ink` over `under` with `cover` (16.16): one weighted mean for each channel.
#[inline]
fn blend(ink: Rgba, under: Rgba, cover: i32) -> Rgba {
    let cover = cover.clamp(0, FULL) as u32;
    let rest = FULL as u32 - cover;
    let mean = |upper: u8, lower: u8| {
        let sum = cover.wrapping_mul(upper.into()).wrapping_add(rest.wrapping_mul(lower.into()));
        (sum.wrapping_add(1 << 15) >> 16) as u8
    };
    Rgba { r: mean(ink.r, under.r), g: mean(ink.g, under.g), b: mean(ink.b, under.b), a: mean(ink.a, under.a) }
}
