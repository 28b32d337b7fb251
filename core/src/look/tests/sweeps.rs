//! Ways of moving props against brute force: footprints at very many moments, in double precision.

use std::vec::Vec;

use super::p;
use super::stage::floor;
use crate::geom::StagePoint;
use crate::look::drive::Drive;
use crate::look::ink;
use crate::look::sheet::Sheet;
use crate::look::{Sizes, View, compose, sweeps};
use crate::paint::scene::Contour;
use crate::paint::{Scene, SceneStore};
use crate::show::*;

type Store = SceneStore<8192, 2048, 512>;

/// What moves on the floor of 10 m by 8 m, on which dots are 36 m / 160 = 0.225 m apart.
struct Case {
    shape: PartShape,
    heights_m: (f32, f32),
    kind: MotionKind,
}

const STEP_M: f64 = 36.0 / 160.0;
const KEYS: [(f32, f32, f32); 4] = [(0.0, -3.0, -1.5), (2.0, 0.5, -1.0), (3.0, 1.0, 1.5), (6.0, 1.2, 1.6)];
const DISC: PartShape = PartShape::Disc { at: StagePoint::new(0.1, -0.2), radius_m: 0.45 };
const RING: PartShape =
    PartShape::Ring { at: StagePoint::new(0.0, 0.0), inner_m: 0.5, outer_m: 0.8, gap_deg: 0.0, gap_m: 0.4 };
const BOX: PartShape = PartShape::Polygon(Run { first: 0, len: 4 });
const MOVE: MotionKind = MotionKind::Keys { keys: Run { first: 0, len: 4 }, ease: true };
const SWING: MotionKind = MotionKind::Pendulum {
    pivot: StagePoint::new(0.6, -0.9),
    pivot_m: 2.6,
    length_m: 1.7,
    swing_deg: 25.0,
    plane_deg: 30.0,
    period_s: 2.6,
};
const ROUND: MotionKind =
    MotionKind::Circle { centre: StagePoint::new(0.5, 0.3), radius_m: 1.5, period_s: 20.0, start_deg: 40.0 };

fn show(case: &Case, presence: Presence) -> Show {
    let mut show = floor(20, 16, 128);
    show.part_vertices.extend([p(-0.6, -0.3), p(0.6, -0.3), p(0.6, 0.3), p(-0.6, 0.3)]);
    let (bottom_m, top_m) = case.heights_m;
    show.parts.push(Part { shape: case.shape, bottom_m, top_m, layer: Layer::Overlay, transparent: false }).unwrap();
    let parts = Run { first: 0, len: 1 };
    show.props.push(Prop { name: "BUOY".try_into().unwrap(), at: p(-3.0, -1.5), turn_deg: 20.0, parts }).unwrap();
    show.motion_keys.extend(KEYS.map(|(at_s, x, y)| MotionKey { at_s, place: p(x, y) }));
    show.motions.push(Motion { prop: PropId(0), kind: case.kind }).unwrap();
    show.cue_props.push(CueProp { prop: PropId(0), presence, coming_ms: 0, motion: Some(MotionId(0)) }).unwrap();
    show.cues.push(Cue { number: 100, props: Run { first: 0, len: 1 }, ..Cue::default() }).unwrap();
    show.validate().unwrap();
    show
}

