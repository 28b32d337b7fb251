//! Dance numbers: where they stand, who reads them, and what gives way to them.

use std::vec::Vec;

use super::p;
use super::stage::{floor, stage};
use crate::geom::StagePoint;
use crate::look::frame::Frame;
use crate::look::numbers::Numbers;
use crate::look::sheet::Sheet;
use crate::look::{Sizes, View, compose, edges, glyphs, ink};
use crate::paint::{Scene, SceneStore};
use crate::show::{CueId, Entry, Mode, Passage, Show};

fn numbered(mut show: Show, step_m: f32) -> Show {
    show.look.numbers_m = step_m;
    show
}

/// Number and place, in order of the places from stage right.
fn row(show: &Show) -> Vec<(u16, StagePoint)> {
    let numbers = Numbers::of(show, &Sizes::of(show)).unwrap();
    let mut all: Vec<_> = numbers.all().map(|n| (n.count, n.at)).collect();
    all.sort_by(|a, b| a.1.x.total_cmp(&b.1.x));
    all
}

/// Common practice: 0 on the centre line, the same numbers to both sides, in the band that nobody stands in.
#[test]
fn numbers_count_the_steps_from_the_centre_to_both_sides() {
    let whole = row(&numbered(floor(20, 16, 128), 1.0));
    assert_eq!(whole.iter().map(|n| n.0).collect::<Vec<_>>(), [4, 3, 2, 1, 0, 1, 2, 3, 4]);
    for (i, (_, at)) in whole.iter().enumerate() {
        assert!((at.x - (i as f32 - 4.0)).abs() < 1e-6);
        // The edge is at -4 and the band 0.3 m wide.
        assert!(at.y - 0.1 > -4.0 && at.y + 0.1 < -3.7, "{at:?}");
    }
    let half = row(&numbered(floor(20, 16, 128), 0.5));
    assert_eq!(half.len(), 19);
    assert!(half.iter().all(|&(count, at)| (at.x.abs() - 0.5 * f32::from(count)).abs() < 1e-6));
    assert!(Numbers::of(&floor(20, 16, 128), &Sizes::of(&floor(20, 16, 128))).is_none());
}

#[test]
fn a_front_that_steps_back_takes_its_numbers_along_and_a_doorway_has_none() {
    let mut show = numbered(floor(20, 16, 128), 1.0);
    // The middle 5 m run a metre farther downstage.
    show.floor.vertices.clear();
    show.floor.vertices.extend(
        [(-5.0, -3.0), (-2.5, -3.0), (-2.5, -4.0), (2.5, -4.0), (2.5, -3.0), (5.0, -3.0), (5.0, 4.0), (-5.0, 4.0)]
            .map(|(x, y)| p(x, y)),
    );
    let edges = [crate::show::Edge::Open; 8];
    show.floor.edges.clear();
    show.floor.edges.extend(edges);
    for (_, at) in row(&show) {
        let edge = if at.x.abs() < 2.5 { -4.0 } else { -3.0 };
        assert!(at.y > edge && at.y < edge + 0.3, "{at:?}");
    }
    let before = row(&show).len();
    let entry = Entry { name: "front".try_into().unwrap(), at: p(2.0, -4.0), width_m: 0.9, passage: Passage::Both };
    show.entries.push(entry).unwrap();
    assert_eq!(row(&show).len(), before - 1);
    assert!(row(&show).iter().all(|n| n.1.x != 2.0));
}

fn lit(scene: &Scene<'_>, q: StagePoint) -> bool {
    let light = scene.shapes().iter().filter(|s| s.ink == ink::TEXT);
    light.map(|s| super::cover(scene, scene.contours_of(s), q)).any(|c| c > 0)
}

/// A 1 has its foot towards its reader: performers look downstage, so the foot is upstage and the flag, which is to
/// the left of a 1, is stage left.
#[test]
fn performers_read_them_looking_downstage() {
    let show = numbered(floor(20, 16, 128), 1.0);
    let numbers = Numbers::of(&show, &Sizes::of(&show)).unwrap();
    let mut store = SceneStore::<4096, 512, 64>::new();
    let mut scene = store.scene();
    numbers.draw(&mut Sheet::whole(&mut scene), 255).unwrap();
    let one = numbers.all().find(|n| n.count == 1 && n.at.x < 0.0).unwrap().at;
    // The reader's frame: ahead is downstage.
    let reader = Frame::facing(one, 270.0);
    let unit = (0.12 / glyphs::WIDTH, 0.20 / glyphs::HEIGHT);
    let place = |right: f32, up: f32| reader.at((up - 3.5) * unit.1, -(right - 2.5) * unit.0);
    // Grid places on the strokes of a 1: (0.5, 4.5)-(2.5, 6.5)-(2.5, 1.5) and its foot (0.5, 0.5)-(4.5, 0.5).
    for (right, up, want) in
        [(2.5, 3.0, true), (0.6, 0.5, true), (4.4, 0.5, true), (0.6, 4.6, true), (4.4, 4.6, false), (4.4, 6.0, false)]
    {
        assert_eq!(lit(&scene, place(right, up)), want, "({right}, {up})");
    }
}

#[test]
fn they_are_drawn_in_briefings_standby_and_breaks_alone() {
    let show = numbered(stage(), 0.5);
    let zero = row(&show).iter().find(|n| n.0 == 0).unwrap().1;
    // On the left stroke of the 0, which has no label near it.
    let stroke = p(zero.x + 2.0 * 0.12 / glyphs::WIDTH, zero.y);
    let shown = |mode| {
        let mut store = SceneStore::<8192, 1024, 256>::new();
        let mut scene = store.scene();
        compose(&show, &View { labels: false, ..View::new(mode, Some(CueId(0))) }, &mut scene).unwrap();
        lit(&scene, stroke)
    };
    let modes = [Mode::Brief, Mode::Standby, Mode::Reset, Mode::Air, Mode::Off, Mode::Worklight];
    assert_eq!(modes.map(shown), [true, true, true, false, false, false]);
}

#[test]
fn ticks_of_the_edge_give_way() {
    let ticks = |show: &Show| {
        let mut store = SceneStore::<4096, 512, 64>::new();
        let mut scene = store.scene();
        edges::draw(&mut Sheet::whole(&mut scene), &Sizes::of(show), show, 255).unwrap();
        let core = scene.shapes()[1];
        (-480..480)
            .map(|i| p(i as f32 * 0.01 + 0.005, -4.0 + 0.3 - 0.06))
            .filter(|&q| super::cover(&scene, scene.contours_of(&core), q) > 0)
            .collect::<Vec<_>>()
    };
    let plain = floor(20, 16, 128);
    let show = numbered(floor(20, 16, 128), 0.5);
    let plates: Vec<StagePoint> = row(&show).iter().map(|n| n.1).collect();
    let on_plate = |q: &&StagePoint| plates.iter().any(|n| (n.x - q.x).abs() < 0.07);
    assert!(ticks(&plain).iter().filter(on_plate).count() > 0, "no tick of this floor meets a number");
    assert_eq!(ticks(&show).iter().filter(on_plate).count(), 0);
    assert!(!ticks(&show).is_empty() || ticks(&plain).iter().all(|q| on_plate(&q)));
}
