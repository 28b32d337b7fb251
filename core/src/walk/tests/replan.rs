//! Whom a line is planned for, and where its points go.

use std::boxed::Box;
use std::vec::Vec;

use super::{p, sharp};
use crate::limits;
use crate::show::{Line, LineId, LinePoint, Name, PersonClass, Run, Show};
use crate::walk::replan::most_demanding;

fn class(radius_m: f32, walk_width_m: f32, pace_mps: f32, chair_m: Option<(f32, f32)>) -> PersonClass {
    PersonClass { name: Name::new(), height_m: 1.7, eye_m: 1.6, radius_m, walk_width_m, pace_mps, chair_m }
}

#[test]
fn a_line_is_planned_for_the_most_that_any_of_its_walkers_needs() {
    let quick = class(0.30, 0.9, 1.0, None);
    let chair = class(0.25, 1.2, 0.8, Some((0.7, 1.1)));
    let other_chair = class(0.20, 1.0, 0.9, Some((0.6, 1.2)));
    let all = most_demanding([&quick, &chair, &other_chair]);
    assert_eq!((all.radius_m, all.walk_width_m, all.pace_mps), (0.30, 1.2, 0.8));
    assert_eq!(all.chair_m, Some((0.7, 1.2)));
    assert_eq!(most_demanding([]).radius_m, 0.25);
}

/// Three lines of 2, 3 and 2 points; each has its own number as x.
fn three() -> Box<Show> {
    let mut show = Box::new(Show::vacant());
    for (line, len) in [2_u16, 3, 2].into_iter().enumerate() {
        let points = Run { first: show.line_points.len() as u16, len };
        (0..len).for_each(|i| show.line_points.push(sharp(line as f32, f32::from(i))).unwrap());
        let (name, who) = (Name::new(), Default::default());
        let sizes = (0.1, 0.5, 0.9);
        let (dot_m, spacing_m, corridor_m) = sizes;
        let dots = Default::default();
        show.lines.push(Line { name, points, dots, dot_m, spacing_m, corridor_m, who, planned: true }).unwrap();
    }
    show
}

#[test]
fn a_line_gets_other_points_and_its_neighbours_keep_theirs() {
    let of = |show: &Show, line: usize| show.points_of(&show.lines[line]).to_vec();
    let before = three();
    for len in 0..6 {
        let mut show = three();
        let points: Vec<LinePoint> = (0..len).map(|i| sharp(7.0, i as f32)).collect();
        assert!(show.put_line(LineId(1), &points));
        assert_eq!((of(&show, 1), of(&show, 0), of(&show, 2)), (points, of(&before, 0), of(&before, 2)));
        assert_eq!(show.line_points.len(), 4 + len);
        assert!(show.put_line(LineId(1), &of(&before, 1)));
        assert_eq!(show, before, "and back");
    }
}

#[test]
fn what_does_not_fit_changes_nothing() {
    let (mut show, before) = (three(), three());
    let many = std::vec![LinePoint::sharp(p(0.0, 0.0)); limits::LINE_POINTS - 3];
    assert!(!show.put_line(LineId(1), &many) && !show.put_line(LineId(3), &many[..1]));
    assert_eq!(show, before);
    assert!(show.put_line(LineId(1), &many[1..]));
    assert_eq!(show.line_points.len(), limits::LINE_POINTS);
}
