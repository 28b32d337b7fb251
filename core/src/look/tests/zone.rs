//! In-shot outlines, crew lines and scenic pools: where they lie, and how dark.

use std::vec::Vec;

use super::stage::stage;
use super::{area, cover, p};
use crate::geom::StagePoint;
use crate::look::{Sizes, View, compose, ink, scenic, wedge, zone};
use crate::paint::SceneStore;
use crate::show::{CueId, Mode, Who};

type Store = SceneStore<4096, 1024, 64>;

const WHOS: [Who; 4] = [Who::WhiteCircle, Who::AmberSquare, Who::CyanTriangle, Who::MagentaDiamond];

/// A square of 2 m with many points along its sides, and a square hole of 0.5 m.
fn rings() -> [Vec<StagePoint>; 2] {
    let square = |half: f32, steps: u8| {
        let corners = [p(-half, -half), p(half, -half), p(half, half), p(-half, half)];
        let along = |i: usize, k: u8| {
            let (a, b) = (corners[i], corners[(i + 1) % 4]);
            a + (b - a) * (f32::from(k) / f32::from(steps))
        };
        (0..4).flat_map(|i| (0..steps).map(move |k| along(i, k))).collect::<Vec<_>>()
    };
    let hole: Vec<StagePoint> = square(0.25, 3).into_iter().rev().collect();
    [square(1.0, 40), hole]
}

#[test]
fn the_outline_runs_on_the_zones_border_and_leaves_the_rest_dark() {
    let show = stage();
    let sizes = Sizes::of(&show);
    let half = sizes.half_m() * zone::THIN;
    for who in WHOS {
        let (mut store, rings) = (Store::new(), rings());
        let mut scene = store.scene();
        zone::draw(&mut scene, &sizes, rings.iter().map(Vec::as_slice), who, 255).unwrap();
        let light = scene.shapes()[1];
        assert_eq!((scene.shapes().len(), light.ink), (2, ink::of(who)));
        let lit = |q: StagePoint| cover(&scene, scene.contours_of(&light), q) > 0;
        // Half way between two signs the line alone is lit. Eleven signs on 8 m: 0.727 m apart.
        for k in 0..11 {
            let along = 8.0 / 11.0 * f32::from(k as u8 + 1);
            let (side, rest) = ((along / 2.0) as usize % 4, along % 2.0 - 1.0);
            let at =
                |off: f32| [p(rest, -1.0 + off), p(1.0 - off, rest), p(-rest, 1.0 - off), p(-1.0 + off, -rest)][side];
            if rest.abs() > 0.9 {
                continue;
            }
            let seen = [-1.5, -0.8, 0.8, 1.5].map(|k| lit(at(k * half)));
            assert_eq!(seen, [false, true, true, false], "{who:?} at {along} m");
        }
        assert!(lit(p(0.25, 0.1)) && lit(p(1.0, 1.0)) && !lit(p(0.0, 0.0)) && !lit(p(0.6, 0.6)), "{who:?}");
    }
}

/// Colour alone must not say who: without it the four outlines still differ.
#[test]
fn each_persons_signs_have_a_form_of_their_own() {
    let show = stage();
    let outline = |who| {
        let (mut store, rings) = (Store::new(), rings());
        let mut scene = store.scene();
        zone::draw(&mut scene, &Sizes::of(&show), rings.iter().take(1).map(Vec::as_slice), who, 255).unwrap();
        let light = scene.shapes()[1];
        let contours = scene.contours_of(&light);
        let corners: usize = contours.iter().map(|c| scene.points_of(c).len()).sum();
        let sum: f64 = contours.iter().map(|c| area(scene.points_of(c))).sum();
        (contours.len(), corners, (sum * 1e4) as i64)
    };
    let all: Vec<_> = WHOS.iter().map(|&who| outline(who)).collect();
    // Four sides with four corners each, and eleven signs: discs have no corners, triangles three, the others four.
    assert_eq!(all.iter().map(|o| o.1 - 16).collect::<Vec<_>>(), [0, 44, 33, 44]);
    assert!(all.iter().all(|o| o.0 == 15) && all[1].2 != all[3].2, "{all:?}");
}

#[test]
fn crew_lines_are_long_and_short_dashes_that_close_evenly() {
    let show = stage();
    let mut store = Store::new();
    let mut scene = store.scene();
    let corners = [p(-0.8, -0.8), p(0.8, -0.8), p(0.0, 0.9)];
    wedge::draw(&mut scene, &Sizes::of(&show), (&corners, true), 255).unwrap();
    let light = scene.shapes()[1];
    let length: f32 = 1.6 + 2.0 * 0.8_f32.hypot(1.7);
    let width = Sizes::of(&show).line_m * wedge::THIN;
    // Of each 0.61 m, 0.37 m is lit; the pattern is stretched evenly.
    let lit: f64 = scene.contours_of(&light).iter().map(|c| area(scene.points_of(c))).sum();
    let expected = f64::from(length * width) * 0.37 / 0.61;
    assert!((lit - expected).abs() < 1e-4, "{lit} is not {expected}");
}

/// WCAG 2.2 relative luminance and contrast: three steps over full white, in the drive of sRGB and in light.
#[test]
fn a_pool_stays_below_a_contrast_of_1_3() {
    let left = (1.0 - f64::from(scenic::INK.a) / 255.0).powi(scenic::STEPS_M.len() as i32);
    let luminance = |drive: f64| ((drive + 0.055) / 1.055).powf(2.4);
    for dark in [luminance(left), left] {
        let contrast = (1.0 + 0.05) / (dark + 0.05);
        assert!(contrast > 1.05 && contrast <= 1.3, "{contrast}");
    }
    assert_eq!((scenic::INK.r, scenic::INK.g, scenic::INK.b), (0, 0, 0), "only the content's own colours");
}

#[test]
fn pools_are_drawn_on_air_alone_and_only_where_asked() {
    let show = stage();
    let shapes = |mode, scenic| {
        let mut store = Store::new();
        let mut scene = store.scene();
        compose(&show, &View { scenic, ..View::new(mode, Some(CueId(0))) }, &mut scene).unwrap();
        let pools = scene.shapes().iter().filter(|s| s.ink == scenic::INK).count();
        (scene.shapes().len(), pools)
    };
    assert_eq!([shapes(Mode::Air, false), shapes(Mode::Air, true)], [(0, 0), (3, 3)]);
    assert_eq!(shapes(Mode::Standby, true), shapes(Mode::Standby, false));
    assert_eq!(shapes(Mode::Off, true), (0, 0));
}
