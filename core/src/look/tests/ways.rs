//! Lines of one view together: dots never fall on marks or on each other, and each line stays readable.

use std::vec::Vec;

use super::p;
use super::stage::{WHOS, floor, mark};
use crate::geom::StagePoint;
use crate::look::ink;
use crate::look::{MarkState, View, compose};
use crate::paint::SceneStore;
use crate::paint::scene::Contour;
use crate::show::*;

/// A floor of 10 m by 8 m with these lines from mark to mark, each walked by a person of its own in one cue.
fn crossing(lines: &[&[StagePoint]], paces: &[f32]) -> Show {
    let mut show = floor(20, 16, 64);
    for (i, points) in lines.iter().enumerate() {
        let class = PersonClass {
            name: "mid".try_into().unwrap(),
            height_m: 1.72,
            eye_m: 1.6,
            radius_m: 0.25,
            walk_width_m: 0.9,
            pace_mps: paces[i],
            chair_m: None,
        };
        show.classes.push(class).unwrap();
        let person =
            Person { name: "role".try_into().unwrap(), class: ClassId(i as u8), who: WHOS[i], sight: Sight::Typical };
        show.people.push(person).unwrap();
        show.marks.push(mark(*points.last().unwrap(), 90.0, MarkKind::Ring)).unwrap();
        let run = Run { first: show.line_points.len() as u16, len: points.len() as u16 };
        show.line_points.extend(points.iter().copied().map(LinePoint::sharp));
        let line = Line {
            name: "way".try_into().unwrap(),
            points: run,
            dots: Dots::Discs,
            dot_m: 0.1,
            spacing_m: 0.5,
            corridor_m: 0.9,
            who: WHOS[i],
            planned: false,
        };
        show.lines.push(line).unwrap();
        let place = CuePlace { person: PersonId(i as u8), mark: Some(MarkId(i as u8)), line: Some(LineId(i as u8)) };
        show.cue_places.push(place).unwrap();
    }
    let places = Run { first: 0, len: lines.len() as u16 };
    show.cues.push(Cue { number: 100, mode: Mode::Standby, places, ..Cue::default() }).unwrap();
    show.validate().unwrap();
    show
}

/// Dots in the colour of each person, as they lie on the floor.
fn dots(show: &Show, view: &View) -> Vec<Vec<(StagePoint, f32)>> {
    let mut store = SceneStore::<4096, 1024, 256>::new();
    let mut scene = store.scene();
    compose(show, view, &mut scene).unwrap();
    let of = |who: Who| {
        let shapes = scene.shapes().iter().filter(|s| s.ink == ink::of(who));
        let discs = shapes.flat_map(|s| scene.contours_of(s)).filter_map(|c| match c {
            Contour::Ellipse { centre, u, .. } if u.length() < 0.06 => Some((*centre, u.length())),
            _ => None,
        });
        discs.collect()
    };
    WHOS.iter().take(show.lines.len()).map(|&who| of(who)).collect()
}

const STANDING: View = View::new(Mode::Standby, Some(CueId(0))).with_all(MarkState::Steady);

fn never_touch(all: &[Vec<(StagePoint, f32)>]) {
    let flat: Vec<_> = all.iter().flatten().collect();
    for (i, a) in flat.iter().enumerate() {
        for b in &flat[i + 1..] {
            assert!(a.0.distance(b.0) > a.1 + b.1, "{a:?} touches {b:?}");
        }
    }
}

#[test]
fn where_lines_cross_the_second_goes_beneath() {
    let show = crossing(&[&[p(-3.0, 0.0), p(3.0, 0.0)], &[p(0.1, -3.0), p(0.1, 3.0)]], &[0.9, 0.7]);
    // 13 places each: the last lies on a mark, and the second line's seventh on the crossing.
    let all = dots(&show, &STANDING);
    never_touch(&all);
    let quarters = |along: f32| (along * 4.0).round() as i32;
    let first: Vec<i32> = all[0].iter().map(|d| quarters(d.0.x)).collect();
    let second: Vec<i32> = all[1].iter().map(|d| quarters(d.0.y)).collect();
    assert_eq!(first, (-6..6).map(|k| 2 * k).collect::<Vec<_>>());
    assert_eq!(second, (-6..6).filter(|k| *k != 0).map(|k| 2 * k).collect::<Vec<_>>());
    // Flowing, its dots pass beneath the first line's.
    for i in 0..40 {
        let all = dots(&show, &STANDING.flowing(i as f32 * 0.05));
        never_touch(&all);
        assert!(all[0].len() >= 11 && all[1].len() >= 10, "{all:?}");
        assert!(all[1].iter().all(|(at, radius_m)| at.y.abs() + 0.05 > 0.1 || *radius_m < 0.03), "{all:?}");
    }
}

