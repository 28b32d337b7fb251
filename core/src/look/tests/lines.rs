//! Walk lines: places by arc length.

use std::vec::Vec;

use super::{area, assert_points, p, polygons};
use crate::geom::StagePoint;
use crate::look::lines::{Form, Way, flow_m, steps};
use crate::look::sheet::Sheet;
use crate::look::{Sizes, ink, lines};
use crate::paint::SceneStore;
use crate::paint::scene::Contour;
use crate::show::{Dots, Line, LinePoint, Run, Who};
use crate::walk::Path;

const SIZES: Sizes = Sizes { line_m: 0.05, keyline_m: 0.012, pitch_m: 0.004, tolerance_m: 0.001 };

fn line(dots: Dots, spacing_m: f32) -> Line {
    let points = Run { first: 0, len: 2 };
    Line {
        name: "way".try_into().unwrap(),
        points,
        dots,
        dot_m: 0.1,
        spacing_m,
        corridor_m: 0.9,
        who: Who::WhiteCircle,
        planned: false,
    }
}

/// A line through these points.
fn through<const N: usize>(points: [StagePoint; N]) -> [LinePoint; N] {
    points.map(LinePoint::sharp)
}

#[test]
fn steps_count_arc_length_round_the_corner() {
    let bend = through([p(0.0, 0.0), p(1.0, 0.0), p(1.0, 1.0)]);
    let got: Vec<StagePoint> = steps(Path::new(&bend), 0.3, 0.0).map(|(_, s)| s.at).collect();
    let want = [(0.0, 0.0), (0.3, 0.0), (0.6, 0.0), (0.9, 0.0), (1.0, 0.2), (1.0, 0.5), (1.0, 0.8)];
    assert_points(&got, &want);
}

/// A wheelchair's way in the invented 10 m studio: 9.33 m with a bend of right angles (worked out by hand:
/// 3.1257 + 2.1 + 3.0 + 1.1045).
#[test]
fn a_long_line_has_a_dot_every_half_metre() {
    let way = [p(-5.0, 0.2), p(-1.9, 0.6), p(-1.9, 2.7), p(1.1, 2.7), p(2.2, 2.6)];
    let points = through(way);
    assert!((Path::new(&points).length_m() - 9.3302).abs() < 1e-3);
    let got: Vec<_> = steps(Path::new(&points), 0.5, 0.0).collect();
    assert_eq!(got.len(), 19);
    for (k, (_, step)) in got.iter().enumerate() {
        let along: f32 = arc_length(&way, step.at);
        assert!((along - 0.5 * k as f32).abs() < 1e-4, "{k}: {along}");
    }
}

/// Arc length of the place on the line that is nearest to `q`, leg by leg.
fn arc_length(points: &[StagePoint], q: StagePoint) -> f32 {
    let mut before = 0.0;
    let mut best = (f32::INFINITY, 0.0);
    for w in points.windows(2) {
        let (d, len) = (w[1] - w[0], w[0].distance(w[1]));
        let t = ((q - w[0]).dot(d) / d.dot(d)).clamp(0.0, 1.0);
        let off = q.distance(w[0] + d * t);
        if off < best.0 - 1e-6 {
            best = (off, before + len * t);
        }
        before += len;
    }
    best.1
}

#[test]
fn flow_moves_dots_along_and_never_past_the_end() {
    let straight = through([p(0.0, 0.0), p(1.0, 0.0)]);
    let got: Vec<StagePoint> = steps(Path::new(&straight), 0.5, 0.25).map(|(_, s)| s.at).collect();
    assert_points(&got, &[(0.25, 0.0), (0.75, 0.0)]);
}

