//! Hidden marks against a ray test in f64 that shares no code with the core: thousands of random cameras, marks and
//! overlays, each mark as dense places of its grown outline.

use underfoot_core::cameras::hidden::{Patch, mark};
use underfoot_core::cameras::{Guard, Hiding, Solid};
use underfoot_core::geom::StagePoint;
use underfoot_tests::dice::Dice;
use underfoot_tests::oracle::eye::{Upright, grown};
use underfoot_tests::random_views::{Case, outline, overlay};

const SCENES: usize = 4000;
/// What the core may ask for beyond the guard: rounding, and for a tolerance the room that its edges are given.
const SLACK_M: f64 = 0.002;

struct Scene {
    case: Case,
    mark: (Vec<StagePoint>, Vec<[f64; 2]>),
    guard: Guard,
    solids: Vec<Solid>,
    bodies: Vec<Upright>,
}

/// A mark near what the camera looks at, and three overlays, of which most stand between the two.
fn scene(dice: &mut Dice) -> Scene {
    let case = Case::random(dice);
    let at = case.eye.at;
    let centre = [dice.between(-6.0, 6.0), dice.between(-6.0, 6.0)];
    let mark = outline(dice, centre, (0.1, 0.5));
    let travel = if dice.one_in(3) { dice.between(0.01, 0.3) } else { 0.0 };
    let guard = Guard { metres: (0.04 + travel + dice.between(0.0, 0.4)) as f32, travel_m: travel as f32 };
    let (mut solids, mut bodies) = (Vec::new(), Vec::new());
    for _ in 0..3 {
        let share = dice.between(0.3, 1.05);
        let aside = |dice: &mut Dice| dice.between(-0.4, 0.4);
        let foot =
            [at[0] + (centre[0] - at[0]) * share + aside(dice), at[1] + (centre[1] - at[1]) * share + aside(dice)];
        let (solid, body) = overlay(dice, foot, (0.2, 2.0));
        solids.push(solid);
        bodies.push(body);
    }
    Scene { case, mark, guard, solids, bodies }
}

impl Scene {
    fn answer(&self, solids: &[Solid]) -> Hiding {
        mark(&self.case.view, self.guard, &Patch::on_floor(&self.mark.0), solids)
    }

    /// Dense places of the mark, grown by the guard and `more`.
    fn places(&self, more: f64) -> Vec<[f64; 2]> {
        grown(&self.mark.1, f64::from(self.guard.metres) + more)
    }

    fn in_a_picture(&self, places: &[[f64; 2]]) -> bool {
        self.case.eyes().iter().any(|eye| places.iter().any(|p| eye.has([p[0], p[1], 0.0])))
    }
}

fn all_blocked(body: &Upright, from: [f64; 3], places: &[[f64; 2]]) -> bool {
    places.iter().all(|p| body.between(from, [p[0], p[1], 0.0]))
}

#[test]
fn what_is_outside_is_in_no_picture_of_the_tolerance() {
    let (mut dice, mut outside, mut missed, mut far) = (Dice::new(0x51DE), 0, 0, 0);
    for i in 0..SCENES {
        let scene = scene(&mut dice);
        let answer = scene.answer(&[]);
        let shown = scene.in_a_picture(&scene.places(0.0));
        if answer == Hiding::Outside {
            outside += 1;
            assert!(!shown, "scene {i}: {:?} guard {:?} shows {:?}", scene.case.view, scene.guard, scene.mark.0);
        } else if !shown {
            missed += 1;
            // Only a corner of the picture may be the reason: half a metre farther from every picture there is none.
            far += usize::from(!scene.in_a_picture(&scene.places(1.0)));
        }
    }
    println!("{outside} outside, {missed} just beyond a corner, {far} of them by more than a metre");
    assert!(outside > SCENES / 5 && outside < SCENES * 4 / 5, "{outside} of {SCENES} are outside");
    assert!(missed * 20 < outside, "{missed} marks beside {outside} are given away at corners");
    assert!(far * 200 < outside, "{far}");
}

#[test]
fn what_is_covered_is_behind_one_overlay_from_wherever_the_camera_may_be() {
    let (mut dice, mut covered, mut close) = (Dice::new(0xC0FE), 0, 0);
    for i in 0..SCENES {
        let scene = scene(&mut dice);
        let from = scene.case.eye.at;
        for (solid, body) in scene.solids.iter().zip(&scene.bodies) {
            let hidden = matches!(scene.answer(std::slice::from_ref(solid)), Hiding::Covered { .. });
            if hidden {
                covered += 1;
                assert!(
                    all_blocked(body, from, &scene.places(-1e-4)),
                    "scene {i}: {solid:?} from {from:?}: {:?}",
                    scene.mark.0
                );
            }
            if body.holds(from) {
                assert!(!hidden, "scene {i}: a camera inside an overlay sees what graphics makes of it");
                continue;
            }
            // As far as a camera may get in all ways.
            let reach = f64::from(scene.guard.travel_m);
            let still = grown(&scene.mark.1, 0.04 - 1e-4);
            for _ in 0..if hidden && reach > 0.0 { 20 } else { 0 } {
                let way = [0; 3].map(|_| dice.between(-1.0, 1.0));
                let length = way.iter().map(|x| x * x).sum::<f64>().sqrt();
                let there = [0, 1, 2].map(|k| from[k] + way[k] / length * reach);
                assert!(all_blocked(body, there, &still), "scene {i}: {solid:?} from {there:?}: {:?}", scene.mark.0);
            }
            if hidden || reach > 0.0 || scene.answer(&[]) == Hiding::Outside {
                continue;
            }
            // Where there is room to spare, the core must see it. It stops following shadows at 256 camera heights.
            close += usize::from(all_blocked(body, from, &scene.places(0.0)));
            assert!(
                !all_blocked(body, from, &scene.places(SLACK_M)),
                "scene {i}: {solid:?} does cover {:?}",
                scene.mark.0
            );
        }
    }
    println!("{covered} covered, {close} within {SLACK_M} m of being covered");
    assert!(covered > SCENES / 5, "{covered} of {} are covered", SCENES * 3);
}

#[test]
fn any_overlay_of_a_list_may_cover_and_only_opaque_overlays_do() {
    use underfoot_core::show::Layer;
    let (mut dice, mut covered) = (Dice::new(0xA117), 0);
    for _ in 0..SCENES / 4 {
        let scene = scene(&mut dice);
        if scene.answer(&[]) == Hiding::Outside {
            continue;
        }
        let single = scene.solids.iter().any(|s| scene.answer(std::slice::from_ref(s)) != Hiding::Seen);
        assert_eq!(scene.answer(&scene.solids) != Hiding::Seen, single);
        covered += usize::from(single);
        for (layer, transparent) in [(Layer::Screen, false), (Layer::Extension, false), (Layer::Overlay, true)] {
            let mut changed = scene.solids.clone();
            changed.iter_mut().for_each(|solid| (solid.layer, solid.transparent) = (layer, transparent));
            assert_eq!(scene.answer(&changed), Hiding::Seen);
        }
    }
    assert!(covered > SCENES / 40, "{covered}");
}
