//! The alphabet and the size and place of labels.

use std::string::String;
use std::vec::Vec;

use super::stage::{floor, stage};
use super::{cover, p, polygons};
use crate::geom::{StagePoint, StageVector};
use crate::look::glyphs::{ALPHABET, HEIGHT, WIDTH, place, strokes};
use crate::look::labels::{self, Lay, READ_ANGLE, Size, Taken, Wanted, depth_needed_m};
use crate::look::sheet::Sheet;
use crate::look::stroke::{self, Grid};
use crate::look::{Sizes, ink};
use crate::paint::SceneStore;

const GRID: Grid =
    Grid { origin: StagePoint::new(0.0, 0.0), right: StageVector::new(1.0, 0.0), up: StageVector::new(0.0, 1.0) };

/// A glyph as a 5 x 7 matrix of its cells' middles.
fn matrix(c: char) -> Vec<bool> {
    let mut store = SceneStore::<512, 64, 8>::new();
    let mut scene = store.scene();
    let mut sheet = Sheet::whole(&mut scene);
    sheet.begin(ink::TEXT);
    stroke::glyph(&mut sheet, c, &GRID).unwrap();
    // A space has no shape.
    let contours = scene.shapes().first().map_or(&[][..], |shape| scene.contours_of(shape));
    let cells = (0..14).flat_map(|y| (0..10).map(move |x| p(x as f32 * 0.5 + 0.25, y as f32 * 0.5 + 0.25)));
    cells.map(|q| cover(&scene, contours, q) > 0).collect()
}

#[test]
fn every_glyph_lies_in_its_box() {
    for c in ALPHABET.chars() {
        let all = polygons(|scene| {
            scene.begin(ink::TEXT);
            stroke::glyph(scene, c, &GRID)
        });
        for q in all.iter().flatten() {
            let (x, y) = (-0.25..=WIDTH + 0.25, -0.25..=HEIGHT + 0.25);
            assert!(x.contains(&q.x) && y.contains(&q.y), "{c}: {q:?}");
        }
        for &point in strokes(c).iter().copied().flatten() {
            assert!(place(point).0 <= WIDTH - 0.5 && place(point).1 <= HEIGHT - 0.5, "{c}");
        }
    }
}

#[test]
fn no_two_glyphs_look_alike() {
    let all: Vec<(char, Vec<bool>)> = ALPHABET.chars().map(|c| (c, matrix(c))).collect();
    for (i, (a, left)) in all.iter().enumerate() {
        for (b, right) in all.iter().skip(i + 1) {
            let differ = left.iter().zip(right).filter(|(l, r)| l != r).count();
            // Two cells of the 5 x 7 matrix are eight of these quarter cells.
            assert!(differ >= 8, "{a} and {b} differ in {differ} of 140");
        }
    }
}

#[test]
fn small_letters_are_capitals_and_the_unknown_is_a_box() {
    assert_eq!(strokes('q'), strokes('Q'));
    assert_eq!(strokes('é'), strokes('§'));
    assert!(ALPHABET.chars().all(|c| c == ' ' || (!strokes(c).is_empty() && strokes(c) != strokes('§'))));
}

/// Depths of 20 minutes of arc for an eye at 1.6 m: 67 mm at 4 m, 140 at 6 m, 242 at 8 m (worked out
/// beforehand by others from the same geometry).
#[test]
fn the_depth_that_reads_grows_with_distance() {
    for (away, mm) in [(4.0, 67.0), (6.0, 140.0), (8.0, 242.0)] {
        let got = depth_needed_m(away, 1.6) * 1000.0;
        assert!((got - mm).abs() <= 1.0, "{away} m: {got} mm");
    }
}