/// Place and heading at `s` metres from `a` round one corner of radius `r` at `c` towards `b`, in double precision:
/// on the arc the tangent is turned, and the place is the tangent's integral.
fn round_corner([a, c, b]: [[f64; 2]; 3], r: f64, s: f64) -> ([f64; 2], [f64; 2]) {
    let unit = |p: [f64; 2], q: [f64; 2]| {
        let (x, y) = (q[0] - p[0], q[1] - p[1]);
        let length = x.hypot(y);
        ([x / length, y / length], length)
    };
    let ((u, first), (v, _)) = (unit(a, c), unit(c, b));
    let turn = (u[0] * v[1] - u[1] * v[0]).atan2(u[0] * v[0] + u[1] * v[1]);
    let (tangent, side) = (r * (turn.abs() / 2.0).tan(), turn.signum());
    let n = [-u[1] * side, u[0] * side];
    let on = |p: [f64; 2], w: [f64; 2], m: f64| [p[0] + w[0] * m, p[1] + w[1] * m];
    let begin = on(c, u, -tangent);
    let (straight, arc) = (first - tangent, r * turn.abs());
    if s <= straight {
        return (on(a, u, s), u);
    }
    if s <= straight + arc {
        let angle = (s - straight) / r;
        let place = on(on(begin, u, r * angle.sin()), n, r * (1.0 - angle.cos()));
        return (place, [u[0] * angle.cos() + n[0] * angle.sin(), u[1] * angle.cos() + n[1] * angle.sin()]);
    }
    (on(on(c, v, tangent), v, s - straight - arc), v)
}

#[test]
fn dots_lie_at_even_arc_lengths_round_a_bend_and_turn_with_it() {
    for (a, c, b, r) in [
        ([-3.0, 0.5], [0.4, -0.7], [2.0, 2.5], 0.9),
        ([4.0, -2.0], [0.0, 0.0], [4.5, 1.0], 0.35),
        ([0.0, 0.0], [2.0, 0.1], [5.0, -0.9], 6.0),
        ([1.0, -4.0], [1.2, 0.0], [-2.0, 0.3], 1.4),
    ] {
        let at = |q: [f64; 2]| p(q[0] as f32, q[1] as f32);
        let points = [LinePoint::sharp(at(a)), LinePoint { at: at(c), bend_m: r }, LinePoint::sharp(at(b))];
        let got: Vec<_> = steps(Path::new(&points), 0.5, 0.13).collect();
        assert!(got.len() >= 8, "{got:?}");
        for (k, (s_m, spot)) in got.iter().enumerate() {
            let (place, way) = round_corner([a, c, b], f64::from(r), 0.13 + 0.5 * k as f64);
            let off = (f64::from(spot.at.x) - place[0]).hypot(f64::from(spot.at.y) - place[1]);
            let turned = f64::from(spot.way.x) * way[0] + f64::from(spot.way.y) * way[1];
            assert!(off < 1e-5 && turned > 1.0 - 1e-6, "{k} of {c:?}: {off} m off, {turned}");
            assert!((f64::from(*s_m) - (0.13 + 0.5 * k as f64)).abs() < 1e-5);
        }
    }
}

fn drawn(line: &Line, points: &[LinePoint], form: Form, first_m: f32, room_m: impl Fn(StagePoint) -> f32) -> Vec<Dot> {
    let mut store = SceneStore::<512, 256, 8>::new();
    let mut scene = store.scene();
    let way = Way { line, path: Path::new(points), ink: ink::TEXT, form, first_m };
    lines::draw(&mut Sheet::whole(&mut scene), &SIZES, &way, |spot| room_m(spot.at)).unwrap();
    let core = scene.shapes()[1];
    let discs = scene.contours_of(&core).iter().filter_map(|c| match c {
        Contour::Ellipse { centre, u, .. } => Some(Dot { at: *centre, size_m: 2.0 * u.length() }),
        Contour::Polygon { .. } => None,
    });
    discs.collect()
}

#[derive(Clone, Copy, Debug)]
struct Dot {
    at: StagePoint,
    size_m: f32,
}

