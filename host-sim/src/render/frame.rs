//! What people need round a floor picture: directions, a ruler, and captions. None of it is on the floor.

use embedded_graphics::Drawable;
use embedded_graphics::geometry::{Point, Size};
use embedded_graphics::mono_font::ascii::{FONT_9X15_BOLD, FONT_10X20};
use embedded_graphics::mono_font::{MonoFont, MonoTextStyle, iso_8859_1};
use embedded_graphics::primitives::{Primitive, PrimitiveStyle, Rectangle};
use embedded_graphics::text::{Alignment, Baseline, Text, TextStyleBuilder};
use underfoot_core::geom::{StagePoint, StageVector};
use underfoot_core::show::{Show, Who};

use super::stage::{self, Extent};
use super::words::{self, INK, Plates};
use super::{CanvasPixels, Picture};

const PAPER: [u8; 3] = [36, 38, 42];
/// Side and top margins in pixels: room for the directions.
const MARGIN: usize = 36;
/// Height of the strip of captions in pixels.
const STRIP: usize = 58;
/// Height of one of the further lines in pixels.
const LINE: usize = 19;
/// Room for a sign before their words, pixels.
const INDENT: usize = 22;

/// Captions of a floor picture.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Captions {
    /// First line, on the left: show and code.
    pub head: String,
    /// Second line, on the left: cue.
    pub cue: String,
    /// Further lines, the whole width.
    pub lines: Vec<Line>,
    /// Words beside places on the floor, where there is room.
    pub labels: Vec<Label>,
}

/// Words beside a place on the floor.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Label {
    /// The place.
    pub at: StagePoint,
    /// Which way the words lie from there, a unit vector; zero for words about the place itself.
    pub way: StageVector,
    /// In larger letters.
    pub large: bool,
    /// The words and whom they are about.
    pub line: Line,
}

/// One line below a floor picture.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Line {
    /// Whom it is about.
    pub who: Option<Who>,
    /// Its words; they are broken where the picture is too narrow.
    pub words: String,
}

impl Line {
    /// A line about nobody.
    pub fn plain(words: impl Into<String>) -> Self {
        Self { who: None, words: words.into() }
    }
}

/// Longest side of the floor in a picture that people open on a monitor, pixels.
pub const MONITOR_PX: u16 = 1200;

/// The whole floor with its frame: directions outside the floor, a 1 m ruler and captions below. The floor's
/// longer side takes `long_side_px` pixels.
pub fn floor_picture(show: &Show, canvases: &[CanvasPixels], captions: &Captions, long_side_px: u16) -> Picture {
    let extent = Extent::of(show, 0.1, long_side_px);
    let floor = stage::assemble(show, canvases, &extent);
    let width = floor.width() + 2 * MARGIN;
    let lines = broken(&captions.lines, width);
    let below = if lines.is_empty() { 0 } else { LINE * lines.len() + MARGIN / 2 };
    let height = floor.height() + 2 * MARGIN + STRIP + below;
    let mut picture = Picture::new(width, height, PAPER);
    picture.lay(&floor, MARGIN, MARGIN);
    directions(&mut picture, &floor);
    let top = floor.height() + 2 * MARGIN;
    text(&mut picture, &captions.head, (MARGIN, top), &FONT_10X20, Alignment::Left);
    text(&mut picture, &captions.cue, (MARGIN, top + 26), &FONT_10X20, Alignment::Left);
    ruler(&mut picture, extent.per_m, top);
    for (i, (who, words)) in lines.iter().enumerate() {
        let y = (top + STRIP + LINE * i) as i32;
        who.iter().for_each(|who| words::sign(&mut picture, *who, (MARGIN as i32 + 8, y + 8), 11));
        let at = (MARGIN as i32 + INDENT as i32, y);
        words::text(&mut picture, words, at, (&iso_8859_1::FONT_9X15, INK), Alignment::Left);
    }
    labels(&mut picture, &captions.labels, &extent);
    picture
}

/// Lines broken at spaces to fit a picture's width; only the first piece of each has its sign.
fn broken(lines: &[Line], width: usize) -> Vec<(Option<Who>, String)> {
    let most = (width - 2 * MARGIN - INDENT) / 9;
    let mut all = Vec::new();
    for line in lines {
        let mut piece = String::new();
        let mut who = line.who;
        for word in line.words.split(' ') {
            if !piece.is_empty() && piece.chars().count() + 1 + word.chars().count() > most {
                all.push((who.take(), std::mem::replace(&mut piece, "  ".into())));
            } else if !piece.is_empty() {
                piece.push(' ');
            }
            piece.push_str(word);
        }
        all.push((who, piece));
    }
    all
}

/// Words beside places on the floor; those that would cover others are left out.
fn labels(picture: &mut Picture, labels: &[Label], extent: &Extent) {
    let mut plates = Plates::default();
    for Label { at, way, large, line } in labels {
        let font = if *large { &iso_8859_1::FONT_9X15_BOLD } else { &iso_8859_1::FONT_7X13 };
        let high = font.character_size.height as f32;
        let half_wide = (words::width(&line.words, font) as f32 + high + 8.0) / 2.0;
        let (x, y) = extent.to_picture(*at);
        // Upstage is up: the plate's nearest side or corner is at the place.
        let (x, y) = (x + way.x * half_wide, y - way.y * (high / 2.0 + 1.0));
        let top = y as i32 + MARGIN as i32 - high as i32 / 2 - 1;
        plates.add(picture, &line.words, (x as i32 + MARGIN as i32, top), (font, INK), line.who);
    }
}

fn directions(picture: &mut Picture, floor: &Picture) {
    let (middle_x, middle_y) = (MARGIN + floor.width() / 2, MARGIN + floor.height() / 2);
    let half = 10;
    text(picture, "US", (middle_x, MARGIN / 2 - half), &FONT_10X20, Alignment::Center);
    text(picture, "DS", (middle_x, MARGIN + floor.height() + MARGIN / 2 - half), &FONT_10X20, Alignment::Center);
    text(picture, "SR", (MARGIN / 2, middle_y - half), &FONT_10X20, Alignment::Center);
    text(picture, "SL", (MARGIN + floor.width() + MARGIN / 2, middle_y - half), &FONT_10X20, Alignment::Center);
}

/// A bar of 1 m at the right end of the strip.
fn ruler(picture: &mut Picture, per_m: f32, top: usize) {
    let length = per_m.round() as u32;
    let right = picture.width() - MARGIN;
    let left = right.saturating_sub(length as usize);
    let bar = Rectangle::new(Point::new(left as i32, top as i32 + 8), Size::new(length, 6));
    let ends = [left as i32, right as i32 - 2];
    let _ = bar.into_styled(PrimitiveStyle::with_fill(INK)).draw(picture);
    for x in ends {
        let end = Rectangle::new(Point::new(x, top as i32 + 3), Size::new(2, 16));
        let _ = end.into_styled(PrimitiveStyle::with_fill(INK)).draw(picture);
    }
    text(picture, "1 m", (right, top + 26), &FONT_9X15_BOLD, Alignment::Right);
}

fn text(picture: &mut Picture, words: &str, (x, y): (usize, usize), font: &MonoFont<'_>, alignment: Alignment) {
    let style = TextStyleBuilder::new().alignment(alignment).baseline(Baseline::Top).build();
    // The fonts are ASCII: other characters would print as question marks.
    let words: String = words.chars().map(|c| if c == '·' { '-' } else { c }).collect();
    let at = Point::new(x as i32, y as i32);
    let _ = Text::with_text_style(&words, at, MonoTextStyle::new(font, INK), style).draw(picture);
}
