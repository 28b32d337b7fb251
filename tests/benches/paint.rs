//! Painting whole floors: runs alone, a full RGBA picture, one changed mark; beside other painters that
//! draw the same shapes, and a plain fill of the same memory as the limit.
//!
//! `cargo bench -p underfoot-tests --bench paint`. For ratios from interleaved rounds see `ratios`.

#[allow(dead_code, reason = "each bench uses a part of what they share")]
mod shared;

use std::time::Duration;

use criterion::{Criterion, criterion_group, criterion_main};
use shared::contest::{Bench, JOBS};
use shared::floors::Store;
use shared::subjects::{Subject, subjects};

fn floors(criterion: &mut Criterion) {
    for subject in subjects() {
        measure(criterion, &subject);
    }
}

fn measure(criterion: &mut Criterion, subject: &Subject) {
    let mut group = criterion.benchmark_group(subject.name);
    group.sample_size(10).warm_up_time(Duration::from_millis(500)).measurement_time(Duration::from_secs(3));
    let (mut store, mut other_store) = (Box::new(Store::new()), Box::new(Store::new()));
    let (mut scene, mut other) = (store.scene(), other_store.scene());
    subject.draw(&mut scene, false);
    subject.draw(&mut other, true);
    let mut bench = Bench::new(&scene, subject);
    for job in JOBS {
        group.bench_function(job.name(), |b| b.iter(|| bench.run(job, &scene, &other)));
    }
    group.finish();
}

criterion_group!(benches, floors);
criterion_main!(benches);
