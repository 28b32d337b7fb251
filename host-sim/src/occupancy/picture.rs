//! A chart as a picture for people: cells, names, what the patterns mean.

use embedded_graphics::mono_font::iso_8859_1::{FONT_7X13, FONT_8X13, FONT_9X15, FONT_10X20};
use embedded_graphics::text::Alignment;
use underfoot_core::geom::StagePoint;
use underfoot_core::occupancy::CellClass;
use underfoot_core::show::Who;

use super::pattern::color;
use super::words::{class_meaning, class_word};
use super::{Chart, Room};
use crate::render::Picture;
use crate::render::words::{INK, Plates, QUIET, fill, text};

const PAPER: [u8; 3] = [36, 38, 42];
/// Between unlike cells, and contours of free room.
const LINE: [u8; 3] = [8, 8, 10];
const CONTOUR: [u8; 3] = [170, 196, 214];
/// Room round the cells, pixels: directions stand there.
const MARGIN: usize = 36;
/// Longest side of the cells in pixels, as nearly as whole pixels for each cell allow.
const SIDE_PX: usize = 1320;
/// Most pixels of one cell.
const CELL_PX: usize = 8;
/// Least width of a picture: the legend needs it.
const LEAST_PX: usize = 900;
/// Height of a line of the legend, pixels.
const LEGEND: i32 = 22;

/// What stands round the cells.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Captions {
    /// Show, show code, side of a cell.
    pub head: String,
    /// Cue and time.
    pub cue: String,
    /// Names at places of the stage, the most important first, and whom they are about.
    pub labels: Vec<(StagePoint, String, Option<Who>)>,
}

/// The chart with its frame; contours of free room where `room` is given.
pub fn draw(chart: &Chart, room: Option<&Room>, captions: &Captions) -> Picture {
    let grid = chart.grid();
    let scale = (SIDE_PX / grid.columns().max(grid.rows()).max(1)).clamp(1, CELL_PX);
    let (wide, tall) = (grid.columns() * scale, grid.rows() * scale);
    let width = (wide + 2 * MARGIN).max(LEAST_PX);
    let lines = CellClass::ORDER.len().div_ceil(2) as i32 + 1 + i32::from(room.is_some());
    let strip = 62 + (LEGEND * lines) as usize;
    let mut picture = Picture::new(width, tall + 2 * MARGIN + strip, PAPER);
    let left = (width - wide) / 2;
    picture.lay(&cells(chart, room, scale), left, MARGIN);
    directions(&mut picture, (left, wide), tall);
    labels(&mut picture, chart, captions, (left, scale));
    let top = (tall + 2 * MARGIN) as i32;
    let right = width as i32 - MARGIN as i32;
    text(&mut picture, &captions.head, (MARGIN as i32, top), (&FONT_10X20, INK), Alignment::Left);
    text(&mut picture, &captions.cue, (MARGIN as i32, top + 24), (&FONT_10X20, INK), Alignment::Left);
    ruler(&mut picture, (scale as f32 / grid.cell_m()).round() as i32, (right, top));
    legend(&mut picture, chart, room, top + 58);
    picture
}

fn cells(chart: &Chart, room: Option<&Room>, scale: usize) -> Picture {
    let (columns, rows) = (chart.grid().columns(), chart.grid().rows());
    let mut picture = Picture::new(columns * scale, rows * scale, PAPER);
    let index = |x: usize, y: usize| (rows - 1 - y / scale) * columns + x / scale;
    let class = |i: usize| chart.classes().get(i).copied().unwrap_or_default();
    let level = |i: usize| room.map_or(0, |r| (r.metres(i, chart.grid().cell_m()) / step_m(chart)) as usize);
    for y in 0..rows * scale {
        for x in 0..columns * scale {
            let here = index(x, y);
            // Each line is drawn in the cell at its right or below it.
            let before = [
                (x.is_multiple_of(scale) && x > 0).then(|| index(x - 1, y)),
                (y.is_multiple_of(scale) && y > 0).then(|| index(x, y - 1)),
            ];
            let changes = |of: &dyn Fn(usize) -> usize| before.iter().flatten().any(|&i| of(i) != of(here));
            let ink = if changes(&|i| class(i) as usize) {
                LINE
            } else if changes(&level) {
                CONTOUR
            } else {
                color(class(here), (x, y))
            };
            if let Some(pixel) = picture.at_mut(x, y) {
                *pixel = ink;
            }
        }
    }
    picture
}

