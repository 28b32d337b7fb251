//! Walk lines: places by arc length.

use std::vec::Vec;

use super::{area, assert_points, p, polygons};
use crate::geom::StagePoint;
use crate::look::lines::steps;
use crate::look::sheet::Sheet;
use crate::look::{Sizes, lines};
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
    let got: Vec<StagePoint> = steps(Path::new(&bend), 0.3, 0.0).map(|s| s.at).collect();
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
    for (k, step) in got.iter().enumerate() {
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
fn drift_moves_dots_along_and_never_past_the_end() {
    let straight = through([p(0.0, 0.0), p(1.0, 0.0)]);
    let got: Vec<StagePoint> = steps(Path::new(&straight), 0.5, 0.25).map(|s| s.at).collect();
    assert_points(&got, &[(0.25, 0.0), (0.75, 0.0)]);
}

#[test]
fn a_chevron_points_along_the_way() {
    let straight = through([p(0.0, 0.0), p(0.0, 1.0)]);
    let draw = |scene: &mut Sheet<'_, '_>| {
        lines::draw(
            scene,
            &SIZES,
            (&line(Dots::Chevrons, 2.0), &straight),
            (crate::look::ink::TEXT, 0, false),
            [None; 2],
        )
    };
    let got = polygons(draw);
    // One chevron: keyline, core. Tip ahead (upstage), 0.1 m long and wide, notch in the middle.
    let core = [(0.0, 0.05), (-0.05, 0.0), (-0.05, -0.05), (0.0, 0.0), (0.05, -0.05), (0.05, 0.0)];
    assert_points(&got[1], &core);
    assert!(area(&got[0]) > area(&got[1]) && area(&got[1]) > 0.0);
}

#[test]
fn dots_keep_clear_of_the_mark() {
    let straight = through([p(0.0, 0.0), p(2.0, 0.0)]);
    let mut store = SceneStore::<64, 64, 8>::new();
    let mut scene = store.scene();
    let ends = [None, Some((p(2.0, 0.0), 0.4))];
    let line = line(Dots::Discs, 0.5);
    lines::draw(&mut Sheet::whole(&mut scene), &SIZES, (&line, &straight), (crate::look::ink::TEXT, 0, false), ends)
        .unwrap();
    let core = scene.shapes()[1];
    let dots: Vec<StagePoint> = scene
        .contours_of(&core)
        .iter()
        .filter_map(|c| match c {
            Contour::Ellipse { centre, .. } => Some(*centre),
            Contour::Polygon { .. } => None,
        })
        .collect();
    assert_points(&dots, &[(0.0, 0.0), (0.5, 0.0), (1.0, 0.0), (1.5, 0.0)]);
}
