//! Every pixel of a camera's picture. Where something begins or ends, a pixel is looked at several times.

use std::thread;

use super::eye::Eye;
use super::palette::{EDGE, STUDIO, Tint, mixed};
use super::ray::V3;
use super::trace::{Dot, Hit, Sights, Tag};
use crate::render::Picture;

/// Samples per pixel and axis where something begins or ends.
const FINE: usize = 4;
/// Colours that differ by more than this in one channel are looked at again.
const STEP: f64 = 5.0;
/// Where nothing at all is seen.
const NOTHING: Dot =
    Dot { color: STUDIO, tag: Tag { part: 0, prop: 0, back: 0, person: 0, flaw: super::pattern::Flaw::None } };

/// A picture, and what is on top at each of its pixels.
pub(super) struct Raster {
    pub(super) picture: Picture,
    pub(super) tags: Vec<Tag>,
}

/// Paints the whole picture.
pub(super) fn paint(sights: &Sights<'_>, eye: &Eye) -> Raster {
    let bounds = Bounds::of(sights, eye);
    let once: Vec<Dot> = by_rows(eye, |y, row| {
        let mut brush = Brush::new(sights, eye, &bounds, y);
        (0..eye.width()).for_each(|x| row.push(brush.dot(x as f64 + 0.5, y as f64 + 0.5)));
    });
    let colors: Vec<Tint> = by_rows(eye, |y, row| {
        let mut brush = Brush::new(sights, eye, &bounds, y);
        (0..eye.width()).for_each(|x| row.push(refined(&once, eye, (x, y), &mut brush)));
    });
    let tags: Vec<Tag> = once.iter().map(|d| d.tag).collect();
    let mut picture = Picture::new(eye.width(), eye.height(), [0; 3]);
    for (i, &color) in colors.iter().enumerate() {
        let (x, y) = (i % eye.width(), i / eye.width());
        let color = if bordered(&tags, eye, (x, y)) { mixed(color, EDGE, 0.75) } else { color };
        if let Some(pixel) = picture.at_mut(x, y) {
            *pixel = color.map(|c| c.round().clamp(0.0, 255.0) as u8);
        }
    }
    Raster { picture, tags }
}

/// Runs `fill` for each row, in as many threads as there are cores; rows come back in order.
fn by_rows<T: Send + Clone>(eye: &Eye, fill: impl Fn(usize, &mut Vec<T>) + Sync) -> Vec<T> {
    let workers = thread::available_parallelism().map_or(1, usize::from);
    let share = eye.height().div_ceil(workers).max(1);
    let strips: Vec<Vec<T>> = thread::scope(|scope| {
        let strip = |first: usize| {
            let fill = &fill;
            scope.spawn(move || {
                let mut rows = Vec::new();
                (first..(first + share).min(eye.height())).for_each(|y| fill(y, &mut rows));
                rows
            })
        };
        let running: Vec<_> = (0..eye.height()).step_by(share).map(strip).collect();
        running.into_iter().map(|r| r.join().unwrap_or_default()).collect()
    });
    strips.concat()
}

/// Rows that each part and each person may reach.
struct Bounds {
    parts: Vec<(f64, f64)>,
    people: Vec<(f64, f64)>,
}

impl Bounds {
    fn of(sights: &Sights<'_>, eye: &Eye) -> Self {
        let rows = |corners: &[V3]| eye.rows(corners);
        Self {
            parts: sights.parts.iter().map(|p| rows(&p.thing.corners())).collect(),
            people: sights.people.iter().map(|p| rows(&p.corners())).collect(),
        }
    }
}

/// What one row needs.
struct Brush<'r> {
    sights: &'r Sights<'r>,
    eye: &'r Eye,
    parts: Vec<usize>,
    people: Vec<usize>,
    hits: Vec<Hit>,
}

impl<'r> Brush<'r> {
    fn new(sights: &'r Sights<'r>, eye: &'r Eye, bounds: &Bounds, y: usize) -> Self {
        let (low, high) = (y as f64 - 1.0, y as f64 + 2.0);
        let reached = |all: &[(f64, f64)]| -> Vec<usize> {
            all.iter().enumerate().filter(|(_, b)| b.0 <= high && b.1 >= low).map(|(i, _)| i).collect()
        };
        Self { sights, eye, parts: reached(&bounds.parts), people: reached(&bounds.people), hits: Vec::new() }
    }

    fn dot(&mut self, x: f64, y: f64) -> Dot {
        let Some(ray) = self.eye.ray((x, y)) else { return NOTHING };
        self.sights.dot(&ray, (x, y), (&self.parts, &self.people), &mut self.hits)
    }
}

/// The colour of a pixel: its one sample, or the mean of many where its neighbours differ.
fn refined(once: &[Dot], eye: &Eye, (x, y): (usize, usize), brush: &mut Brush<'_>) -> Tint {
    let at = |x: usize, y: usize| once[y * eye.width() + x];
    let here = at(x, y);
    let differs = |x: usize, y: usize| {
        let other = at(x, y).color;
        other.iter().zip(here.color).any(|(a, b)| (a - b).abs() > STEP)
    };
    let (right, below) = ((x + 1).min(eye.width() - 1), (y + 1).min(eye.height() - 1));
    let (left, above) = (x.saturating_sub(1), y.saturating_sub(1));
    let around = [(left, y), (right, y), (x, above), (x, below), (left, above), (right, below)];
    if !around.iter().any(|&(x, y)| differs(x, y)) {
        return here.color;
    }
    let mut sum = [0.0; 3];
    for i in 0..FINE * FINE {
        let part = |n: usize| (n as f64 + 0.5) / FINE as f64;
        let dot = brush.dot(x as f64 + part(i % FINE), y as f64 + part(i / FINE));
        sum.iter_mut().zip(dot.color).for_each(|(s, c)| *s += c);
    }
    sum.map(|s| s / (FINE * FINE) as f64)
}

/// True at the last pixel of a part or side, to the right or below.
fn bordered(tags: &[Tag], eye: &Eye, (x, y): (usize, usize)) -> bool {
    let here = tags[y * eye.width() + x];
    let other = |x: usize, y: usize| {
        let there = tags[y * eye.width() + x];
        here.part != there.part || here.back != there.back && here.person == 0 && there.person == 0
    };
    (x + 1 < eye.width() && other(x + 1, y)) || (y + 1 < eye.height() && other(x, y + 1))
}
