//! The strip below a camera's picture: what it is, what was measured, what the patterns mean.

use embedded_graphics::mono_font::iso_8859_1::{FONT_8X13, FONT_9X15, FONT_9X15_BOLD, FONT_10X20};
use embedded_graphics::text::Alignment;
use underfoot_core::show::Who;

use super::palette::PROP;
use super::pattern::Flaw;
use crate::render::Picture;
use crate::render::words::{INK, PLATE, QUIET, fill, sign, text, width};

/// Behind captions.
pub(crate) const PAPER: [u8; 3] = [36, 38, 42];
/// Room at each side, pixels.
const MARGIN: i32 = 14;
/// Height of a line of small words, pixels.
const LINE: i32 = 19;
/// Most people in one caption; the rest are counted.
const MOST: usize = 8;

/// What was measured of one person.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PersonLine {
    /// Colour and shape.
    pub who: Who,
    /// The figures in words.
    pub words: String,
    /// Something is wrong.
    pub flawed: bool,
}

/// What stands below a camera's picture.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Caption {
    /// Show, show code, cue.
    pub head: String,
    /// Shot, camera, focal length.
    pub shot: String,
    /// When it is, and what counts.
    pub notes: String,
    /// People, the worst first.
    pub people: Vec<PersonLine>,
    /// Patterns that the picture may show.
    pub patterns: Vec<Flaw>,
}

impl Caption {
    /// The picture with the caption below it.
    pub fn below(&self, picture: &Picture) -> Picture {
        let people = self.people.len().min(MOST) + usize::from(self.people.len() > MOST);
        let strip = 62 + LINE * people.max(1) as i32 + 24;
        let mut whole = Picture::new(picture.width(), picture.height() + strip as usize, PAPER);
        whole.lay(picture, 0, 0);
        let (top, right) = (picture.height() as i32 + 8, picture.width() as i32 - MARGIN);
        text(&mut whole, &self.head, (MARGIN, top), (&FONT_10X20, INK), Alignment::Left);
        text(&mut whole, &self.shot, (right, top), (&FONT_10X20, INK), Alignment::Right);
        text(&mut whole, &self.notes, (MARGIN, top + 26), (&FONT_9X15, QUIET), Alignment::Left);
        self.people(&mut whole, top + 50);
        self.legend(&mut whole, top + 52 + LINE * people.max(1) as i32);
        whole
    }

    fn people(&self, whole: &mut Picture, top: i32) {
        if self.people.is_empty() {
            text(whole, "nobody of this cue is in the picture", (MARGIN, top), (&FONT_9X15, QUIET), Alignment::Left);
        }
        for (i, line) in self.people.iter().take(MOST).enumerate() {
            let y = top + LINE * i as i32;
            flag(whole, (MARGIN, y), line.flawed);
            sign(whole, line.who, (MARGIN + 32, y + 7), 11);
            let font = if line.flawed { &FONT_9X15_BOLD } else { &FONT_9X15 };
            text(whole, &line.words, (MARGIN + 46, y), (font, INK), Alignment::Left);
        }
        if let Some(more) = self.people.len().checked_sub(MOST).filter(|&n| n > 0) {
            let words = format!("and {more} more with less to say");
            text(whole, &words, (MARGIN + 46, top + LINE * MOST as i32), (&FONT_9X15, QUIET), Alignment::Left);
        }
    }

    /// A swatch of each pattern with its words.
    fn legend(&self, whole: &mut Picture, top: i32) {
        let mut x = MARGIN;
        for flaw in &self.patterns {
            swatch(whole, *flaw, (x, top));
            text(whole, flaw.words(), (x + 44, top + 2), (&FONT_8X13, QUIET), Alignment::Left);
            x += 44 + width(flaw.words(), &FONT_8X13) + 26;
        }
        let words = "A staging aid: a picture of the plan, not of the stage.";
        let right = whole.width() as i32 - MARGIN;
        text(whole, words, (right, top + 2), (&FONT_8X13, QUIET), Alignment::Right);
    }
}

/// A box with an exclamation mark before what is wrong; nothing before the rest.
pub(crate) fn flag(picture: &mut Picture, (x, y): (i32, i32), flawed: bool) {
    if flawed {
        fill(picture, (x, y), (17, 15), INK);
        text(picture, "!", (x + 4, y), (&FONT_9X15_BOLD, PLATE), Alignment::Left);
    }
}

fn swatch(picture: &mut Picture, flaw: Flaw, (x, y): (i32, i32)) {
    for dy in 0..16 {
        for dx in 0..36 {
            let color = flaw.over(PROP.map(|c| c * 0.6), (f64::from(dx) + 0.5, f64::from(dy) + 0.5), 9.0);
            if let Some(pixel) = picture.at_mut((x + dx) as usize, (y + dy) as usize) {
                *pixel = color.map(|c| c as u8);
            }
        }
    }
}
