//! What props hide and paint over of a person, beside an oracle that shoots rays, on random scenes.

use std::thread;

use underfoot_core::cameras::sight::case_at;
use underfoot_core::cameras::{Body, Case, Share, Solid, sight, solids};
use underfoot_core::geom::StagePoint3;
use underfoot_tests::dice::Dice;
use underfoot_tests::sight_oracle::{Counted, Met, count};
use underfoot_tests::sight_scene::SightScene;

const SCENES: u64 = 2000;
/// Rays in each band: 60 × 60, so 60 × 180 over the rectangle.
const RAYS: (usize, usize) = (60, 60);
/// One point of a share.
const POINT: f64 = 0.01;
/// A ray nearer than this to a place of the rectangle where the case changes is at an edge, metres.
const EDGE_M: f64 = 1e-3;

fn solids_of(scene: &SightScene) -> heapless::Vec<Solid, 32> {
    solids::of_cue(&scene.show, &scene.show.cues[0], 0.0).expect("solids")
}

fn differences(ours: Share, theirs: Counted) -> [f64; 4] {
    let ours = [ours.whole, ours.head, ours.torso, ours.legs].map(f64::from);
    std::array::from_fn(|i| (ours[i] - theirs[i]).abs())
}

/// Largest difference and how many shares were neither nothing nor everything.
fn compare(seed: u64) -> (f64, f64, usize) {
    let mut dice = Dice::new(seed);
    let scene = SightScene::throw(&mut dice);
    let body = Body::of(&scene.show, scene.class(), scene.at);
    let ours = sight::sight(scene.centre, scene.person_matte, &body, &solids_of(&scene));
    let theirs = count(scene.eye(), scene.person_matte, &scene.standing, &scene.things, RAYS, &mut dice);
    let pairs = [(ours.painted, theirs.painted), (ours.hidden, theirs.hidden), (ours.in_front, theirs.in_front)];
    let all: Vec<f64> = pairs.iter().flat_map(|&(a, b)| differences(a, b)).collect();
    let partial = pairs.iter().flat_map(|(_, b)| b).filter(|s| (0.01..0.99).contains(*s)).count();
    let worst = all.iter().copied().fold(0.0, f64::max);
    assert!(worst <= POINT, "scene {seed}: {ours:#?}\n{theirs:#?}");
    (worst, all.iter().sum(), partial)
}

/// Every share within a point of 10,800 rays, on 2,000 scenes.
#[test]
fn shares_are_within_a_point_of_dense_rays() {
    let halves = [0, 1].map(|half| {
        thread::spawn(move || {
            (0..SCENES / 2)
                .map(|i| compare(2 * i + half))
                .fold((0.0_f64, 0.0, 0), |(w, s, p), (worst, sum, partial)| (w.max(worst), s + sum, p + partial))
        })
    });
    let halves = halves.map(|half| half.join().expect("no scene off"));
    let (worst, sum, partial) =
        halves.iter().fold((0.0_f64, 0.0, 0), |(w, s, p), half| (w.max(half.0), s + half.1, p + half.2));
    println!(
        "worst {:.3} points, mean {:.4}, {partial} partial shares",
        100.0 * worst,
        sum / (SCENES * 12) as f64 * 100.0
    );
    assert!(partial > 3000, "{partial}: the scenes are too plain to tell");
}

fn met(case: Case) -> Met {
    Met { before: matches!(case, Case::Nearer | Case::Both), beyond: matches!(case, Case::Farther | Case::Both) }
}

/// Away from edges every part has the same case for the oracle, at 40 random points of each scene.
#[test]
fn cases_are_the_same_away_from_edges() {
    let (mut asked, mut at_edges, mut cases) = (0, 0, [0; 4]);
    for seed in 0..SCENES {
        let mut dice = Dice::new(seed);
        let scene = SightScene::throw(&mut dice);
        let (eye, person) = (scene.eye(), &scene.standing);
        for _ in 0..40 {
            let (u, v) = (dice.between(-person.half, person.half), dice.between(0.0, person.height));
            let q = person.point(eye, u, v);
            for (solid, thing) in solids_of(&scene).iter().zip(&scene.things) {
                asked += 1;
                let theirs = thing.met(eye, q);
                let round = (0..8).map(|i| (f64::from(i) * std::f64::consts::FRAC_PI_4).sin_cos());
                let mut beside = round.map(|(s, c)| person.point(eye, u + EDGE_M * c, v + EDGE_M * s));
                if beside.any(|p| thing.met(eye, p) != theirs) {
                    at_edges += 1;
                    continue;
                }
                let ours = case_at(scene.centre, StagePoint3::new(q[0] as f32, q[1] as f32, q[2] as f32), solid);
                assert_eq!(met(ours), theirs, "scene {seed} at {u} {v}: {solid:?}");
                cases[usize::from(theirs.before) + 2 * usize::from(theirs.beyond)] += 1;
            }
        }
    }
    println!("{asked} cases, {at_edges} at edges; clear, nearer, farther, both: {cases:?}");
    assert!(at_edges * 50 < asked, "{at_edges} of {asked} are at an edge");
    assert!(cases.iter().all(|&n| n > 500), "{cases:?}: every case must be asked");
}
