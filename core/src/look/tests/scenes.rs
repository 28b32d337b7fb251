//! Whole scenes: contours turn the right way, cover nothing twice, fit the box, and never overflow in silence.

use std::collections::BTreeSet;
use std::vec::Vec;

use super::stage::{floor, stage};
use super::{area, cover, p};
use crate::geom::polygon;
use crate::look::{MarkState, Shown, View, compose, ink, pulse};
use crate::paint::scene::Contour;
use crate::paint::{Rgba, Scene, SceneStore};
use crate::show::{CueId, Mode, Show};

const MODES: [Mode; 7] = [Mode::Build, Mode::Brief, Mode::Standby, Mode::Air, Mode::Reset, Mode::Off, Mode::Worklight];
const STATES: [MarkState; 6] = [
    MarkState::Steady,
    MarkState::Later,
    MarkState::StandBy,
    MarkState::Go,
    MarkState::Arrived,
    MarkState::Off { toward_deg: 40.0 },
];

fn with_scene<T>(show: &Show, view: &View, look: impl FnOnce(&Scene<'_>) -> T) -> T {
    let mut store = SceneStore::<4096, 1024, 512>::new();
    let mut scene = store.scene();
    compose(show, view, &mut scene).unwrap();
    look(&scene)
}

fn every_view(show: &Show, mut check: impl FnMut(&View, &Scene<'_>)) {
    for mode in MODES {
        for cue in (0..show.cues.len() as u8).map(|i| Some(CueId(i))).chain([None]) {
            for state in STATES {
                if mode != Mode::Standby && mode != Mode::Air && state != MarkState::StandBy {
                    continue;
                }
                let shown = Shown { marks: u64::MAX, props: u32::MAX };
                let all = View::new(mode, cue).with_all(state);
                let view = View { shown, labels: true, pulse: 9, flow_ms: 771, ..all };
                with_scene(show, &view, |scene| check(&view, scene));
            }
        }
    }
}

#[test]
fn every_contour_is_simple_and_every_hole_lies_in_its_shape() {
    every_view(&stage(), |view, scene| {
        for shape in scene.shapes() {
            let contours = scene.contours_of(shape);
            for contour in contours {
                let points = match contour {
                    Contour::Polygon { .. } => scene.points_of(contour),
                    Contour::Ellipse { .. } => continue,
                };
                assert_eq!(polygon::check(points), Ok(()), "{view:?} {points:?}");
                assert!(area(points).abs() > 1e-7, "{view:?} {points:?}");
                if area(points) < 0.0 {
                    // Just inside the hole the shape has nothing; a hole outside its shape would be negative.
                    let (a, b) = (points[0], points[1]);
                    let inside = a + (b - a) * 0.5 - (b - a).unit().unwrap().perp() * 1e-4;
                    assert_eq!(cover(scene, contours, inside), 0, "{view:?} {points:?}");
                }
            }
        }
    });
}

/// Overlap inside a shape would be summed at its soft edges. Strokes of one glyph may touch.
#[test]
fn no_shape_covers_a_place_twice() {
    every_view(&stage(), |view, scene| {
        for (i, shape) in scene.shapes().iter().enumerate() {
            let contours = scene.contours_of(shape);
            let after_plate = i > 0 && {
                let before = scene.contours_of(&scene.shapes()[i - 1]);
                before.len() == 1 && scene.points_of(&before[0]).len() == 4
            };
            if after_plate {
                continue;
            }
            let middles = contours.iter().map(|c| match *c {
                Contour::Ellipse { centre, u, .. } => centre + u * 0.97,
                Contour::Polygon { .. } => {
                    let q = scene.points_of(c);
                    q[0] + ((q[1] - q[0]) + (q[2] - q[0])) * (1.0 / 3.0)
                }
            });
            let corners = contours.iter().flat_map(|c| scene.points_of(c).iter().copied());
            for q in middles.chain(corners.map(|q| q + crate::geom::StageVector::new(3.1e-4, 1.7e-4))) {
                let times = cover(scene, contours, q);
                let most = if shape.ink == ink::KEY { 2 } else { 1 };
                assert!((0..=most).contains(&times), "{view:?}: {times} times at {q:?} in shape {i}: {:?}", shape.ink);
            }
        }
    });
}

#[test]
fn off_is_empty_and_air_shows_only_what_no_camera_sees() {
    let show = stage();
    for cue in 0..show.cues.len() as u8 {
        let off = View::new(Mode::Off, Some(CueId(cue)));
        with_scene(&show, &off, |scene| assert!(scene.shapes().is_empty()));
        let air = View::new(Mode::Air, Some(CueId(cue)));
        with_scene(&show, &air, |scene| assert!(scene.shapes().is_empty()));
        let mark = show.places_in(&show.cues[usize::from(cue)])[0].mark.unwrap();
        let one = View { shown: Shown { marks: 1 << mark.0, props: 0 }, ..air };
        // One keyline, one core.
        with_scene(&show, &one, |scene| assert_eq!(scene.shapes().len(), 2));
        let prop = View { shown: Shown { marks: 0, props: 1 << cue }, ..air };
        with_scene(&show, &prop, |scene| assert_eq!(scene.shapes().len(), 2));
    }
}

#[test]
fn edges_are_marked_in_every_mode_but_air_and_off() {
    let show = stage();
    for mode in MODES {
        let view = View::new(mode, Some(CueId(0)));
        let marked = with_scene(&show, &view, |scene| {
            scene.shapes().iter().any(|s| s.ink == ink::EDGE && cover(scene, scene.contours_of(s), p(0.0, -1.2)) == 1)
        });
        assert_eq!(marked, !matches!(mode, Mode::Air | Mode::Off), "{mode:?}");
    }
}

#[test]
fn worklight_fills_the_floor_at_the_level_asked_for() {
    let show = stage();
    let view = View { floor_level: 51, ..View::new(Mode::Worklight, Some(CueId(0))) };
    with_scene(&show, &view, |scene| {
        let fill = scene.shapes()[0];
        // 51 of 255 is a fifth of 255, 250, 240.
        assert_eq!(fill.ink, Rgba::opaque(51, 50, 48));
        assert_eq!(cover(scene, scene.contours_of(&fill), p(1.49, 1.49)), 1);
        assert!(scene.shapes().iter().skip(1).all(|s| s.ink == ink::KEY || s.ink == ink::EDGE));
    });
}

#[test]
fn reset_shows_the_next_cue_and_before_the_first_that_is_the_first() {
    let show = stage();
    let shapes = |mode, cue| with_scene(&show, &View::new(mode, cue), |scene| std::format!("{:?}", scene.shapes()));
    assert_eq!(shapes(Mode::Reset, None), shapes(Mode::Reset, None));
    let standby_like = |cue| View::new(Mode::Standby, Some(CueId(cue))).with_all(MarkState::Steady);
    // Props that are live look the same in both; cue 4 is the first with a live prop.
    let next = with_scene(&show, &View::new(Mode::Reset, Some(CueId(3))), |s| s.shapes().to_vec());
    let same = with_scene(&show, &standby_like(4), |s| s.shapes().to_vec());
    assert_eq!(next, same);
}

#[test]
fn full_lists_are_an_error_that_names_the_list() {
    let show = stage();
    let view = View::new(Mode::Brief, Some(CueId(0)));
    let mut few_points = SceneStore::<16, 1024, 512>::new();
    assert_eq!(compose(&show, &view, &mut few_points.scene()).unwrap_err().list, "points");
    let mut few_contours = SceneStore::<4096, 4, 512>::new();
    assert_eq!(compose(&show, &view, &mut few_contours.scene()).unwrap_err().list, "contours");
    let mut few_shapes = SceneStore::<4096, 1024, 3>::new();
    assert_eq!(compose(&show, &view, &mut few_shapes.scene()).unwrap_err().list, "shapes");
}

/// The box lends 2048 points, 512 contours and 256 shapes.
#[test]
fn every_view_of_the_small_stage_fits_the_box() {
    let mut most = (0, 0, 0);
    every_view(&stage(), |_, scene| {
        let contours = scene.shapes().iter().flat_map(|s| scene.contours_of(s));
        let (n, points) = contours.fold((0, 0), |(n, sum), c| (n + 1, sum + scene.points_of(c).len()));
        most = (most.0.max(points), most.1.max(n), most.2.max(scene.shapes().len()));
    });
    assert!(most.0 <= 2048 && most.1 <= 512 && most.2 <= 256, "{most:?}");
}

#[test]
fn the_pulse_is_within_a_level_of_a_true_sine() {
    let mut last = 256;
    for phase in 0..=255_u8 {
        let cos = libm::cos(f64::from(phase) * core::f64::consts::TAU / 256.0);
        let want = 255.0 * (1.0 - f64::from(pulse::DEPTH) * 0.5 * (1.0 - cos));
        let got = i32::from(pulse::envelope(phase));
        assert!((f64::from(got) - want).abs() <= 1.0, "{phase}: {got} {want}");
        assert!(phase > 128 || got <= last, "{phase}");
        last = got;
    }
    assert_eq!((pulse::envelope(0), pulse::envelope(128)), (255, 102));
}

/// The ink on top at a place.
fn ink_at(scene: &Scene<'_>, q: crate::geom::StagePoint) -> Rgba {
    let covered = |s: &&crate::paint::scene::Shape| cover(scene, scene.contours_of(s), q) > 0;
    scene.shapes().iter().rev().find(covered).map_or(Rgba::CLEAR, |s| s.ink)
}

/// What one panel of 0.5 m shows, as a square of samples from its upstage stage-right corner.
fn panel(scene: &Scene<'_>, column: i32, row: i32, (x0, y0): (f32, f32)) -> Vec<Vec<Rgba>> {
    let at = |i: i32, j: i32| {
        let (u, v) = ((i as f32 + 0.5) / 24.0, (j as f32 + 0.5) / 24.0);
        p(x0 + 0.5 * (column as f32 + u), y0 + 0.5 * (row as f32 + 1.0 - v))
    };
    (0..24).map(|j| (0..24).map(|i| ink_at(scene, at(i, j))).collect()).collect()
}

fn quarter_turn(picture: &[Vec<Rgba>]) -> Vec<Vec<Rgba>> {
    (0..24).map(|j| (0..24).map(|i| picture[i][23 - j]).collect()).collect()
}

fn differing(a: &[Vec<Rgba>], b: &[Vec<Rgba>]) -> usize {
    a.iter().flatten().zip(b.iter().flatten()).filter(|(x, y)| x != y).count()
}

#[test]
fn a_panel_that_is_turned_or_swapped_shows() {
    let show = floor(6, 6, 128);
    let pictures: Vec<_> = with_scene(&show, &View::new(Mode::Build, None), |scene| {
        (0..36).map(|n| panel(scene, n % 6, n / 6, (-1.5, -1.5))).collect()
    });
    for (i, picture) in pictures.iter().enumerate() {
        let mut turned = picture.clone();
        for quarter in 1..4 {
            turned = quarter_turn(&turned);
            let n = differing(picture, &turned);
            assert!(n >= 29, "panel {} turned by {quarter} quarters differs in {n} of 576", i + 1);
        }
        for (j, other) in pictures.iter().enumerate().skip(i + 1) {
            let n = differing(picture, other);
            assert!(n >= 12, "panels {} and {} differ in {n} of 576", i + 1, j + 1);
        }
    }
}

#[test]
fn a_big_floor_gets_every_nth_number_within_its_count() {
    for (columns, rows, px, most) in [(20, 16, 128, 36), (30, 20, 48, 36), (60, 40, 48, 36), (6, 6, 128, 36)] {
        let show = floor(columns, rows, px);
        let view = View { panel_numbers: most, ..View::new(Mode::Build, None) };
        let numbered = with_scene(&show, &view, |scene| {
            let plates = scene.shapes().windows(2).filter(|w| w[0].ink == ink::KEY && w[1].ink == ink::TEXT);
            plates.count()
        });
        // Four letters, the arrow and its letters, the ruler and its letters.
        let numbers = numbered - 8;
        assert!(numbers <= usize::from(most) && numbers * 3 >= usize::from(most), "{columns} x {rows}: {numbers}");
    }
}

#[test]
fn inks_keep_their_names_apart() {
    let inks = [ink::KEY, ink::PROP, ink::EDGE, ink::TEXT];
    let whos = super::stage::WHOS.map(ink::of);
    let all: BTreeSet<_> = inks.iter().chain(&whos).map(|c| (c.r, c.g, c.b)).collect();
    assert_eq!(all.len(), inks.len() + whos.len());
}
