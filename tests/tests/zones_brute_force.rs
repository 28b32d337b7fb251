//! Zones beside brute force: every 10 mm of the floor judged in `f64` from the definitions, shrunk by exact
//! distances, and compared with what the core traces; sets whose zones are known in closed form are beside the code.

use std::path::Path;
use std::sync::Mutex;

use underfoot_core::geom::{StagePoint, polygon};
use underfoot_core::show::{Run, ShotId, ShotKind, Show};
use underfoot_core::zones::{SHRINK_M, Zone};
use underfoot_sim::project::load;
use underfoot_tests::dice::Dice;
use underfoot_tests::zone_case::{Traced, ZoneCase};
use underfoot_tests::zone_field::{Field, GRID_M};
use underfoot_tests::zone_oracle::{Oracle, oracle};
use underfoot_tests::zone_stage::random_stage;

/// A place that is judged differently lies at most so far from the traced outline, metres.
const OFF_M: f32 = 0.015;
/// Random stages, of which some have no zone.
const STAGES: u64 = 32;
/// Shorter sides are not asked for what bounds them, metres.
const SHORT_M: f32 = 0.03;

/// What a comparison found.
#[derive(Debug, Default)]
struct Tally {
    stages: usize,
    /// A neck so narrow that 10 mm decide whether it joins two pieces: the grid cannot tell.
    undecided: usize,
    places: usize,
    sides: usize,
    worst_m: f32,
    wrong: Vec<String>,
}

fn compare(case: &ZoneCase<'_>, name: &str, tally: &Mutex<Tally>) {
    let (oracle, traced) = (oracle(case), case.trace().expect("a zone"));
    let Zone::Piece(piece) = &traced.zone else { return };
    let field = Field::round(&traced, case.mark);
    let (places, undecided, worst) = differences(case, &field, &oracle, &traced, piece.holds_mark);
    println!("{name}: {places} places, {:.4} m off, {} views, {} times", worst.0, case.views.len(), case.times.len());
    let (sides, wrong) = bounds(case, &oracle, &traced);
    let mut tally = tally.lock().expect("the tally");
    tally.stages += 1;
    tally.undecided += usize::from(undecided);
    tally.places += places;
    tally.sides += sides;
    tally.worst_m = tally.worst_m.max(worst.0);
    if worst.0 > OFF_M {
        tally.wrong.push(format!("{name}: {:?} is {} m off; {:?}", worst.1, worst.0, oracle.faults(worst.1, true)));
    }
    tally.wrong.extend(wrong.into_iter().map(|w| format!("{name}: {w}")));
}

/// How many places were compared, whether a neck is undecided, and the place that differs farthest from the outline.
fn differences(
    case: &ZoneCase<'_>,
    field: &Field,
    oracle: &Oracle,
    traced: &Traced,
    holds_mark: bool,
) -> (usize, bool, (f32, (f64, f64))) {
    let shrunk = field.shrunk(oracle);
    let cells = |off_m: f64| (f64::from(SHRINK_M + case.show.survey_allowance_m) + off_m) / GRID_M;
    // From the mark, or in a piece without it from the first place that is well inside.
    let well_inside = |&i: &usize| {
        let place = field.place(i);
        traced.outline.contains(place) && traced.outline.nearest(place).is_some_and(|n| n.0 > 0.05)
    };
    let start = if holds_mark { field.mark } else { (0..shrunk.distance.len()).find(well_inside).expect("a place") };
    let [exact, loose, tight] = [0.0, -GRID_M, GRID_M].map(|off_m| shrunk.piece(cells(off_m), start));
    let area = |piece: &[bool]| piece.iter().filter(|p| **p).count() as f64 * GRID_M * GRID_M;
    let perimeter: f32 = traced.outline.rings().map(|ring| polygon::perimeter(ring.points)).sum();
    let undecided = area(&loose) - area(&tight) > f64::from(perimeter) * 0.03 + 0.02;
    let mut worst = (0.0f32, (0.0, 0.0));
    for i in 0..exact.len() {
        let ours = traced.outline.contains(field.place(i));
        let theirs = if undecided && ours {
            loose[i]
        } else if undecided {
            tight[i]
        } else {
            exact[i]
        };
        if ours != theirs {
            let off = traced.outline.nearest(field.place(i)).map_or(f32::INFINITY, |n| n.0);
            worst = if off > worst.0 { (off, field.at(i)) } else { worst };
        }
    }
    (exact.len(), undecided, worst)
}