/// Places of the prop at very many moments.
fn places(kind: &MotionKind) -> Vec<(f64, f64)> {
    let unit = |deg: f32| (f64::from(deg).to_radians().cos(), f64::from(deg).to_radians().sin());
    match *kind {
        MotionKind::Keys { .. } => (0..3000)
            .map(|i| {
                let t = 6.0 * f64::from(i) / 2999.0;
                let leg = KEYS.windows(2).find(|w| t <= f64::from(w[1].0)).unwrap();
                let [(t0, x0, y0), (t1, x1, y1)] =
                    [leg[0], leg[1]].map(|k| (f64::from(k.0), f64::from(k.1), f64::from(k.2)));
                let share = (t - t0) / (t1 - t0);
                (x0 + (x1 - x0) * share, y0 + (y1 - y0) * share)
            })
            .collect(),
        MotionKind::Pendulum { pivot, length_m, swing_deg, plane_deg, .. } => (0..1500)
            .map(|i| {
                let swing = f64::from(swing_deg) * (2.0 * f64::from(i) / 1499.0 - 1.0);
                let off = f64::from(length_m) * swing.to_radians().sin();
                (f64::from(pivot.x) + unit(plane_deg).0 * off, f64::from(pivot.y) + unit(plane_deg).1 * off)
            })
            .collect(),
        MotionKind::Circle { centre, radius_m, .. } => (0..4000)
            .map(|i| {
                let (cos, sin) = unit(360.0 * i as f32 / 4000.0);
                (f64::from(centre.x) + cos * f64::from(radius_m), f64::from(centre.y) + sin * f64::from(radius_m))
            })
            .collect(),
        _ => Vec::new(),
    }
}

/// Signed distance to the footprint of a prop at `at`, turned by 20 degrees; a ring counts as its disc.
fn distance(shape: &PartShape, at: (f64, f64), q: (f64, f64)) -> f64 {
    let (sin, cos) = 20.0_f64.to_radians().sin_cos();
    let v = (q.0 - at.0, q.1 - at.1);
    let (x, y) = (v.0 * cos + v.1 * sin, v.1 * cos - v.0 * sin);
    match *shape {
        PartShape::Disc { at, radius_m } => (x - f64::from(at.x)).hypot(y - f64::from(at.y)) - f64::from(radius_m),
        PartShape::Ring { outer_m, .. } => x.hypot(y) - f64::from(outer_m),
        PartShape::Polygon(_) => {
            let (dx, dy) = (x.abs() - 0.6, y.abs() - 0.3);
            dx.max(0.0).hypot(dy.max(0.0)) + dx.max(dy).min(0.0)
        }
    }
}

/// Distance to all that is passed over.
fn swept(case: &Case, places: &[(f64, f64)], q: (f64, f64)) -> f64 {
    places.iter().map(|&at| distance(&case.shape, at, q)).fold(f64::INFINITY, f64::min)
}

fn dots_of(scene: &Scene<'_>) -> Vec<(f64, f64)> {
    let shapes = scene.shapes().iter().filter(|s| s.ink == ink::PROP);
    let discs = shapes.flat_map(|s| scene.contours_of(s)).filter_map(|c| match c {
        Contour::Ellipse { centre, u, .. } if u.length() < 0.03 => Some((f64::from(centre.x), f64::from(centre.y))),
        _ => None,
    });
    discs.collect()
}

fn dots(show: &Show) -> Vec<(f64, f64)> {
    let mut store = Store::new();
    let mut scene = store.scene();
    let sheet = &mut Sheet::whole(&mut scene);
    sweeps::draw(sheet, &Sizes::of(show), (show, show.cues.first(), None), &Drive::full()).unwrap();
    dots_of(&scene)
}

const LOW: (f32, f32) = (0.0, 1.0);
const BODY: (f32, f32) = (0.5, 1.6);

fn cases() -> Vec<Case> {
    let all = [(DISC, MOVE), (BOX, MOVE), (RING, MOVE), (DISC, SWING), (BOX, SWING), (DISC, ROUND), (BOX, ROUND)];
    all.map(|(shape, kind)| Case { shape, heights_m: LOW, kind }).into()
}

#[test]
fn every_dot_lies_on_the_border_of_what_is_passed_over() {
    for (i, case) in cases().iter().enumerate() {
        let places = places(&case.kind);
        let dots = dots(&show(case, Presence::Live));
        assert!(dots.len() > 15, "case {i}: {}", dots.len());
        for q in dots {
            // Moments are up to 5 mm apart; where it turns sharply the border is a bow between them.
            let off = swept(case, &places, q);
            assert!(off.abs() < 0.004, "case {i}: {q:?} is {off} m off the border");
        }
    }
}

