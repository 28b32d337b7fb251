//! Edges of the small stage: downstage and stage-left sides open, walls on the others, one entry.

use super::stage::stage;
use super::{cover, p};
use crate::geom::StagePoint;
use crate::look::sheet::Sheet;
use crate::look::{Sizes, edges};
use crate::paint::SceneStore;
use crate::show::{Edge, Physical, PhysicalKind, Show, StepOver};

fn lit(show: &Show, q: StagePoint) -> bool {
    let mut store = SceneStore::<2048, 256, 64>::new();
    let mut scene = store.scene();
    edges::draw(&mut Sheet::whole(&mut scene), &Sizes::of(show), show, 255).unwrap();
    let cores = scene.shapes().iter().skip(1).step_by(2);
    cores.map(|s| cover(&scene, scene.contours_of(s), q)).any(|c| c > 0)
}

#[test]
fn the_line_runs_at_the_band_inside_open_sides() {
    let show = stage();
    // Downstage: y = -1.5 + 0.3, 50 mm wide, from 0.15 m off the stage-right wall to the corner.
    for (x, y, want) in [
        (-1.2, -1.2, true),
        (-1.2, -1.18, true),
        (-1.2, -1.17, false),
        (-1.34, -1.2, true),
        (-1.36, -1.2, false),
        (1.2, -1.2, true),
        (1.23, -1.23, false),
        (1.22, -1.22, true),
        (1.2, 0.0, true),
        (1.2, 1.34, true),
        (1.2, 1.36, false),
        (-1.2, 0.0, false),
        (0.0, 1.2, false),
    ] {
        assert_eq!(lit(&show, p(x, y)), want, "({x}, {y})");
    }
}

#[test]
fn the_entry_is_open_between_two_posts_and_its_nose_is_marked() {
    let show = stage();
    // The step unit is 0.6 m wide round y = 0.4: open from 0.1 to 0.7.
    for (x, y, want) in [
        (1.2, 0.4, false),
        (1.2, 0.12, false),
        (1.2, 0.08, true),
        (1.2, 0.72, true),
        (1.35, 0.08, true),
        (1.35, 0.72, true),
        (1.35, 0.4, false),
        (1.48, 0.4, true),
        (1.44, 0.4, false),
    ] {
        assert_eq!(lit(&show, p(x, y)), want, "({x}, {y})");
    }
}

#[test]
fn ticks_point_at_the_drop_only() {
    let show = stage();
    let tick = |y: f32| (0..250).any(|i| lit(&show, p(-1.5 + 0.01 * i as f32, y)));
    assert!(tick(-1.24) && !tick(-1.16));
}

#[test]
fn level_and_wall_sides_have_no_line() {
    let mut show = stage();
    for edge in show.floor.edges.iter_mut() {
        *edge = Edge::Level;
    }
    assert!((0..150).all(|i| !lit(&show, p(-1.5 + 0.02 * i as f32, -1.2))));
}

#[test]
fn a_riser_is_outlined_outside_its_foot() {
    let mut show = stage();
    let riser = Physical {
        name: "riser".try_into().unwrap(),
        kind: PhysicalKind::Riser,
        centre: p(0.0, 0.0),
        width_m: 1.0,
        depth_m: 0.6,
        turn_deg: 90.0,
        height_m: 0.2,
        step_over: StepOver::Never,
    };
    show.physicals.push(riser).unwrap();
    // Turned a quarter: it reaches 0.3 m in x and 0.5 m in y; a keyline of 12 mm, then 50 mm of line.
    for (x, y, want) in [(0.29, 0.0, false), (0.335, 0.0, true), (0.38, 0.0, false), (0.0, 0.535, true)] {
        assert_eq!(lit(&show, p(x, y)), want, "({x}, {y})");
    }
}
