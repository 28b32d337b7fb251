//! What is drawn over a camera's picture: safe frame, crop, lower lines, names.

use embedded_graphics::mono_font::MonoFont;
use embedded_graphics::mono_font::iso_8859_1::{FONT_6X10, FONT_9X15_BOLD};
use underfoot_core::cameras::{Rect, View};
use underfoot_core::show::cameras::{Crop, LowerLine};

use super::eye::Eye;
use super::people::{Actor, Upright};
use super::raster::Raster;
use crate::render::Picture;
use crate::render::words::{INK, Plates, QUIET, color_of, line};

/// Brightness left outside a crop.
const OUTSIDE: u16 = 40;
/// Straight pieces along one side of a frame: enough for any lens.
const PIECES: usize = 24;
/// A prop is named when this many pixels of it are seen, as a share of the picture's width.
const NAMED: f64 = 0.25;

/// The crew's word for a lower line.
pub const fn word(lower: LowerLine) -> &'static str {
    match lower {
        LowerLine::Feet => "feet",
        LowerLine::Knee => "knee",
        LowerLine::Waist => "waist",
        LowerLine::Chest => "chest",
    }
}

/// Darkens what a crop cuts away.
pub(super) fn crop(picture: &mut Picture, crop: Crop) {
    let (width, height) = (picture.width(), picture.height());
    let kept = |x: usize, y: usize| match crop {
        Crop::Full => true,
        Crop::Column => ((2 * x + 1) as i64 - width as i64).unsigned_abs() * 16 <= 9 * height as u64,
        Crop::LowerThird => 3 * y < 2 * height,
    };
    for y in 0..height {
        for x in (0..width).filter(|&x| !kept(x, y)) {
            if let Some(pixel) = picture.at_mut(x, y) {
                *pixel = pixel.map(|c| (u16::from(c) * OUTSIDE / 100) as u8);
            }
        }
    }
}

/// The safe frame: a thin line with strong corners, bent as the lens bends it.
pub(super) fn safe(picture: &mut Picture, eye: &Eye, safe: &Rect) {
    let [l, r, b, t] = [safe.left, safe.right, safe.bottom, safe.top].map(f64::from);
    let corners = [(l, t), (r, t), (r, b), (l, b)];
    for (from, to) in corners.iter().zip(corners.iter().cycle().skip(1)) {
        let at = |i: usize| {
            let share = i as f64 / PIECES as f64;
            eye.place((from.0 + (to.0 - from.0) * share, from.1 + (to.1 - from.1) * share))
        };
        for i in 0..PIECES {
            let strong = i < 2 || i + 2 >= PIECES;
            if strong || i % 2 == 0 {
                line(picture, at(i), at(i + 1), if strong { INK } else { QUIET }, if strong { 2 } else { 1 });
            }
        }
    }
}

/// Names and lower lines, which keep off each other.
pub(super) struct Guides<'g> {
    pub(super) eye: &'g Eye,
    pub(super) view: &'g View,
    /// The picture has room for words beside names.
    pub(super) large: bool,
    plates: Plates,
}

impl<'g> Guides<'g> {
    pub(super) fn new(eye: &'g Eye, view: &'g View, large: bool) -> Self {
        Self { eye, view, large, plates: Plates::default() }
    }

    /// Ticks at a person's lower line, and who it is.
    pub(super) fn person(&mut self, picture: &mut Picture, (actor, upright): (&Actor, &Upright)) {
        name(picture, (self.eye, &mut self.plates), (actor, upright), self.large);
        self.lower(picture, (actor, upright));
    }

    fn lower(&mut self, picture: &mut Picture, (actor, upright): (&Actor, &Upright)) {
        let ink = color_of(actor.who);
        let lower = f64::from(actor.body.base_m + actor.body.lower_line_m(self.view.lower_line));
        let r = f64::from(actor.body.radius_m);
        for side in [-1.0, 1.0] {
            let ends = [0.75, 1.5].map(|k| self.eye.project(upright.point(side * r * k, lower)));
            if let [Some(from), Some(to)] = ends {
                line(picture, from, to, ink, if self.large { 2 } else { 1 });
            }
        }
        if let Some((x, y)) = self.eye.project(upright.point(r * 1.6, lower)).filter(|_| self.large) {
            let at = (x as i32 + 20, y as i32 - 6);
            self.plates.add(picture, word(self.view.lower_line), at, (&FONT_6X10, ink), None);
        }
    }

    /// Names every prop in the middle of what is seen of it, the largest first.
    pub(super) fn props(&mut self, raster: &mut Raster, names: &[&str]) {
        let width = raster.picture.width().max(1);
        let mut sums: Vec<_> = names.iter().map(|name| (0_usize, 0_usize, 0_usize, *name)).collect();
        for (i, tag) in raster.tags.iter().enumerate() {
            if let Some(sum) = (tag.prop as usize).checked_sub(1).and_then(|prop| sums.get_mut(prop)) {
                (sum.0, sum.1, sum.2) = (sum.0 + 1, sum.1 + i % width, sum.2 + i / width);
            }
        }
        sums.retain(|s| s.0 as f64 > NAMED * width as f64);
        sums.sort_by_key(|s| std::cmp::Reverse(s.0));
        for (n, x, y, name) in sums {
            let font = self.font();
            let at = ((x / n) as i32, (y / n) as i32 - font.character_size.height as i32 / 2);
            self.plates.add(&mut raster.picture, name, at, (font, INK), None);
        }
    }

    fn font(&self) -> &'static MonoFont<'static> {
        font(self.large)
    }
}

fn font(large: bool) -> &'static MonoFont<'static> {
    if large { &FONT_9X15_BOLD } else { &FONT_6X10 }
}

/// Who it is, above the head.
pub(super) fn name(
    picture: &mut Picture,
    (eye, plates): (&Eye, &mut Plates),
    (actor, upright): (&Actor, &Upright),
    large: bool,
) {
    let top = f64::from(actor.body.top_m());
    let Some((x, y)) = eye.project(upright.point(0.0, top)) else { return };
    if x > -40.0 && x < picture.width() as f64 + 40.0 && y < picture.height() as f64 {
        let font = font(large);
        let at = (x as i32, y as i32 - font.character_size.height as i32 - 5);
        plates.add(picture, &actor.name, at, (font, color_of(actor.who)), Some(actor.who));
    }
}