/// Where random ways across the floor enter or leave what is passed over, a dot is near. A part with corners that
/// goes round a circle has its outside drawn alone, so the border of the free middle is left out there.
#[test]
fn no_stretch_of_the_border_is_without_dots() {
    let mut seed = 7_u64;
    let mut dice = move || {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (seed >> 40) as f64 / (1_u64 << 24) as f64
    };
    for (i, case) in cases().iter().enumerate() {
        let places = places(&case.kind);
        let (dots, mut crossed) = (dots(&show(case, Presence::Live)), 0);
        let outside_only = i == 6;
        while crossed < 60 {
            let mut point = || (dice() * 10.0 - 5.0, dice() * 8.0 - 4.0);
            let (mut a, mut b) = (point(), point());
            let inside = |q| swept(case, &places, q) < 0.0;
            if inside(a) == inside(b) {
                continue;
            }
            for _ in 0..20 {
                let middle = ((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0);
                if inside(middle) == inside(a) { a = middle } else { b = middle }
            }
            // The outer border is 1.5 m and half a width from the circle's centre at least.
            if outside_only && (a.0 - 0.5).hypot(a.1 - 0.3) < 1.5 {
                continue;
            }
            crossed += 1;
            let nearest = dots.iter().map(|d| (d.0 - a.0).hypot(d.1 - a.1)).fold(f64::INFINITY, f64::min);
            assert!(nearest < STEP_M * 1.01, "case {i}: no dot within {nearest} m of {a:?}");
        }
    }
}

/// By light alone, without colour: solid, dashed and dotted outlines and the two kinds of dotted ones.
#[test]
fn solid_dashed_and_dotted_are_told_apart_by_light_and_dark() {
    let along = |show: &Show, mode: Mode, circle: (StagePoint, f32)| {
        let mut store = Store::new();
        let mut scene = store.scene();
        let view = View { labels: false, ..View::new(mode, Some(CueId(0))) };
        compose(show, &view, &mut scene).unwrap();
        let lit = |i: u16| {
            let (sin, cos) = (f32::from(i) / 2000.0 * core::f32::consts::TAU).sin_cos();
            let q = p(circle.0.x + circle.1 * cos, circle.0.y + circle.1 * sin);
            let light = scene.shapes().iter().filter(|s| s.ink == ink::PROP);
            light.map(|s| super::cover(&scene, scene.contours_of(s), q)).any(|c| c > 0)
        };
        let row: Vec<bool> = (0..2000).map(lit).collect();
        let runs = row.windows(2).filter(|w| w[0] != w[1]).count() / 2;
        let share = row.iter().filter(|l| **l).count() as f32 / 2000.0;
        (share, share * core::f32::consts::TAU * circle.1 / runs.max(1) as f32)
    };
    let centre = PartShape::Disc { at: p(0.0, 0.0), radius_m: 0.45 };
    let case = |heights_m, kind| show(&Case { shape: centre, heights_m, kind }, Presence::Live);
    let stands = MotionKind::Keys { keys: Run { first: 3, len: 1 }, ease: false };
    let at_rest = (p(1.2, 1.6), 0.45);
    let (solid, _) = along(&case(LOW, stands), Mode::Standby, at_rest);
    let (dashed, dash_m) = along(&case(BODY, stands), Mode::Standby, at_rest);
    // The outer border of a disc that goes round.
    let outer = (p(0.5, 0.3), 1.95);
    let (dotted, dot_m) = along(&case(LOW, ROUND), Mode::Standby, outer);
    let (pairs, pair_m) = along(&case(BODY, ROUND), Mode::Standby, outer);
    assert!(solid > 0.999, "{solid}");
    assert!((0.5..0.7).contains(&dashed) && dash_m > 0.15, "{dashed}, {dash_m} m");
    assert!((0.15..0.25).contains(&dotted) && dot_m < 0.06, "{dotted}, {dot_m} m");
    assert!((pairs / dotted - 2.0 / 3.0).abs() < 0.05 && (pair_m - dot_m).abs() < 0.003, "{pairs} of {dotted}");
}

#[test]
fn ways_are_drawn_in_briefings_and_standby_for_what_people_can_meet() {
    let count = |heights_m, presence, mode| {
        let show = show(&Case { shape: DISC, heights_m, kind: MOVE }, presence);
        let mut store = Store::new();
        let mut scene = store.scene();
        let cue = (mode != Mode::Reset).then_some(CueId(0));
        compose(&show, &View { labels: false, ..View::new(mode, cue) }, &mut scene).unwrap();
        dots_of(&scene).len()
    };
    for presence in [Presence::Coming, Presence::Live, Presence::Leaving] {
        assert!(count(LOW, presence, Mode::Brief) > 20 && count(LOW, presence, Mode::Standby) > 20, "{presence:?}");
        for mode in [Mode::Air, Mode::Reset, Mode::Off, Mode::Worklight] {
            assert_eq!(count(LOW, presence, mode), 0, "{mode:?}");
        }
        assert_eq!(count((2.3, 3.0), presence, Mode::Brief), 0);
    }
    // What stands has no way.
    let stands = MotionKind::Keys { keys: Run { first: 3, len: 1 }, ease: false };
    assert!(dots(&show(&Case { shape: DISC, heights_m: LOW, kind: stands }, Presence::Live)).is_empty());
    let grows = MotionKind::Grow { seconds_s: 6.0 };
    assert!(dots(&show(&Case { shape: DISC, heights_m: LOW, kind: grows }, Presence::Live)).is_empty());
}

#[test]
fn an_arrow_head_on_each_long_leg_says_which_way() {
    let show = show(&Case { shape: BOX, heights_m: LOW, kind: MOVE }, Presence::Coming);
    let mut store = Store::new();
    let mut scene = store.scene();
    sweeps::draw(&mut Sheet::whole(&mut scene), &Sizes::of(&show), (&show, show.cues.first(), None), &Drive::full())
        .unwrap();
    let light = scene.shapes().iter().filter(|s| s.ink == ink::PROP).flat_map(|s| scene.contours_of(s));
    let heads: Vec<Vec<StagePoint>> =
        light.map(|c| scene.points_of(c).to_vec()).filter(|points| points.len() == 3).collect();
    // The last leg is 0.22 m long.
    assert_eq!(heads.len(), 2);
    for (head, leg) in heads.iter().zip(KEYS.windows(2)) {
        let (a, b) = (p(leg[0].1, leg[0].2), p(leg[1].1, leg[1].2));
        let middle = a + (b - a) * 0.5;
        let tip = head.iter().map(|q| (*q - middle).dot(b - a)).fold(0.0, f32::max) / (b - a).length();
        let back = head.iter().map(|q| (*q - middle).dot(b - a)).fold(0.0, f32::min) / (b - a).length();
        assert!((tip - 0.07).abs() < 1e-3 && (back + 0.07).abs() < 1e-3, "{head:?}");
        assert_eq!(head.iter().filter(|q| (**q - middle).dot(b - a) > 0.0).count(), 1, "one tip");
    }
}

/// More pieces than there is room for are drawn as one: nothing that is passed over is left outside.
#[test]
fn too_many_pieces_leave_nothing_out() {
    let mut show = show(&Case { shape: BOX, heights_m: LOW, kind: MOVE }, Presence::Live);
    let part = show.parts[0];
    for _ in 0..7 {
        show.parts.push(part).unwrap();
    }
    show.props[0].parts = Run { first: 0, len: 8 };
    let case = Case { shape: BOX, heights_m: LOW, kind: MOVE };
    let places = places(&case.kind);
    let dots = dots(&show);
    assert!(dots.len() > 15 && dots.iter().all(|&q| swept(&case, &places, q) > -0.004), "{dots:?}");
}
