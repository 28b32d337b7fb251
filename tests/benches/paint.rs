//! Painting whole floors: runs alone, a full RGBA picture, one changed mark; beside other painters that
//! draw the same shapes, and a plain fill of the same memory as the limit.
//!
//! `cargo bench -p underfoot-tests --bench paint`. For ratios from interleaved rounds see `ratios`.

mod shared;

use std::hint::black_box;
use std::time::Duration;

use criterion::{Criterion, criterion_group, criterion_main};
use shared::floors::{FLOORS, Floor, Store};
use shared::rivals::{Curves, Skia, Vello};
use shared::targets::{Work, frame, runs_alone};
use underfoot_core::paint::Rgba;
use underfoot_core::paint::changed::changed_rows;
use vello_cpu::RenderMode;

/// As it comes; with curves as fine as the painter under test; and with its most exact colours on top.
const VELLO: [(Curves, RenderMode, &str); 3] = [
    (Curves::Own, RenderMode::OptimizeSpeed, "vello_cpu"),
    (Curves::Fine, RenderMode::OptimizeSpeed, "vello_cpu, fine curves"),
    (Curves::Fine, RenderMode::OptimizeQuality, "vello_cpu, fine curves, quality"),
];

fn floors(criterion: &mut Criterion) {
    for floor in FLOORS {
        measure(criterion, &floor);
    }
}

fn measure(criterion: &mut Criterion, floor: &Floor) {
    let mut group = criterion.benchmark_group(floor.name);
    group.sample_size(10).warm_up_time(Duration::from_millis(500)).measurement_time(Duration::from_secs(3));
    let block = floor.block();
    let (mut store, mut other_store) = (Box::new(Store::new()), Box::new(Store::new()));
    let (mut scene, mut other) = (store.scene(), other_store.scene());
    floor.draw(&mut scene, 0.0);
    floor.draw(&mut other, 0.2);
    let mut work = Box::new(Work::new());
    group.bench_function("runs alone", |b| b.iter(|| runs_alone(&scene, &block, &mut work)));
    let count = usize::from(block.width_px) * usize::from(block.height_px);
    let mut pixels = vec![Rgba::CLEAR; count];
    group.bench_function("plain fill", |b| b.iter(|| black_box(&mut pixels).fill(Rgba::CLEAR)));
    group
        .bench_function("full frame", |b| b.iter(|| frame(&scene, &block, 0..block.height_px, &mut work, &mut pixels)));
    group.bench_function("one changed mark", |b| {
        b.iter(|| {
            for rows in changed_rows(&scene, &other, &block).ranges() {
                frame(&other, &block, rows.clone(), &mut work, &mut pixels);
            }
        });
    });
    drop(pixels);
    let mut bytes = vec![0_u8; count * 4];
    let skia = Skia::new(&scene, &block);
    group.bench_function("tiny-skia full frame", |b| {
        let (width, height) = (block.width_px.into(), block.height_px.into());
        let mut target = tiny_skia::PixmapMut::from_bytes(&mut bytes, width, height).expect("a buffer that fits");
        b.iter(|| skia.paint(&mut target));
    });
    for (curves, mode, name) in VELLO {
        let mut vello = Vello::new(&scene, &block, curves);
        group.bench_function(format!("{name} full frame"), |b| b.iter(|| vello.paint(&mut bytes, mode)));
    }
    group.finish();
}

criterion_group!(benches, floors);
criterion_main!(benches);
