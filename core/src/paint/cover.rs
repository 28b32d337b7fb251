//! How much each shape covers at one place of a row, and the colour that results.

use super::Rgba;
use super::scene::Shape;
use crate::limits;

/// Full cover, 16.16.
pub(super) const FULL: i32 = 1 << 16;
const WORDS: usize = limits::SCENE_SHAPES / 32;

/// The cover of every shape, with a two-level set of those that are not zero.
pub(super) struct Cover<'w> {
    shapes: &'w [Shape],
    cover: &'w mut [i32],
    words: [u32; WORDS],
    summary: u32,
}

impl<'w> Cover<'w> {
    /// Nothing is covered.
    pub(super) fn new(shapes: &'w [Shape], cover: &'w mut [i32]) -> Self {
        cover.fill(0);
        Self { shapes, cover, words: [0; WORDS], summary: 0 }
    }

    /// Adds signed cover to a shape.
    pub(super) fn add(&mut self, shape: u16, height: i32) {
        let Some(cover) = self.cover.get_mut(usize::from(shape)) else { return };
        *cover += height;
        let (w, bit) = (usize::from(shape >> 5), 1 << (shape & 31));
        let Some(word) = self.words.get_mut(w) else { return };
        if *cover == 0 {
            *word &= !bit;
            if *word == 0 {
                self.summary &= !(1 << w);
            }
        } else {
            *word |= bit;
            self.summary |= 1 << w;
        }
    }

    /// True when no shape covers anything.
    pub(super) fn is_clear(&self) -> bool {
        self.summary == 0
    }

    /// Forgets all cover.
    pub(super) fn reset(&mut self) {
        while self.summary != 0 {
            let w = self.summary.trailing_zeros() as usize;
            let Some(word) = self.words.get_mut(w) else { return };
            while *word != 0 {
                let bit = word.trailing_zeros();
                *word &= *word - 1;
                if let Some(cover) = self.cover.get_mut(w * 32 + bit as usize) {
                    *cover = 0;
                }
            }
            self.summary &= self.summary - 1;
        }
    }

    /// The colour of a pixel with the present cover, top shape first.
    pub(super) fn color(&self) -> Rgba {
        let mut mix = Mix { r: 0, g: 0, b: 0, a: 0, rest: FULL as u32 };
        let mut summary = self.summary;
        while summary != 0 {
            let w = 31 - summary.leading_zeros();
            summary &= !(1 << w);
            let mut word = self.words.get(w as usize).copied().unwrap_or(0);
            while word != 0 {
                let bit = 31 - word.leading_zeros();
                word &= !(1 << bit);
                let i = (w * 32 + bit) as usize;
                let cover = self.cover.get(i).map_or(0, |&c| c.clamp(0, FULL)) as u32;
                let ink = self.shapes.get(i).map_or(Rgba::CLEAR, |s| s.ink);
                if cover == FULL as u32 && mix.rest == FULL as u32 && ink.a == 255 {
                    return ink;
                }
                mix.add(ink, cover);
                if mix.rest == 0 {
                    return mix.color();
                }
            }
        }
        mix.color()
    }
}

/// A sum of inks, front to back, in 16.16.
struct Mix {
    r: u32,
    g: u32,
    b: u32,
    a: u32,
    /// What is still to be seen behind.
    rest: u32,
}

impl Mix {
    fn add(&mut self, ink: Rgba, cover: u32) {
        // rest and cover are at most 65536, so half of one keeps the product inside 32 bits.
        let weight = ((self.rest >> 1) * cover) >> 15;
        self.r += weight * u32::from(ink.r);
        self.g += weight * u32::from(ink.g);
        self.b += weight * u32::from(ink.b);
        self.a += weight * u32::from(ink.a);
        let hidden = if ink.a == 255 { weight } else { (weight * u32::from(ink.a) + 127) / 255 };
        self.rest -= hidden;
    }

    fn color(&self) -> Rgba {
        let round = |sum: u32| ((sum + (1 << 15)) >> 16).min(255) as u8;
        Rgba { r: round(self.r), g: round(self.g), b: round(self.b), a: round(self.a) }
    }
}
