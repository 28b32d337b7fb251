mod blocked;
mod replan;
mod route;
mod terrain;

mod least;
mod timing;

use std::vec::Vec;

use super::*;
use crate::geom::{StagePoint, Stretch};
use crate::show::LinePoint;

const fn p(x: f32, y: f32) -> StagePoint {
    StagePoint::new(x, y)
}

const fn round(x: f32, y: f32, bend_m: f32) -> LinePoint {
    LinePoint { at: p(x, y), bend_m }
}

const fn sharp(x: f32, y: f32) -> LinePoint {
    LinePoint::sharp(p(x, y))
}

/// Round a unit disc from (-2, 0) to (2, 0): 2 tangents of sqrt 3 and an arc of pi / 3, 4.511299 m (tangents and arc,
/// analytic). The two tangents rise by 30 degrees and meet at (0, 2 / sqrt 3).
#[test]
fn a_taut_way_round_a_disc_is_one_corner() {
    let points = [sharp(-2.0, 0.0), round(0.0, 1.154_700_5, 1.0), sharp(2.0, 0.0)];
    let path = Path::new(&points);
    assert!((path.length_m() - 4.511_299).abs() < 1e-5);
    let kinds: Vec<bool> = path.stretches().map(|s| matches!(s, Stretch::Arc { .. })).collect();
    assert_eq!(kinds, [false, true, false]);
    let middle = path.at(path.length_m() / 2.0);
    assert!(middle.at.distance(p(0.0, 1.0)) < 1e-5 && middle.way.dot(p(1.0, 0.0) - p(0.0, 0.0)) > 0.999_99);
    assert_eq!(path.at(-1.0).at, p(-2.0, 0.0));
    assert!(path.at(99.0).at.distance(p(2.0, 0.0)) < 1e-6);
    let bends: Vec<Bend> = path.bends().collect();
    assert_eq!(bends.len(), 1);
    assert!((bends[0].turn_deg + 60.0).abs() < 1e-3 && bends[0].at.distance(p(0.0, 1.0)) < 1e-5);
}

/// Half a turn round a unit disc as two corners of a quarter turn each, that share their middle leg to the end.
#[test]
fn half_a_turn_is_two_corners_and_one_bend() {
    let points = [sharp(-2.0, -1.0), round(1.0, -1.0, 1.0), round(1.0, 1.0, 1.0), sharp(-2.0, 1.0)];
    let path = Path::new(&points);
    assert!((path.length_m() - (4.0 + core::f32::consts::PI)).abs() < 1e-5);
    let bends: Vec<Bend> = path.bends().collect();
    assert_eq!(bends.len(), 1);
    assert!((bends[0].turn_deg - 180.0).abs() < 1e-3);
    assert!((bends[0].s_m - (2.0 + core::f32::consts::FRAC_PI_2)).abs() < 1e-4);
}

#[test]
fn sharp_corners_are_bends_of_their_own() {
    let points = [sharp(0.0, 0.0), sharp(1.0, 0.0), sharp(1.0, 1.0), sharp(2.0, 1.0)];
    let turns: Vec<f32> = Path::new(&points).bends().map(|b| b.turn_deg).collect();
    assert!((turns[0] - 90.0).abs() < 1e-3 && (turns[1] + 90.0).abs() < 1e-3 && turns.len() == 2);
    let places: Vec<f32> = Path::new(&points).bends().map(|b| b.s_m).collect();
    assert_eq!(places, [1.0, 2.0]);
}

#[test]
fn the_nearest_place_on_lines_arcs_and_beyond_the_ends() {
    let points = [sharp(-2.0, -1.0), round(1.0, -1.0, 1.0), sharp(1.0, 2.0)];
    let path = Path::new(&points);
    let quarter = core::f32::consts::FRAC_PI_2;
    // The arc's centre is the origin: it begins at (0, -1) and ends at (1, 0).
    for (q, s_m, distance_m) in [
        (p(-1.0, -3.0), 1.0, 2.0),
        (p(2.0, -2.0), 2.0 + quarter / 2.0, 8.0_f32.sqrt() - 1.0),
        (p(3.0, 1.0), 2.0 + quarter + 1.0, 2.0),
        (p(-5.0, -1.0), 0.0, 3.0),
        (p(1.0, 7.0), 2.0 + quarter + 2.0, 5.0),
    ] {
        let got = path.nearest(q).unwrap();
        assert!((got.0 - s_m).abs() < 1e-5 && (got.1 - distance_m).abs() < 1e-5, "{q:?}: {got:?}");
    }
}

#[test]
fn a_path_without_length_stands_still() {
    let points = [sharp(1.0, 2.0)];
    let path = Path::new(&points);
    assert_eq!((path.length_m(), path.nearest(p(0.0, 0.0)), path.bends().count()), (0.0, None, 0));
    assert_eq!(path.at(3.0).at, p(1.0, 2.0));
}
