//! Core's painter against the naive per-pixel oracle, on random scenes and random blocks.
//!
//! Bound, in levels of 255: a channel may be off by one level for each layer that can be seen in the
//! pixel, because each layer's cover may be off by 1/255 and "over" never makes an error larger; plus
//! half a level, because a stored level is a whole number. Layers below an opaque, full one count no
//! more. A pixel that no shape touches must be clear or, where a shape ends right at its side, show one
//! level at most.

use std::ops::Range;

use underfoot_core::floor::Block;
use underfoot_core::paint::changed::changed_rows;
use underfoot_core::paint::{Rgba, Scene, SceneStore, WorkStore, paint_block};
use underfoot_tests::dice::Dice;
use underfoot_tests::mock_floor::MockFloor;
use underfoot_tests::oracle::{Picture, figures, paint};
use underfoot_tests::random_scene::{KINDS, Kind, LIES, Lie, Thrower, block, ink};

type Store = SceneStore<512, 64, 32>;
type Work = WorkStore<512, 512, 4096, 16384, 64>;

const LEVEL: f64 = 1.0;
const HALF_STEP: f64 = 0.5;

fn paint_rows(scene: &Scene<'_>, block: &Block, rows: Range<u16>) -> MockFloor {
    let mut work = Box::new(Work::new());
    let first = rows.start.max(block.y_px);
    let mut floor = MockFloor::new(block.x_px, block.right_px() as u16, first);
    paint_block(scene, block, rows.clone(), &mut work.work(), &mut floor).expect("painted");
    assert!(floor.is_idle(), "a row was not ended");
    assert_eq!(floor.rows(), first..rows.end.min(block.bottom_px() as u16), "rows are missing");
    floor
}

fn paint_whole(scene: &Scene<'_>, block: &Block) -> MockFloor {
    paint_rows(scene, block, block.y_px..block.bottom_px() as u16)
}

fn expected(scene: &Scene<'_>, block: &Block) -> Picture {
    paint(&figures(scene, block), (block.x_px, block.y_px), (block.width_px, block.height_px))
}

/// The largest error in levels per visible layer, and a failure where the bound is passed.
fn compare(floor: &MockFloor, picture: &Picture, what: &str) -> f64 {
    let mut worst = 0.0_f64;
    for (x, y) in picture.places() {
        let (got, due) = (floor.at(x, y), picture.at(x, y));
        let layers = f64::from(due.layers.max(1));
        for (level, exact) in [got.r, got.g, got.b, got.a].into_iter().zip(due.rgba) {
            let error = (f64::from(level) - exact).abs();
            assert!(
                error <= LEVEL * layers + HALF_STEP,
                "{what}: pixel ({x}, {y}): {got:?}, exactly {:?}, {layers} layers",
                due.rgba
            );
            worst = worst.max((error - HALF_STEP).max(0.0) / layers);
        }
    }
    worst
}

fn for_each_case(seed: u64, cases: usize, mut check: impl FnMut(&mut Dice, Lie, Kind, String)) {
    for lie in LIES {
        for kind in KINDS {
            for case in 0..cases {
                let seed = seed ^ ((lie as u64) << 48 | (kind as u64) << 32 | case as u64);
                check(&mut Dice::new(seed), lie, kind, format!("{kind:?} on {lie:?}, seed {seed:#x}"));
            }
        }
    }
}

/// One opaque white shape: its level is its cover, and the bound is 1/255 and the rounding half-step.
#[test]
fn one_shape_covers_each_pixel_as_it_should() {
    let mut worst = [0.0_f64; LIES.len()];
    for_each_case(0xC0FE, 200, |dice, lie, kind, what| {
        let block = block(dice, lie, 40);
        let mut store = Store::new();
        let mut scene = store.scene();
        Thrower::new(&block).throw(dice, kind, Rgba::opaque(255, 255, 255), &mut scene);
        let error = compare(&paint_whole(&scene, &block), &expected(&scene, &block), &what);
        worst[lie as usize] = worst[lie as usize].max(error);
    });
    println!("worst error beyond rounding, levels: {LIES:?} {worst:.3?}");
}

/// Up to twelve shapes of any kind and ink over each other.
#[test]
fn overlapping_inks_mix_as_they_should() {
    let mut worst = 0.0_f64;
    for_each_case(0xBEEF, 12, |dice, lie, kind, what| {
        let block = block(dice, lie, 32);
        let mut store = Store::new();
        let mut scene = store.scene();
        throw_many(dice, &block, kind, &mut scene);
        worst = worst.max(compare(&paint_whole(&scene, &block), &expected(&scene, &block), &what));
    });
    println!("worst error beyond rounding, levels per layer: {worst:.3}");
}

fn throw_many(dice: &mut Dice, block: &Block, kind: Kind, scene: &mut Scene<'_>) {
    let thrower = Thrower::new(block);
    let count = 2 + dice.below(10);
    for index in 0..count {
        let kind = if index == 0 { kind } else { KINDS[dice.below(KINDS.len())] };
        let ink = ink(dice);
        thrower.throw(dice, kind, ink, scene);
    }
}

