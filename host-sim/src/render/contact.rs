//! A contact sheet: one row for each cue, one small picture for each of its shots, and what is wrong there.

use embedded_graphics::mono_font::iso_8859_1::{FONT_6X10, FONT_7X13, FONT_7X13_BOLD, FONT_9X15_BOLD, FONT_10X20};
use embedded_graphics::text::Alignment;

use super::Picture;
use super::shot::PersonLine;
use super::words::{INK, PLATE, QUIET, fill, sign, text, width};

/// Width of a small picture, pixels.
pub const CELL_PX: usize = 384;
/// Behind everything.
const PAPER: [u8; 3] = [36, 38, 42];
/// Room between pictures and round them.
const GAP: usize = 14;
/// Height of the sheet's head.
const HEAD: usize = 72;
/// Height of a cue's name above its row.
const CUE: usize = 24;
/// Height of a line below a picture.
const LINE: usize = 15;
/// Most lines below one picture; the rest are counted.
const MOST: usize = 5;
/// Most pictures side by side.
const COLUMNS: usize = 4;

/// One small picture.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cell {
    /// Shot, camera, focal length.
    pub name: String,
    /// The picture, [`CELL_PX`] wide.
    pub picture: Picture,
    /// People, the worst first.
    pub people: Vec<PersonLine>,
}

/// One cue.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// Number and name.
    pub name: String,
    /// What else is to be said of the cue.
    pub note: String,
    /// Its shots; none is an answer, too.
    pub cells: Vec<Cell>,
}

/// The whole sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Contact {
    /// Show and show code.
    pub head: String,
    /// What the sheet is and is not.
    pub notes: Vec<String>,
    /// Cues in running order.
    pub rows: Vec<Row>,
}

impl Contact {
    /// The sheet as one picture.
    pub fn picture(&self) -> Picture {
        let columns = self.rows.iter().map(|r| r.cells.len()).max().unwrap_or(0).clamp(2, COLUMNS);
        let wide = GAP + columns * (CELL_PX + GAP);
        let heights: Vec<usize> = self.rows.iter().map(Row::height).collect();
        let mut sheet = Picture::new(wide, HEAD + heights.iter().sum::<usize>() + GAP, PAPER);
        text(&mut sheet, &self.head, (GAP as i32, 10), (&FONT_10X20, INK), Alignment::Left);
        for (i, note) in self.notes.iter().enumerate() {
            text(&mut sheet, note, (GAP as i32, 34 + LINE as i32 * i as i32), (&FONT_7X13, QUIET), Alignment::Left);
        }
        let mut top = HEAD;
        for (row, height) in self.rows.iter().zip(heights) {
            row.draw(&mut sheet, top);
            top += height;
        }
        sheet
    }
}

impl Row {
    fn height(&self) -> usize {
        CUE + self.cells.chunks(COLUMNS).map(strip).sum::<usize>()
    }

    fn draw(&self, sheet: &mut Picture, top: usize) {
        let whole = sheet.width() as i32;
        fill(sheet, (GAP as i32, top as i32), (whole - 2 * GAP as i32, 1), QUIET);
        text(sheet, &self.name, (GAP as i32, top as i32 + 5), (&FONT_9X15_BOLD, INK), Alignment::Left);
        let after = GAP as i32 + width(&self.name, &FONT_9X15_BOLD) + 16;
        text(sheet, &self.note, (after, top as i32 + 7), (&FONT_7X13, QUIET), Alignment::Left);
        let mut y = top + CUE;
        for cells in self.cells.chunks(COLUMNS) {
            for (i, cell) in cells.iter().enumerate() {
                cell.draw(sheet, (GAP + i * (CELL_PX + GAP), y));
            }
            y += strip(cells);
        }
    }
}

/// Height of some pictures side by side.
fn strip(cells: &[Cell]) -> usize {
    cells.iter().map(|cell| cell.height() + GAP).max().unwrap_or(0)
}

impl Cell {
    fn lines(&self) -> usize {
        1 + self.people.len().min(MOST + 1)
    }

    fn height(&self) -> usize {
        self.picture.height() + 4 + self.lines() * LINE
    }

    fn draw(&self, sheet: &mut Picture, (left, top): (usize, usize)) {
        sheet.lay(&self.picture, left, top);
        let flawed = self.people.iter().filter(|p| p.flawed).count();
        let (x, mut y) = (left as i32, (top + self.picture.height() + 4) as i32);
        text(sheet, &self.name, (x, y), (&FONT_7X13_BOLD, INK), Alignment::Left);
        let verdict = if flawed > 0 { format!("{flawed} to look at") } else { "no fault measured".into() };
        let right = x + self.picture.width() as i32;
        text(sheet, &verdict, (right, y), (&FONT_7X13, if flawed > 0 { INK } else { QUIET }), Alignment::Right);
        if flawed > 0 {
            border(sheet, (left, top), (self.picture.width(), self.picture.height()));
        }
        for line in self.people.iter().take(MOST) {
            y += LINE as i32;
            person(sheet, line, (x, y));
        }
        if self.people.len() > MOST {
            let words = format!("and {} more", self.people.len() - MOST);
            text(sheet, &words, (x + 32, y + LINE as i32), (&FONT_6X10, QUIET), Alignment::Left);
        }
    }
}

fn person(sheet: &mut Picture, line: &PersonLine, (x, y): (i32, i32)) {
    if line.flawed {
        fill(sheet, (x, y), (12, 13), INK);
        text(sheet, "!", (x + 3, y), (&FONT_7X13_BOLD, PLATE), Alignment::Left);
    }
    sign(sheet, line.who, (x + 22, y + 6), 9);
    let most = (CELL_PX as i32 - 32) / 7;
    let words: String = line.words.chars().take(most as usize).collect();
    let ink = if line.flawed { INK } else { QUIET };
    text(sheet, &words, (x + 32, y), (&FONT_7X13, ink), Alignment::Left);
}

/// A light frame round a picture in which something is wrong.
fn border(sheet: &mut Picture, (left, top): (usize, usize), (wide, high): (usize, usize)) {
    let (x, y, w, h) = (left as i32, top as i32, wide as i32, high as i32);
    for (at, size) in [((x, y), (w, 3)), ((x, y + h - 3), (w, 3)), ((x, y), (3, h)), ((x + w - 3, y), (3, h))] {
        fill(sheet, at, size, INK);
    }
}