/// Beyond the middle of each side, by the shrink and 20 mm, the bound that the side names must break.
fn bounds(case: &ZoneCase<'_>, oracle: &Oracle, traced: &Traced) -> (usize, Vec<String>) {
    let (mut sides, mut wrong) = (0, Vec::new());
    let beyond_m = SHRINK_M + case.show.survey_allowance_m + 0.02;
    for ring in traced.outline.rings() {
        for ((a, b), &bound) in polygon::sides(ring.points).zip(ring.bounds) {
            let Some(along) = (b - a).unit().filter(|_| a.distance(b) >= SHORT_M) else { continue };
            let q = a + (b - a) * 0.5 - along.perp() * beyond_m;
            let q = (f64::from(q.x), f64::from(q.y));
            sides += 1;
            if !oracle.has(q, bound) {
                wrong.push(format!("side {a:?} {b:?}: {bound:?} is not among {:?}", oracle.faults(q, true)));
            }
        }
    }
    (sides, wrong)
}

/// The first class at a place of a random stage, in all its shots, at every `step`th moment.
fn case_at(show: &Show, at: StagePoint, step: usize) -> ZoneCase<'_> {
    let shots: Vec<ShotId> = (0..show.shots.len() as u8).map(ShotId).collect();
    let mut case = ZoneCase::new(show, &show.cues[0], &show.classes[0], at, &shots);
    case.thin(step);
    case
}

/// A mark on a random stage that is a good place with room round it; `None` when none is found.
fn random_mark(show: &Show, dice: &mut Dice) -> Option<StagePoint> {
    (0..300).find_map(|_| {
        let p = StagePoint::new(dice.between(-1.8, 1.8) as f32, dice.between(-1.6, 1.6) as f32);
        let case = case_at(show, p, 8);
        let oracle = oracle(&case);
        let around = (0..16).map(|i| f64::from(i) * std::f64::consts::TAU / 16.0);
        let (x, y) = (f64::from(p.x), f64::from(p.y));
        let good = |q| oracle.faults(q, false).is_empty();
        let all = !case.views.is_empty() && good((x, y));
        (all && around.clone().all(|t| good((x + 0.18 * t.cos(), y + 0.18 * t.sin())))).then_some(p)
    })
}

#[test]
fn random_stages_are_traced_as_brute_force_has_them() {
    let tally = Mutex::new(Tally::default());
    std::thread::scope(|scope| {
        for half in 0..2 {
            let tally = &tally;
            scope.spawn(move || {
                for seed in (half..STAGES).step_by(2) {
                    let mut dice = Dice::new(7000 + seed);
                    let show = random_stage(&mut dice);
                    let Some(mark) = random_mark(&show, &mut dice) else { continue };
                    compare(&case_at(&show, mark, 8), &format!("stage {seed}"), tally);
                }
            });
        }
    });
    let tally = tally.into_inner().expect("the tally");
    println!("{tally:?}");
    assert!(tally.wrong.is_empty(), "{:#?}", tally.wrong);
    assert!(tally.stages >= 25 && tally.undecided <= tally.stages / 8, "{tally:?}");
}

