//! Pixels along strips, counted one by one, and the times of frames.

use super::*;
use crate::floor::Canvas;
use crate::floor::block::Output;
use crate::paint::color::Rgba;
use crate::paint::{RowTarget, Span};

use crate::sacn::pace::{FRAME, KEEP_ALIVE};

fn canvas(first_universe: u16, width_px: u16, height_px: u16) -> Canvas {
    let output = Output::Direct { first_universe };
    Canvas { name: "tape".try_into().unwrap(), width_px, height_px, output, controller: 1 }
}

#[test]
fn what_is_no_strip_is_none() {
    assert_eq!(Strip::of(&Canvas { output: Output::Layer, ..canvas(1, 10, 1) }), None);
    assert_eq!(Strip::of(&canvas(0, 10, 1)), None, "row-driven");
    assert_eq!(Strip::of(&canvas(1, 10, 0)), None, "no pixels");
    // The last universe is 63999 (ANSI E1.31-2018, 6.2.7).
    assert!(Strip::of(&canvas(63_999, 170, 1)).is_some());
    assert_eq!(Strip::of(&canvas(63_999, 171, 1)), None);
    assert!(Strip::of(&canvas(63_998, 17, 20)).is_some());
    assert_eq!(Strip::of(&canvas(1, 16_384, 16_384)), None);
}

/// Each pixel is in one part, at the place that counting one by one gives it.
#[test]
fn pixels_go_row_after_row_and_universe_after_universe() {
    for (width, height) in [(1, 1), (170, 1), (300, 1), (1, 500), (7, 90), (171, 4), (400, 3)] {
        let strip = Strip::of(&canvas(9, width, height)).unwrap();
        let mut all = Vec::new();
        for index in 0..strip.universes() {
            let part = strip.part(index).unwrap();
            assert_eq!(part.universe, 9 + index);
            let mut slots = std::vec![7; part.slots()];
            let mut pixels = Pixels::new(part, &mut slots);
            for row in part.rows() {
                let Ok(()) = pixels.begin_row(row, 0, width);
                for x in 0..width {
                    let color = Rgba { r: x as u8, g: (x >> 8) as u8, b: row as u8, a: 255 };
                    let Ok(()) = pixels.span(Span { start: x, end: x + 1, color });
                }
                let Ok(()) = pixels.end_row();
            }
            all.extend(slots);
        }
        assert_eq!(strip.part(strip.universes()), None);
        let naive = (0..height).flat_map(|y| (0..width).flat_map(move |x| [x as u8, (x >> 8) as u8, y as u8]));
        assert_eq!(all, naive.collect::<Vec<_>>(), "{width} x {height}");
    }
}

/// No part that has pixels of a rectangle is passed over.
#[test]
fn parts_meet_what_has_pixels_in_them() {
    let (mut met, mut missed) = (0, 0);
    for (width, height) in [(300_u32, 1_u32), (60, 9), (171, 4), (400, 3)] {
        let strip = Strip::of(&canvas(9, width as u16, height as u16)).unwrap();
        for (left, top, wide, tall) in [(0, 0, 1, 1), (150, 0, 30, 1), (10, 1, 20, 2), (59, 3, 1, 1), (299, 0, 1, 3)] {
            for index in 0..strip.universes() {
                let inside = |pixel: u32| {
                    let (x, y) = (pixel % width, pixel / width);
                    (left..left + wide).contains(&x) && (top..top + tall).contains(&y)
                };
                let first = u32::from(index) * 170;
                let has = (first..(first + 170).min(width * height)).any(inside);
                let meets = strip.part(index).unwrap().meets(left..left + wide, top..top + tall);
                assert!(meets || !has, "{width} x {height}, part {index}: {left} {top} {wide} {tall}");
                (met, missed) = (met + usize::from(has), missed + usize::from(!meets));
            }
        }
    }
    assert!(met > 10 && missed > 10, "{met} {missed}");
}

#[test]
fn frames_are_due_three_times_and_then_to_keep_the_stream_up() {
    let (mut pace, mut now, mut times) = (Pace::new(), Instant::from_millis(500), Vec::new());
    for ms in 0..4_000 {
        let is_new = ms == 0 || ms == 2_500;
        if pace.is_due(is_new, now) {
            pace.begin(is_new, now);
            times.push(ms);
        }
        now = now.after(Duration::from_millis(1));
    }
    let (frame, keep) = (FRAME.as_millis(), KEEP_ALIVE.as_millis());
    let first = [0, frame, 2 * frame, 2 * frame + keep, 2 * frame + 2 * keep];
    let second = [2_500, 2_500 + frame, 2_500 + 2 * frame, 2_500 + 2 * frame + keep];
    assert_eq!(times, [&first[..], &second[..]].concat());
}