#[test]
fn lines_on_one_way_show_their_dots_in_turn() {
    let way: &[StagePoint] = &[p(-4.0, 0.0), p(0.0, 0.0), p(0.0, 3.0)];
    let far: &[StagePoint] = &[p(-4.0, 0.0), p(0.0, 0.0), p(0.0, 3.0), p(2.0, 3.0)];
    let show = crossing(&[way, far, far], &[0.8, 0.6, 0.9]);
    let all = dots(&show, &STANDING);
    never_touch(&all);
    let eighths = |line: usize| all[line].iter().take(3).map(|d| (d.0.x * 8.0).round() as i32).collect::<Vec<_>>();
    assert_eq!([eighths(0), eighths(1)], [[-32, -28, -24], [-30, -26, -22]]);
    assert!(eighths(2).iter().all(|e| e % 2 != 0), "{:?}", all[2]);
    // The way back along the same line.
    let back: &[StagePoint] = &[p(0.0, 3.0), p(0.0, 0.0), p(-4.0, 0.0)];
    let all = dots(&crossing(&[way, back], &[0.8, 0.6]), &STANDING);
    never_touch(&all);
    assert!(all[0].len() > 10 && all[1].len() > 10, "{all:?}");
}

#[test]
fn no_dot_lies_on_anybodys_mark() {
    // The second line runs past the first's mark at (3, 0), whose ring and shape reach 0.3 m at most here.
    let show = crossing(&[&[p(-3.0, 0.0), p(3.0, 0.0)], &[p(3.05, -3.0), p(3.05, 3.0)]], &[0.9, 0.9]);
    let all = dots(&show, &STANDING);
    for (at, radius_m) in all.iter().flatten() {
        for mark in &show.marks {
            assert!(at.distance(mark.at) - radius_m > 0.25, "{at:?} lies on {:?}", mark.at);
        }
    }
    assert!(all[1].iter().any(|d| d.0.y < -0.4) && all[1].iter().any(|d| d.0.y > 0.4));
}

/// Each line flows at the pace of who walks there, not faster than 1.5 m/s.
#[test]
fn each_line_flows_at_its_own_pace() {
    let ways: [&[StagePoint]; 3] =
        [&[p(-4.0, -2.0), p(4.0, -2.0)], &[p(-4.0, 0.0), p(4.0, 0.0)], &[p(-4.0, 2.0), p(4.0, 2.0)]];
    let show = crossing(&ways, &[0.6, 0.9, 3.0]);
    let still = dots(&show, &STANDING);
    for elapsed_s in [0.1, 0.2, 0.3_f32] {
        let moved = dots(&show, &STANDING.flowing(elapsed_s));
        for (i, mps) in [0.6, 0.9, 1.5_f32].into_iter().enumerate() {
            let middle = still[i].iter().find(|d| d.0.x == 0.0).unwrap().0;
            let due = middle.x + mps * elapsed_s;
            assert!(moved[i].iter().any(|d| (d.0.x - due).abs() < 1e-4), "line {i} after {elapsed_s} s: {moved:?}");
        }
    }
    // Nothing has jumped at the start, and other modes do not flow.
    let start = dots(&show, &STANDING.flowing(0.0));
    assert!(start.iter().zip(&still).all(|(a, b)| b.iter().skip(1).all(|dot| a.contains(dot))));
    let reset = View { mode: Mode::Reset, cue: None, ..STANDING.flowing(0.3) };
    assert_eq!(dots(&show, &reset), dots(&show, &View { flow_ms: 0, ..reset }));
}
