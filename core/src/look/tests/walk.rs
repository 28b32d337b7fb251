//! The walk outline as it is drawn, and the crosses of the survey.

use super::stage::stage;
use super::{cover, p};
use crate::geom::StagePoint;
use crate::look::{Sizes, ink, orient, walk};
use crate::paint::SceneStore;
use crate::props::keepout::of_cue;
use crate::props::reach::{Level, Reach};
use crate::props::{Ground, KeepOut};

/// A disc of 0.35 m at (-0.2, 0.3), a body of 0.25 m and a hard clearance of 0.15 m: the outline is the
/// circle of 0.75 m round it (common practice), 20 mm wide here.
#[test]
fn the_walk_outline_runs_where_the_clearance_ends() {
    let mut show = stage();
    show.survey_allowance_m = 0.0;
    let reach = Reach::of(&show, &show.classes[0], Level::Hard);
    let disc: heapless::Vec<KeepOut, 16> = of_cue(&show, &show.cues[0], &reach).unwrap();
    assert_eq!(disc.len(), 1);
    let ground = Ground::new(&show.floor, &show.entries, &disc).unwrap();
    let mut store = SceneStore::<2048, 256, 64>::new();
    let mut scene = store.scene();
    walk::draw(&mut scene, &Sizes::of(&show), &ground, 255).unwrap();
    let core = scene.shapes()[1];
    let at = |radius: f32, deg: f32| {
        let (sin, cos) = deg.to_radians().sin_cos();
        cover(&scene, scene.contours_of(&core), p(-0.2 + radius * cos, 0.3 + radius * sin))
    };
    for deg in [10.0, 95.0, 200.0, 301.0] {
        assert_eq!([0.735, 0.745, 0.755, 0.765].map(|r| at(r, deg)), [0, 1, 1, 0], "{deg}");
    }
}

#[test]
fn every_survey_point_has_a_cross_and_a_number() {
    let show = stage();
    let points: [StagePoint; 3] = [p(-1.0, -1.0), p(1.0, -1.0), p(0.0, 1.0)];
    let mut store = SceneStore::<512, 128, 32>::new();
    let mut scene = store.scene();
    orient::survey_points(&mut scene, &Sizes::of(&show), &points).unwrap();
    // Cross and number, each a dark and a light shape.
    assert_eq!(scene.shapes().len(), 12);
    let lit = |q: StagePoint| {
        let light = scene.shapes().iter().filter(|s| s.ink != ink::KEY);
        light.map(|s| cover(&scene, scene.contours_of(s), q)).sum::<i32>()
    };
    for q in points {
        let near = |x: f32, y: f32| p(q.x + x, q.y + y);
        let cross = [(0.0, 0.0), (0.09, 0.0), (-0.09, 0.0), (0.0, 0.09), (0.0, -0.09)];
        assert!(cross.iter().all(|&(x, y)| lit(near(x, y)) == 1), "{q:?}");
        assert_eq!(lit(near(0.05, 0.05)), 0);
    }
}