#[test]
fn a_chevron_points_along_the_way() {
    let straight = through([p(0.0, 0.0), p(0.0, 1.0)]);
    let line = line(Dots::Chevrons, 2.0);
    let way = Way { line: &line, path: Path::new(&straight), ink: ink::TEXT, form: Form::Steady, first_m: 0.0 };
    let got = polygons(|scene| lines::draw(scene, &SIZES, &way, |_| 1.0));
    // One chevron: keyline, core. Tip ahead (upstage), 0.1 m long and wide, notch in the middle.
    let core = [(0.0, 0.05), (-0.05, 0.0), (-0.05, -0.05), (0.0, 0.0), (0.05, -0.05), (0.05, 0.0)];
    assert_points(&got[1], &core);
    assert!(area(&got[0]) > area(&got[1]) && area(&got[1]) > 0.0);
}

#[test]
fn standing_dots_without_room_are_left_out_whole() {
    let straight = through([p(0.0, 0.0), p(2.0, 0.0)]);
    let dots = drawn(&line(Dots::Discs, 0.5), &straight, Form::Steady, 0.0, |at| 1.6 - at.x);
    let at: Vec<StagePoint> = dots.iter().map(|d| d.at).collect();
    assert_points(&at, &[(0.0, 0.0), (0.5, 0.0), (1.0, 0.0), (1.5, 0.0)]);
    assert!(dots.iter().all(|d| (d.size_m - 0.1).abs() < 1e-6));
}

/// 0.9 m/s for an hour and a quarter of a second is 3240.225 m: 0.225 m more than 6480 steps of half a metre.
#[test]
fn dots_flow_at_the_walkers_pace_for_hours() {
    for (pace, spacing, ms, want) in [
        (0.9, 0.5, 0, 0.0),
        (0.9, 0.5, 100, 0.09),
        (0.9, 0.5, 3_600_250, 0.225),
        (0.6, 0.5, 1_000, 0.1),
        // No faster than 1.5 m/s, and no more than three past one place in a second.
        (5.0, 0.7, 100, 0.15),
        (1.2, 0.3, 100, 0.09),
        (0.8, 0.3, 100, 0.08),
    ] {
        let got = flow_m(pace, spacing, ms);
        assert!((got - want).abs() < 1e-6, "{pace} m/s, {spacing} m, {ms} ms: {got}");
    }
}

/// Frame by frame at 50 a second no dot comes, goes or changes its size by more than twice what it moves.
#[test]
fn nothing_blinks_while_it_flows() {
    let points =
        [LinePoint::sharp(p(-2.0, 0.0)), LinePoint { at: p(0.5, 0.0), bend_m: 0.8 }, LinePoint::sharp(p(0.5, 2.0))];
    let line = line(Dots::Discs, 0.5);
    let gap = |at: StagePoint| at.distance(p(-0.5, 0.0)) - 0.2;
    let (pace, frame_s) = (0.9, 0.02);
    let frames = (0..60).map(|i| drawn(&line, &points, Form::Flowing, flow_m(pace, 0.5, i * 20), gap));
    let frames: Vec<Vec<Dot>> = frames.collect();
    let near = |dot: &Dot, next: &[Dot]| {
        // Dots below 15 % are not drawn: 15 mm of 0.1 m may go in one frame.
        let most_m = 2.0 * pace * frame_s + 0.0151;
        dot.size_m < most_m
            || next.iter().any(|d| {
                d.at.distance(dot.at) < pace * frame_s + 1e-4
                    && (d.size_m - dot.size_m).abs() < 2.0 * pace * frame_s + 1e-4
            })
    };
    for (i, pair) in frames.windows(2).enumerate() {
        assert!(pair[0].iter().all(|d| near(d, &pair[1])), "frame {i}: {pair:?}");
        assert!(pair[1].iter().all(|d| near(d, &pair[0])), "frame {i}: {pair:?}");
    }
    assert!(frames.iter().flatten().any(|d| d.size_m < 0.05) && frames.iter().flatten().any(|d| d.size_m > 0.0999));
    assert!(
        frames.iter().flatten().all(|d| d.at.distance(p(-0.5, 0.0)) > 0.1),
        "dots are gone where they have no room"
    );
}
