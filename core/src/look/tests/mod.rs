//! Tests of what is drawn: places worked out by hand, sums that must close, and scenes that hold together.

mod bands;
mod edges;
mod labels;
mod lines;
mod marks;
mod numbers;
mod props;
mod scenes;
mod stage;
mod sweeps;
mod walk;
mod ways;
mod who;
mod zone;

use std::vec::Vec;

use crate::geom::StagePoint;
use crate::look::sheet::Sheet;
use crate::paint::scene::Contour;
use crate::paint::{Scene, SceneFull, SceneStore};

type Store = SceneStore<4096, 1024, 256>;

fn p(x: f32, y: f32) -> StagePoint {
    StagePoint::new(x, y)
}

/// The polygons that `draw` adds, in order.
fn polygons(draw: impl FnOnce(&mut Sheet<'_, '_>) -> Result<(), SceneFull>) -> Vec<Vec<StagePoint>> {
    let mut store = Store::new();
    let mut scene = store.scene();
    draw(&mut Sheet::whole(&mut scene)).unwrap();
    let all = scene.shapes().iter().flat_map(|s| scene.contours_of(s));
    all.filter(|c| matches!(c, Contour::Polygon { .. })).map(|c| scene.points_of(c).to_vec()).collect()
}

/// Twice the signed area, positive counter-clockwise (shoelace formula), in f64.
fn area(points: &[StagePoint]) -> f64 {
    let next = points.iter().skip(1).chain(points.first());
    let sum: f64 =
        points.iter().zip(next).map(|(a, b)| f64::from(a.x) * f64::from(b.y) - f64::from(a.y) * f64::from(b.x)).sum();
    sum / 2.0
}

#[track_caller]
fn assert_points(got: &[StagePoint], want: &[(f32, f32)]) {
    assert_eq!(got.len(), want.len(), "{got:?}");
    for (g, w) in got.iter().zip(want) {
        assert!((g.x - w.0).abs() < 2e-5 && (g.y - w.1).abs() < 2e-5, "{g:?} is not {w:?} in {got:?}");
    }
}

/// True when `q` lies inside, by the even-odd rule: a second opinion that shares no code with the core.
fn holds(points: &[StagePoint], q: StagePoint) -> bool {
    let next = points.iter().skip(1).chain(points.first());
    points.iter().zip(next).fold(false, |inside, (a, b)| {
        let crosses = (a.y > q.y) != (b.y > q.y) && q.x < a.x + (q.y - a.y) / (b.y - a.y) * (b.x - a.x);
        inside != crosses
    })
}

/// Sum of the turns of a shape's contours round `q`: 1 where it is covered once, 0 where it is not.
fn cover(scene: &Scene<'_>, contours: &[Contour], q: StagePoint) -> i32 {
    let one = |c: &Contour| match *c {
        Contour::Ellipse { centre, u, v } => {
            let (det, d) = (u.cross(v), q - centre);
            let (s, t) = (d.cross(v) / det, u.cross(d) / det);
            if s * s + t * t < 1.0 { det.signum() as i32 } else { 0 }
        }
        Contour::Polygon { .. } => {
            let points = scene.points_of(c);
            if holds(points, q) { area(points).signum() as i32 } else { 0 }
        }
    };
    contours.iter().map(one).sum()
}