/// From contour to contour, metres.
fn step_m(chart: &Chart) -> f64 {
    match chart.grid().cell_m() {
        fine if fine < 0.022 => 0.25,
        middling if middling < 0.032 => 0.5,
        _ => 1.0,
    }
}

fn labels(picture: &mut Picture, chart: &Chart, captions: &Captions, (left, scale): (usize, usize)) {
    let grid = chart.grid();
    let Some(low) = grid.cell(0, 0).map(|c| c.low()) else { return };
    let per_m = scale as f32 / grid.cell_m();
    let bottom = (MARGIN + grid.rows() * scale) as f32;
    let mut plates = Plates::default();
    for (place, words, who) in &captions.labels {
        let at = (left as f32 + (place.x - low.x) * per_m, bottom - (place.y - low.y) * per_m);
        plates.add(picture, words, (at.0 as i32, at.1 as i32 - 7), (&FONT_7X13, INK), *who);
    }
}

fn directions(picture: &mut Picture, (left, wide): (usize, usize), tall: usize) {
    let (middle_x, middle_y) = ((left + wide / 2) as i32, (MARGIN + tall / 2) as i32 - 10);
    let margin = MARGIN as i32;
    let ends = [
        ("US", middle_x, 8),
        ("DS", middle_x, margin + tall as i32 + 8),
        ("SR", left as i32 - margin / 2, middle_y),
        ("SL", (left + wide) as i32 + margin / 2, middle_y),
    ];
    for (words, x, y) in ends {
        text(picture, words, (x, y), (&FONT_10X20, INK), Alignment::Center);
    }
}

/// A bar of 1 m that ends at `right`.
fn ruler(picture: &mut Picture, length: i32, (right, top): (i32, i32)) {
    fill(picture, (right - length, top + 8), (length, 4), INK);
    for x in [right - length, right - 2] {
        fill(picture, (x, top + 3), (2, 14), INK);
    }
    text(picture, "1 m", (right, top + 22), (&FONT_9X15, INK), Alignment::Right);
}

fn legend(picture: &mut Picture, chart: &Chart, room: Option<&Room>, top: i32) {
    let half = (picture.width() as i32 - 2 * MARGIN as i32) / 2;
    let rows = CellClass::ORDER.len().div_ceil(2);
    for (i, class) in CellClass::ORDER.into_iter().enumerate() {
        let (x, y) = (MARGIN as i32 + half * (i / rows) as i32, top + LEGEND * (i % rows) as i32);
        for dy in 0..16 {
            for dx in 0..36 {
                if let Some(pixel) = picture.at_mut((x + dx) as usize, (y + dy) as usize) {
                    *pixel = color(class, (dx as usize, dy as usize));
                }
            }
        }
        let words = format!("{}: {}", class_word(class), class_meaning(class));
        text(picture, &words, (x + 44, y + 2), (&FONT_8X13, INK), Alignment::Left);
        let area = format!("{:.2} m\u{b2}", chart.area_m2(class));
        text(picture, &area, (x + half - 20, y + 2), (&FONT_8X13, QUIET), Alignment::Right);
    }
    let mut y = top + LEGEND * rows as i32;
    if room.is_some() {
        let words = format!("pale lines: every {:.2} m from what keeps people off", step_m(chart));
        text(picture, &words, (MARGIN as i32, y + 2), (&FONT_8X13, INK), Alignment::Left);
        y += LEGEND;
    }
    let words =
        "Where several hold, the first in this list shows. The plan's word, not what is on the stage: a staging aid.";
    text(picture, words, (MARGIN as i32, y + 2), (&FONT_8X13, QUIET), Alignment::Left);
}
