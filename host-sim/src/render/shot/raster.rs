//! Every pixel of a camera's picture. Where something begins or ends, a pixel is looked at several times.

use std::thread;

use super::eye::{Eye, Reach};
use super::palette::{EDGE, STUDIO, Tint, mixed};
use super::ray::V3;
use super::trace::{Dot, Hit, Near, Sights, Tag};
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
        for x in 0..eye.width() {
            brush.go_to(x);
            row.push(brush.dot(x as f64 + 0.5, y as f64 + 0.5));
        }
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

/// What each part, each person and each physical thing may reach.
struct Bounds {
    parts: Vec<Reach>,
    people: Vec<Reach>,
    reals: Vec<Reach>,
}

impl Bounds {
    fn of(sights: &Sights<'_>, eye: &Eye) -> Self {
        let reach = |corners: &[V3]| eye.reach(corners);
        Self {
            parts: sights.parts.iter().map(|p| reach(&p.thing.corners())).collect(),
            people: sights.people.iter().map(|p| reach(&p.corners())).collect(),
            reals: sights.world.reals().iter().map(|r| reach(&r.corners())).collect(),
        }
    }
}

/// Columns that something may reach, with its index.
type Columns = Vec<(usize, (f64, f64))>;

/// What one row needs.
struct Brush<'r> {
    sights: &'r Sights<'r>,
    eye: &'r Eye,
    /// Parts, people and physical things of the row.
    parts: Columns,
    people: Columns,
    reals: Columns,
    /// Those of the pixel.
    near: Near,
    hits: Vec<Hit>,
}

impl<'r> Brush<'r> {
    fn new(sights: &'r Sights<'r>, eye: &'r Eye, bounds: &Bounds, y: usize) -> Self {
        let (low, high) = (y as f64 - 1.0, y as f64 + 2.0);
        let reached = |all: &[Reach]| -> Columns {
            let there = all.iter().enumerate().filter(|(_, r)| r.rows.0 <= high && r.rows.1 >= low);
            there.map(|(i, r)| (i, r.columns)).collect()
        };
        let (parts, people, reals) = (reached(&bounds.parts), reached(&bounds.people), reached(&bounds.reals));
        Self { sights, eye, parts, people, reals, near: Near::default(), hits: Vec::new() }
    }

    /// What is looked at next lies in column `x`.
    fn go_to(&mut self, x: usize) {
        let (low, high) = (x as f64 - 1.0, x as f64 + 2.0);
        let near = &mut self.near;
        let pairs = [(&self.parts, &mut near.parts), (&self.people, &mut near.people), (&self.reals, &mut near.reals)];
        for (columns, near) in pairs {
            near.clear();
            for &(i, (first, last)) in columns {
                if first <= high && last >= low {
                    near.push(i);
                }
            }
        }
    }

    fn dot(&mut self, x: f64, y: f64) -> Dot {
        let Some(ray) = self.eye.ray((x, y)) else { return NOTHING };
        self.sights.dot(&ray, (x, y), &self.near, &mut self.hits)
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
    brush.go_to(x);
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