/// The same rows come out whole, in parts, one by one, and as the rows of a later repaint.
#[test]
fn rows_do_not_depend_on_the_range_they_are_painted_in() {
    for_each_case(0xDA7A, 8, |dice, lie, kind, what| {
        let block = block(dice, lie, 40);
        let mut store = Store::new();
        let mut scene = store.scene();
        throw_many(dice, &block, kind, &mut scene);
        let whole = paint_whole(&scene, &block);
        let (mut row, bottom) = (block.y_px, block.bottom_px() as u16);
        while row < bottom {
            let end = (row + 1 + dice.below(7) as u16).min(bottom);
            let part = paint_rows(&scene, &block, row..end);
            for y in row..end {
                assert_eq!(part.row(y), whole.row(y), "{what}: row {y} of {row}..{end}");
            }
            row = end;
        }
    });
}

/// Rows above and below the block are left alone, and an empty range paints nothing.
#[test]
fn rows_off_the_block_are_not_painted() {
    let mut dice = Dice::new(3);
    let block = block(&mut dice, Lie::Turned, 40);
    let mut store = Store::new();
    let mut scene = store.scene();
    Thrower::new(&block).throw(&mut dice, Kind::Huge, Rgba::opaque(9, 9, 9), &mut scene);
    let whole = paint_whole(&scene, &block);
    let wider = paint_rows(&scene, &block, block.y_px.saturating_sub(5)..block.bottom_px() as u16 + 5);
    assert_eq!(wider.rows(), whole.rows());
    let mut floor = MockFloor::new(block.x_px, block.right_px() as u16, block.y_px);
    let mut work = Box::new(Work::new());
    paint_block(&scene, &block, block.y_px..block.y_px, &mut work.work(), &mut floor).unwrap();
    assert_eq!(floor.rows().len(), 0);
}

/// A shape that lies over the border of two blocks of one floor leaves neither a gap nor a double line.
///
/// Both blocks have the same map; pixel by pixel they must equal one block that is as wide as both.
#[test]
fn neighbouring_blocks_paint_what_one_wide_block_paints() {
    for_each_case(0x5EA5, 6, |dice, lie, kind, what| {
        let mut wide = block(dice, lie, 40);
        if wide.width_px < 2 {
            return;
        }
        let (mut left, mut right) = (wide.clone(), wide.clone());
        left.width_px = 1 + dice.below(usize::from(wide.width_px) - 1) as u16;
        right.x_px += left.width_px;
        right.width_px -= left.width_px;
        for part in [&mut wide, &mut left, &mut right] {
            part.panel_width_px = part.width_px;
            part.validate().unwrap();
        }
        let mut store = Store::new();
        let mut scene = store.scene();
        throw_many(dice, &wide, kind, &mut scene);
        let whole = paint_whole(&scene, &wide);
        let (left, right) = (paint_whole(&scene, &left), paint_whole(&scene, &right));
        for y in whole.rows() {
            let joined: Vec<Rgba> = left.row(y).iter().chain(right.row(y)).copied().collect();
            for (x, (got, due)) in joined.iter().zip(whole.row(y)).enumerate() {
                let off = [(got.r, due.r), (got.g, due.g), (got.b, due.b), (got.a, due.a)];
                let off = off.into_iter().map(|(a, b)| a.abs_diff(b)).max().unwrap();
                assert!(off <= 1, "{what}: column {x} of row {y}: {got:?} in parts, {due:?} whole");
            }
        }
    });
}

/// Repainting only the rows that a change touches, over the old picture, gives the whole new picture; and
/// when one shape of a scene moves, not many more rows are repainted than its old and new place span.
#[test]
fn repainting_the_rows_a_change_touches_gives_the_whole_new_picture() {
    for_each_case(0xD127, 6, |dice, lie, kind, what| {
        let block = block(dice, lie, 40);
        let (mut old_store, mut new_store) = (Store::new(), Store::new());
        let (mut old, mut new) = (old_store.scene(), new_store.scene());
        let mut same = dice.clone();
        throw_many(dice, &block, Kind::Star, &mut old);
        throw_many(&mut same, &block, Kind::Star, &mut new);
        let ink = ink(dice);
        let thrower = Thrower::new(&block);
        thrower.throw(dice, kind, ink, &mut old);
        thrower.throw(dice, kind, ink, &mut new);
        let touched: Vec<Range<f64>> = [&old, &new].map(|s| last_rows(s, &block)).into();
        let changed = changed_rows(&old, &new, &block);
        let (before, after) = (paint_whole(&old, &block), paint_whole(&new, &block));
        for y in after.rows() {
            let repainted = changed.ranges().iter().find(|rows| rows.contains(&y));
            if let Some(rows) = repainted {
                let fresh = paint_rows(&new, &block, rows.clone());
                assert_eq!(fresh.row(y), after.row(y), "{what}: repainted row {y}");
                let (top, bottom) = (f64::from(y) - 2.0, f64::from(y) + 3.0);
                assert!(
                    touched.iter().any(|rows| rows.start < bottom && rows.end > top),
                    "{what}: row {y} is repainted, and the change is at {touched:?}"
                );
            } else {
                assert_eq!(before.row(y), after.row(y), "{what}: row {y} was left alone");
            }
        }
    });
}

/// Rows of the canvas that the scene's last shape spans.
fn last_rows(scene: &Scene<'_>, block: &Block) -> Range<f64> {
    let all = figures(scene, block);
    let ys = || all.last().unwrap().contours.iter().flatten().map(|p| p[1]);
    ys().fold(f64::INFINITY, f64::min)..ys().fold(f64::NEG_INFINITY, f64::max)
}