/// Searching for one place that holds looks at views in whatever order ends soonest: nothing but time may depend on that.
#[test]
fn the_first_place_that_holds_is_the_first_that_is_judged_to_hold() {
    let (mut held, mut asked) = (0, 0);
    for seed in 0..40 {
        let mut dice = Dice::new(7000 + seed);
        let show = random_stage(&mut dice);
        let Some(mark) = random_mark(&show, &mut dice) else { continue };
        let case = case_at(&show, mark, 16);
        let place = |dice: &mut Dice| StagePoint::new(dice.between(-2.2, 2.2) as f32, dice.between(-2.0, 2.0) as f32);
        for _ in 0..25 {
            // Most are bad, so that what missed the last one is asked of the next one.
            let mut places: Vec<StagePoint> = (0..12).map(|_| place(&mut dice)).collect();
            places.extend([mark, place(&mut dice)].iter().filter(|_| dice.one_in(2)));
            let (first, judged) = case.judge(|judge| {
                let judged = places.iter().copied().find(|&p| judge.holds(p).is_ok());
                (judge.first_held(places.iter().copied()), judged)
            });
            assert_eq!(first, judged, "stage {seed}: {places:?}");
            (held, asked) = (held + usize::from(first.is_some()), asked + 1);
        }
    }
    println!("{held} of {asked} lists have a place that holds");
    assert!(held > 100 && held < asked, "{held} of {asked}");
}

fn demo(name: &str) -> Show {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../host-sim/demos").join(name);
    *load(&path).unwrap_or_else(|errors| panic!("{name}: {errors:?}")).show
}

/// Compares the zones of all placements of some cues of a demo, looking at every `step`th moment.
fn compare_demo(name: &str, numbers: &[u32], step: usize) -> Tally {
    let (show, tally) = (demo(name), Mutex::new(Tally::default()));
    for cue in show.cues.iter().filter(|cue| numbers.contains(&cue.number)) {
        for place in cue.places.of(&show.cue_places) {
            let Some(mark) = place.mark else { continue };
            let class = &show.classes[show.people[place.person.index()].class.index()];
            let mark = &show.marks[mark.index()];
            let mut case = ZoneCase::new(&show, cue, class, mark.at, cue.shots.of(&show.cue_shots));
            case.thin(step);
            compare(&case, &format!("{name}, cue {}, {}", cue.number, mark.name), &tally);
        }
    }
    let tally = tally.into_inner().expect("the tally");
    println!("{name}: {tally:?}");
    assert!(tally.wrong.is_empty(), "{:#?}", tally.wrong);
    tally
}

#[test]
fn the_zones_of_the_small_demo_are_traced_as_brute_force_has_them() {
    let tally = compare_demo("clock-cabinet.toml", &[200, 300, 400, 500, 600, 650], 2);
    assert!(tally.stages >= 2 && tally.undecided == 0, "{tally:?}");
    let tally = compare_demo("clock-cabinet-clean.toml", &[200, 300, 400, 500, 600, 650], 2);
    assert!(tally.stages >= 3 && tally.undecided == 0, "{tally:?}");
}

#[test]
fn a_zone_of_the_studio_demo_is_traced_as_brute_force_has_it() {
    let tally = compare_demo("harbour-hour-clean.toml", &[200], 8);
    assert!(tally.stages == 1 && tally.undecided == 0, "{tally:?}");
}

/// A range is good where all its keys and what lies between them are: its zone lies in the zone of each key.
#[test]
fn the_zone_of_a_range_lies_in_the_zone_of_each_key() {
    let mut asked = 0;
    for seed in 0..120 {
        let mut dice = Dice::new(9000 + seed);
        let mut show = random_stage(&mut dice);
        let Some(range) = show.shots.iter().position(|shot| shot.kind == ShotKind::Range) else { continue };
        let Some(mark) = random_mark(&show, &mut dice) else { continue };
        let zone = |show: &Show| {
            let case = ZoneCase::new(show, &show.cues[0], &show.classes[0], mark, &[ShotId(range as u8)]);
            case.trace().expect("a zone").outline
        };
        let whole = zone(&show);
        let keys = show.shots[range].keys;
        for i in 0..keys.len {
            show.shots[range].kind = ShotKind::Preset;
            show.shots[range].keys = Run { first: keys.first + i, len: 1 };
            let key = zone(&show);
            assert!(whole.area_m2() <= key.area_m2() + 0.02, "stage {seed}");
            for p in whole.rings().flat_map(|ring| ring.points) {
                let off = key.nearest(*p).map_or(f32::INFINITY, |n| n.0);
                assert!(key.contains(*p) || off < 0.006, "stage {seed}, key {i}: {p:?} is {off} m outside");
                asked += 1;
            }
        }
    }
    assert!(asked > 200, "{asked}");
}
