//! Ratios and errors of painters on the same floors, in one table.
//!
//! Times are medians of interleaved rounds: every painter runs once a round, so that a slow spell of a
//! shared machine hits all of them. Errors are levels of 255 against the per-pixel oracle, over the edge
//! pixels (neither clear nor full) of rows spread over the floor, and over random single shapes.
//!
//! `cargo bench -p underfoot-tests --bench ratios`

#[allow(dead_code, reason = "each bench uses a part of what they share")]
mod shared;

use std::time::Instant;

use shared::contest::{Bench, JOBS, Job, PAINTERS};
use shared::floors::Store;
use shared::subjects::{Subject, subjects};
use underfoot_core::paint::Rgba;
use underfoot_tests::dice::Dice;
use underfoot_tests::oracle::{Figure, figures, paint};
use underfoot_tests::random_scene::{KINDS, Kind, Lie, Thrower, block};

fn main() {
    // The table of errors first: it is quick, and says which times may be compared.
    shape_table();
    for subject in subjects() {
        floor_table(&subject);
    }
}

fn floor_table(subject: &Subject) {
    let (mut store, mut other_store) = (Box::new(Store::new()), Box::new(Store::new()));
    let (mut scene, mut other) = (store.scene(), other_store.scene());
    subject.draw(&mut scene, false);
    subject.draw(&mut other, true);
    let mut bench = Bench::new(&scene, subject);
    let large = subject.blocks.iter().any(|b| b.width_px > 5000);
    let rounds = if large { 7 } else { 31 };
    let mut times: [Vec<f64>; JOBS.len()] = Default::default();
    for round in 0..=rounds {
        for offset in 0..JOBS.len() {
            let which = (round + offset) % JOBS.len();
            let start = Instant::now();
            bench.run(JOBS[which], &scene, &other);
            // The first round warms caches and touches fresh pages.
            if round > 0 {
                times[which].push(start.elapsed().as_secs_f64());
            }
        }
    }
    println!("\n{}: {} shapes, {} runs", subject.name, scene.shapes().len(), bench.runs(&scene));
    print_times(times.map(median));
    for job in PAINTERS {
        bench.run(job, &scene, &other);
        let mut error = Error::default();
        for (index, block) in bench.blocks() {
            let figures = figures(&scene, block);
            for i in 0..40_u32 {
                let row = (u32::from(block.height_px) * (2 * i + 1) / 80) as u16;
                error.add_row(&figures, (0, row), block.width_px, &bench.row(job, index, row));
            }
        }
        println!("  {:20} {error}", job.name());
    }
}

fn print_times(medians: [f64; JOBS.len()]) {
    let of = |job: Job| medians[JOBS.iter().position(|&j| j == job).expect("every job is timed")];
    let (fast, fine, fill) = (of(Job::Skia).min(of(Job::Vello)), of(Job::Skia).min(of(Job::VelloFine)), of(Job::Fill));
    for (job, time) in JOBS.iter().zip(medians) {
        let (ms, to_fast, to_fine, fills) = (time * 1e3, time / fast, time / fine, time / fill);
        println!(
            "  {:20} {ms:9.3} ms = {to_fast:6.3} x the faster rival = {to_fine:6.3} x it at finer error = {fills:6.2} fills",
            job.name()
        );
    }
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    values[values.len() / 2]
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
        let mut errors: [Error; PAINTERS.len()] = Default::default();
        for _ in 0..60 {
            one_shape(&mut dice, kind, &mut errors);
        }
        for (job, error) in PAINTERS.iter().zip(errors) {
            println!("  {:8} {:20} {error}", format!("{kind:?}"), job.name());
        }
    }
}

fn one_shape(dice: &mut Dice, kind: Kind, errors: &mut [Error; PAINTERS.len()]) {
    let mut block = block(dice, Lie::Turned, 60);
    // Rivals paint from pixel (0, 0).
    (block.x_px, block.y_px) = (0, 0);
    let mut store = Box::new(Store::new());
    let mut scene = store.scene();
    Thrower::new(&block).throw(dice, kind, Rgba::opaque(255, 255, 255), &mut scene);
    let figures = figures(&scene, &block);
    let mut bench = Bench::of_blocks(&scene, std::slice::from_ref(&block));
    for (&job, error) in PAINTERS.iter().zip(errors) {
        bench.run(job, &scene, &scene);
        for row in 0..block.height_px {
            error.add_row(&figures, (0, row), block.width_px, &bench.row(job, 0, row));
        }
    }
}
