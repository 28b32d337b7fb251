//! Ratios and errors of painters on the same floors, in one table.
//!
//! Times are medians of interleaved rounds: every painter runs once a round, so that a slow spell of a
//! shared machine hits all of them. Errors are levels of 255 against the per-pixel oracle, over the edge
//! pixels (neither clear nor full) of rows spread over the floor, and over random single shapes.
//!
//! `cargo bench -p underfoot-tests --bench ratios`

mod shared;

use std::hint::black_box;
use std::time::Instant;

use shared::floors::{FLOORS, Floor, Store};
use shared::rivals::{Curves, Skia, Vello};
use shared::targets::{Work, frame, runs_alone};
use underfoot_core::floor::Block;
use underfoot_core::paint::changed::changed_rows;
use underfoot_core::paint::{Rgba, Scene};
use underfoot_tests::dice::Dice;
use underfoot_tests::oracle::{Figure, figures, paint};
use underfoot_tests::random_scene::{KINDS, Kind, Lie, Thrower, block};
use vello_cpu::RenderMode;

const NAMES: [&str; 8] = [
    "runs alone",
    "full frame",
    "one changed mark",
    "plain fill",
    "tiny-skia",
    "vello_cpu",
    "vello_cpu, fine",
    "vello_cpu, fine, f32",
];
const PAINTERS: [usize; 5] = [FULL, SKIA, SPEED, FINE, QUALITY];
const FULL: usize = 1;
const FILL: usize = 3;
const SKIA: usize = 4;
const SPEED: usize = 5;
/// With curves cut as finely as the painter under test cuts them: equal error.
const FINE: usize = 6;
const QUALITY: usize = 7;

fn main() {
    // The table of errors first: it is quick, and says which times may be compared.
    shape_table();
    for floor in FLOORS {
        floor_table(&floor);
    }
}

fn floor_table(floor: &Floor) {
    let block = floor.block();
    let (mut store, mut other_store) = (Box::new(Store::new()), Box::new(Store::new()));
    let (mut scene, mut other) = (store.scene(), other_store.scene());
    floor.draw(&mut scene, 0.0);
    floor.draw(&mut other, 0.2);
    let mut bench = Bench::new(&scene, &block);
    let rounds = if bench.pixels.len() > 50_000_000 { 7 } else { 21 };
    let mut times: [Vec<f64>; 8] = Default::default();
    for round in 0..=rounds {
        for offset in 0..NAMES.len() {
            let which = (round + offset) % NAMES.len();
            let seconds = bench.time(which, &scene, &other, &block);
            // The first round warms caches and touches fresh pages.
            if round > 0 {
                times[which].push(seconds);
            }
        }
    }
    let medians = times.map(median);
    println!("\n{}: {} shapes, {} runs", floor.name, scene.shapes().len(), bench.runs(&scene, &block));
    let (fast, fine) = (medians[SKIA].min(medians[SPEED]), medians[FINE]);
    for (name, time) in NAMES.iter().zip(medians) {
        let (to_fast, to_fine, to_fill) = (time / fast, time / fine, time / medians[FILL]);
        println!(
            "  {name:20} {:9.3} ms = {to_fast:6.3} x the faster rival = {to_fine:6.3} x it at equal error = {to_fill:6.2} fills",
            time * 1e3
        );
    }
    bench.errors(&scene, &block);
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    values[values.len() / 2]
}

struct Bench {
    work: Box<Work>,
    pixels: Vec<Rgba>,
    bytes: Vec<u8>,
    skia: Skia,
    vello: Vello,
    fine: Vello,
}

impl Bench {
    fn new(scene: &Scene<'_>, block: &Block) -> Self {
        let count = usize::from(block.width_px) * usize::from(block.height_px);
        Self {
            work: Box::new(Work::new()),
            pixels: vec![Rgba::CLEAR; count],
            bytes: vec![0; count * 4],
            skia: Skia::new(scene, block),
            vello: Vello::new(scene, block, Curves::Own),
            fine: Vello::new(scene, block, Curves::Fine),
        }
    }

    fn runs(&mut self, scene: &Scene<'_>, block: &Block) -> u64 {
        runs_alone(scene, block, &mut self.work).runs
    }

    fn time(&mut self, which: usize, scene: &Scene<'_>, other: &Scene<'_>, block: &Block) -> f64 {
        let start = Instant::now();
        match which {
            0 => drop(black_box(runs_alone(scene, block, &mut self.work))),
            2 => {
                for rows in changed_rows(scene, other, block).ranges() {
                    frame(other, block, rows.clone(), &mut self.work, &mut self.pixels);
                }
            }
            FILL => black_box(&mut self.pixels).fill(Rgba::CLEAR),
            _ => self.paint(which, scene, block),
        }
        start.elapsed().as_secs_f64()
    }