/// NUREG-0700 rev. 2, 1.3.1-4: height = 6.283 * distance * minutes / 21600. Floor text is foreshortened by the
/// sine of the gaze below horizontal, 0.480 for an eye at 1.64 m and a mark at 3 m.
#[test]
fn the_depth_that_reads_agrees_with_the_handbook() {
    let range = (3.0_f32 * 3.0 + 1.64 * 1.64).sqrt();
    let upright = core::f32::consts::TAU * range * 20.0 / 21600.0;
    assert!((depth_needed_m(3.0, 1.64) * 0.480 - upright).abs() < 2e-5);
    assert!((READ_ANGLE.to_degrees() * 60.0 - 20.0).abs() < 1e-4);
}

#[test]
fn characters_are_never_too_small_for_the_floor() {
    let fine = Sizes::of(&floor(6, 6, 128));
    let size = Size::for_reader(&fine, 4.0);
    assert!(size.width_m >= 0.12 && size.depth_m >= 0.20 && size.width_m / WIDTH >= 0.025 - 1e-6);
    // 48 pixels on 0.5 m: a stroke of three pixels is 31.25 mm.
    let coarse = Size::for_reader(&Sizes::of(&floor(60, 40, 48)), 4.0);
    assert!((coarse.width_m / WIDTH - 0.03125).abs() < 1e-5);
    assert!((Size::for_reader(&fine, 8.0).depth_m - 0.242).abs() < 1e-3);
    assert!(Size::for_reader(&fine, 40.0).depth_m <= labels::DEPTH_MOST_M);
}

#[test]
fn a_label_lies_on_the_side_its_reader_comes_from() {
    let show = stage();
    let sizes = Sizes::of(&show);
    let way = [p(-1.0, 0.3), p(0.0, 0.3)].map(crate::show::LinePoint::sharp);
    let wanted = Wanted { mark: p(0.0, 0.3), count: 1, approach: Some(&way) };
    let lay = labels::beside(&show, &sizes, &wanted, &mut Taken::new(), |_| 0.3);
    assert!(lay.up.x > 0.999 && lay.at.x < -0.3 && (lay.at.y - 0.3).abs() < 1e-6, "{lay:?}");
    let wanted = Wanted { mark: p(0.0, 0.3), count: 2, approach: None };
    let lay = labels::beside(&show, &sizes, &wanted, &mut Taken::new(), |_| 0.3);
    assert!(lay.up.y > 0.999 && lay.at.y < 0.0 && lay.at.x.abs() < 1e-6, "{lay:?}");
}

#[test]
fn a_label_stays_on_the_floor_and_off_its_neighbours() {
    let show = stage();
    let sizes = Sizes::of(&show);
    let mut taken = Taken::new();
    let place = |mark, taken: &mut Taken| {
        labels::beside(&show, &sizes, &Wanted { mark, count: 2, approach: None }, taken, |_| 0.3)
    };
    let first = place(p(0.0, -1.2), &mut taken);
    assert!(first.at.y > -1.5, "beside a mark at the downstage edge: {first:?}");
    let second = place(p(0.0, -1.2), &mut taken);
    assert!(first.at.distance(second.at) > 0.3, "{first:?} {second:?}");
}

#[test]
fn text_runs_to_the_readers_right() {
    let size = Size { width_m: 0.12, depth_m: 0.2 };
    for deg in [0.0, 33.0, 90.0, 180.0, 271.0_f32] {
        let (sin, cos) = deg.to_radians().sin_cos();
        let up = StageVector::new(cos, sin);
        let all = polygons(|scene| labels::draw(scene, "-.", ink::TEXT, &Lay { at: p(0.0, 0.0), up, size }));
        // Plate, dash, dot: the dash is left of the dot, and the dot is nearer than the dash.
        let middle = |c: &Vec<StagePoint>| {
            let n = c.len() as f32;
            p(c.iter().map(|q| q.x).sum::<f32>() / n, c.iter().map(|q| q.y).sum::<f32>() / n)
        };
        let step = middle(&all[2]) - middle(&all[1]);
        assert!(step.dot(-up.perp()) > 0.1 && step.dot(up) < -0.02, "{deg}: {step:?}");
        let names: String = "-.".into();
        assert_eq!(all.len(), names.len() + 1);
    }
}
