//! Against figures worked by hand; the cases are in one file per subject.

mod ground;
mod keepout;
mod motion;
mod outline;
mod sweep;

use heapless::Vec;

use crate::geom::StagePoint;
use crate::show::{Edge, Entry, FloorOutline, Name, Passage, PersonClass};

const fn p(x: f32, y: f32) -> StagePoint {
    StagePoint::new(x, y)
}

fn near(value: f32, expected: f32, within: f32) {
    assert!((value - expected).abs() <= within, "{value} is not {expected} ± {within}");
}

fn presenter() -> PersonClass {
    let name = Name::try_from("presenter").unwrap();
    let (height_m, eye_m) = (1.74, 1.62);
    PersonClass { name, height_m, eye_m, radius_m: 0.25, walk_width_m: 0.8, pace_mps: 0.9, chair_m: None }
}

/// The 3 m corner stage: open downstage and stage left, walls upstage and stage right, step unit stage left.
fn corner_floor() -> (FloorOutline, [Entry; 1]) {
    let vertices = Vec::from_slice(&[p(-1.5, -1.5), p(1.5, -1.5), p(1.5, 1.5), p(-1.5, 1.5)]).unwrap();
    let edges = Vec::from_slice(&[Edge::Open, Edge::Open, Edge::Wall, Edge::Wall]).unwrap();
    let entry = Entry { name: Name::try_from("step").unwrap(), at: p(1.5, 0.4), width_m: 0.6, passage: Passage::Both };
    (FloorOutline { vertices, edges, edge_band_m: 0.3, step_m: 0.12 }, [entry])
}