    fn paint(&mut self, which: usize, scene: &Scene<'_>, block: &Block) {
        match which {
            FULL => frame(scene, block, 0..block.height_px, &mut self.work, &mut self.pixels),
            SKIA => {
                let (width, height) = (block.width_px.into(), block.height_px.into());
                let target = tiny_skia::PixmapMut::from_bytes(&mut self.bytes, width, height);
                self.skia.paint(&mut target.expect("a buffer that fits"));
            }
            SPEED => self.vello.paint(&mut self.bytes, RenderMode::OptimizeSpeed),
            FINE => self.fine.paint(&mut self.bytes, RenderMode::OptimizeSpeed),
            _ => self.fine.paint(&mut self.bytes, RenderMode::OptimizeQuality),
        }
    }

    /// Levels of all channels of the pixels from column 0 of `row`, by painter.
    fn row(&self, which: usize, row: u16, width: u16) -> Vec<u8> {
        let (first, width) = (usize::from(row) * usize::from(width), usize::from(width));
        if which == FULL {
            self.pixels[first..first + width].iter().flat_map(|p| [p.r, p.g, p.b, p.a]).collect()
        } else {
            self.bytes[first * 4..(first + width) * 4].to_vec()
        }
    }

    fn errors(&mut self, scene: &Scene<'_>, block: &Block) {
        let figures = figures(scene, block);
        let rows: Vec<u16> = (0..40).map(|i| (u32::from(block.height_px) * (2 * i + 1) / 80) as u16).collect();
        for which in PAINTERS {
            self.paint(which, scene, block);
            let mut error = Error::default();
            for &row in &rows {
                error.add_row(&figures, (0, row), block.width_px, &self.row(which, row, block.width_px));
            }
            println!("  {:20} {error}", NAMES[which]);
        }
    }
}

/// Errors in levels over edge pixels.
#[derive(Default)]
struct Error {
    worst: f64,
    squares: f64,
    count: u32,
}

impl Error {
    fn add_row(&mut self, figures: &[Figure], corner: (u16, u16), width: u16, levels: &[u8]) {
        let picture = paint(figures, corner, (width, 1));
        for ((x, y), got) in picture.places().zip(levels.chunks_exact(4)) {
            let due = picture.at(x, y);
            let error = due.rgba.iter().zip(got).map(|(d, &g)| (d - f64::from(g)).abs()).fold(0.0, f64::max);
            self.worst = self.worst.max(error);
            let edge = due.layers > 1 || (due.rgba[3] > 0.0 && due.rgba[3] < 255.0);
            if edge {
                self.squares += error * error;
                self.count += 1;
            }
        }
    }
}

impl std::fmt::Display for Error {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let rms = (self.squares / f64::from(self.count.max(1))).sqrt();
        write!(f, "error, levels: worst {:6.2}, root mean square {rms:6.3} over {} edge pixels", self.worst, self.count)
    }
}

/// Cover of single white shapes, kind by kind; without the kinds whose contours overlap, because there the
/// rivals' fill rule means something else.
fn shape_table() {
    println!("\nrandom single shapes on turned blocks");
    let mut dice = Dice::new(77);
    for kind in KINDS {
        if matches!(kind, Kind::Tangle | Kind::Pair) {
            continue;
        }
        let mut errors: [Error; 8] = Default::default();
        for _ in 0..60 {
            one_shape(&mut dice, kind, &mut errors);
        }
        for which in PAINTERS {
            println!("  {:8} {:20} {}", format!("{kind:?}"), NAMES[which], errors[which]);
        }
    }
}

fn one_shape(dice: &mut Dice, kind: Kind, errors: &mut [Error; 8]) {
    let mut block = block(dice, Lie::Turned, 60);
    // Rivals paint from pixel (0, 0).
    (block.x_px, block.y_px) = (0, 0);
    let mut store = Box::new(Store::new());
    let mut scene = store.scene();
    Thrower::new(&block).throw(dice, kind, Rgba::opaque(255, 255, 255), &mut scene);
    let figures = figures(&scene, &block);
    let mut bench = Bench::new(&scene, &block);
    for which in PAINTERS {
        bench.paint(which, &scene, &block);
        for row in 0..block.height_px {
            let levels = bench.row(which, row, block.width_px);
            errors[which].add_row(&figures, (0, row), block.width_px, &levels);
        }
    }
}
