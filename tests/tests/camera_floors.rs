//! What a camera sees of the floor, and the wedge that crew keep out of: against a general geometry library, against
//! dense places seen by an eye in f64, and against the figures of the demos.

use geo::{Area, BooleanOps, Coord, LineString, Polygon};
use underfoot_core::cameras::{jib, seen, shots, wedge};
use underfoot_core::geom::{StagePoint, polygon};
use underfoot_core::show::{ShotId, Show};
use underfoot_tests::device::shows::demo;
use underfoot_tests::dice::Dice;
use underfoot_tests::oracle::eye::Eye;
use underfoot_tests::random_views::Case;

const STAR: [(f32, f32); 8] =
    [(-5.0, -4.0), (0.0, -2.5), (5.0, -4.0), (3.0, 0.0), (5.0, 4.0), (0.0, 2.0), (-5.0, 4.0), (-4.0, 0.5)];

fn floor() -> Vec<StagePoint> {
    STAR.iter().map(|&(x, y)| StagePoint::new(x, y)).collect()
}

fn geo_floor() -> Polygon<f64> {
    let ring: Vec<Coord<f64>> = STAR.iter().map(|&(x, y)| Coord { x: x.into(), y: y.into() }).collect();
    Polygon::new(LineString(ring), vec![])
}

/// Where the corners of a picture without distortion meet the floor; `None` when one looks over the horizon.
fn footprint(at: [f64; 3], look: [f64; 3], half: (f64, f64)) -> Option<Polygon<f64>> {
    let unit = |v: [f64; 3]| v.map(|x| x / v.iter().map(|x| x * x).sum::<f64>().sqrt());
    let ahead = unit([look[0] - at[0], look[1] - at[1], look[2] - at[2]]);
    let right = unit([ahead[1], -ahead[0], 0.0]);
    let up = [-right[1] * -ahead[2], -(right[0] * ahead[2]), right[0] * ahead[1] - right[1] * ahead[0]];
    let corner = |(x, y): (f64, f64)| {
        let d: [f64; 3] = std::array::from_fn(|i| ahead[i] + right[i] * x * half.0 + up[i] * y * half.1);
        let far = -at[2] / d[2];
        (d[2] < -0.02).then(|| Coord { x: at[0] + d[0] * far, y: at[1] + d[1] * far })
    };
    let ring: Option<Vec<_>> = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)].into_iter().map(corner).collect();
    Some(Polygon::new(LineString(ring?), vec![]))
}

#[test]
fn the_share_of_a_concave_floor_is_that_of_a_geometry_library() {
    let (mut dice, mut compared, mut shares) = (Dice::new(0xF100), 0, Vec::new());
    while compared < 1000 {
        let look =
            [dice.between(-5.0, 5.0), dice.between(-4.0, 4.0), dice.between(0.0, 1.0)].map(|x| f64::from(x as f32));
        let at = [dice.between(-12.0, 12.0), dice.between(-12.0, 12.0), dice.between(2.0, 15.0)]
            .map(|x| f64::from(x as f32));
        let focal_mm = f64::from(dice.between(5.0, 30.0) as f32);
        let half = (f64::from(9.59_f32) / 2.0 / focal_mm, f64::from(5.39_f32) / 2.0 / focal_mm);
        let Some(seen_there) = footprint(at, look, half) else { continue };
        let due = geo_floor().intersection(&seen_there).unsigned_area() / geo_floor().unsigned_area();
        let case = Case::of((at, look), focal_mm, [0.0; 5], (0.0, 0.0));
        let share = f64::from(seen::floor_share(&case.view, &floor()));
        assert!((share - due).abs() < 1e-4, "{share} is not {due}: {at:?} {look:?} {focal_mm}");
        compared += 1;
        shares.push(due);
    }
    let between = shares.iter().filter(|s| (0.05..0.95).contains(*s)).count();
    assert!(between > 300, "only {between} shares are worth comparing");
}

#[test]
fn the_share_holds_at_the_horizon_and_behind_the_camera() {
    let (mut dice, mut between) = (Dice::new(0xF101), 0);
    for _ in 0..300 {
        // Low cameras, many of them on the floor itself with part of it behind them.
        let at = [dice.between(-5.0, 5.0), dice.between(-5.0, 5.0), dice.between(0.3, 2.5)];
        let look = [dice.between(-5.0, 5.0), dice.between(-4.0, 4.0), dice.between(0.0, 2.5)];
        let case = Case::of((at, look), dice.between(4.0, 12.0), [0.0; 5], (0.0, 0.0));
        let (mut inside, mut seen_there) = (0_u32, 0_u32);
        for i in 0..250 {
            for k in 0..200 {
                let p = StagePoint::new(-5.0 + 0.04 * (i as f32 + 0.5), -4.0 + 0.04 * (k as f32 + 0.5));
                if geo::Contains::contains(&geo_floor(), &geo::Point::new(f64::from(p.x), f64::from(p.y))) {
                    inside += 1;
                    seen_there += u32::from(case.eye.has([f64::from(p.x), f64::from(p.y), 0.0]));
                }
            }
        }
        let (share, due) = (seen::floor_share(&case.view, &floor()), f64::from(seen_there) / f64::from(inside));
        // 50 m of border at most, of which each 40 mm may be half a cell of 40 mm off, one way or the other.
        assert!((f64::from(share) - due).abs() < 0.006, "{share} is not {due}: {:?}", case.view.pose);
        between += usize::from((0.05..0.95).contains(&due));
    }
    assert!(between > 100, "only {between} shares are worth comparing");
}

/// True when something of an upright segment of 2 m is in the picture.
fn comes_in(eye: &Eye, p: [f64; 2]) -> bool {
    (0..=200).any(|i| eye.has([p[0], p[1], f64::from(i) * 0.01]))
}

#[test]
fn the_wedge_is_where_two_metres_of_crew_come_into_the_picture() {
    let (mut dice, mut inside, mut outside) = (Dice::new(0xF102), 0, 0);
    for _ in 0..400 {
        let case = Case::random(&mut dice);
        let [lens_bends, tolerant] = [case.show.cameras[0].lens.distortion.is_some(), case.tolerance.0 > 0.0];
        let to_m = dice.between(2.0, 12.0);
        let found = wedge::wedge(&case.view, to_m as f32).expect("a wedge");
        let (eye, ahead) = (case.eye.at, case.view.pose.ahead.map(f64::from));
        let flat = ahead[0].hypot(ahead[1]);
        for _ in 0..60 {
            // Most of them before the camera, some all round it.
            let (on, aside) = (dice.between(-2.0, 14.0) / flat, dice.between(-8.0, 8.0) / flat);
            let p = [eye[0] + on * ahead[0] - aside * ahead[1], eye[1] + on * ahead[1] + aside * ahead[0]];
            let place = StagePoint::new(p[0] as f32, p[1] as f32);
            let far = ((p[0] - eye[0]) * ahead[0] + (p[1] - eye[1]) * ahead[1]) / flat;
            let due = far < to_m && case.eyes().iter().any(|eye| comes_in(eye, p));
            let off = polygon::signed_distance(&found, place);
            if due {
                inside += 1;
                assert!(off < 0.01, "{off}: {p:?} is in a picture of {:?}", case.view.pose);
            } else if !tolerant && !lens_bends {
                outside += 1;
                // The samples of the segment are 10 mm apart.
                assert!(off > -0.03, "{off}: {p:?} is in no picture of {:?}", case.view.pose);
            }
        }
    }
    assert!(inside > 500 && outside > 2000, "{inside} {outside}");
}

fn shot(show: &Show, name: &str) -> ShotId {
    ShotId(show.shots.iter().position(|s| s.name == name).expect("a shot of this name") as u8)
}

/// The figures of the demos, which came from a quick ray-caster.
#[test]
fn the_demos_cameras_see_as_much_of_their_floors_as_was_worked_out() {
    let figures = [
        ("clock-cabinet", "1-WIDE", 0.87),
        ("clock-cabinet", "1-MID-A", 0.0),
        ("clock-cabinet", "2-MID-B", 0.0),
        ("clock-cabinet", "2-WIDE", 0.63),
        ("lantern-field", "6-BEAUTY", 0.92),
    ];
    for (name, title, due) in figures {
        let show = demo(name);
        let view = shots::view_at(&show, shot(&show, title), 0.0).expect("a view");
        let share = seen::floor_share(&view, &show.floor.vertices);
        assert!((share - due).abs() < 0.005, "{title}: {share} is not {due}");
    }
}

/// 1.5 m + 5 m × sin 9.207° = 2.3 m; the arm rises one degree for each that it turns, from −5° at −60°: −45.79°.
/// The tail is at 1.5 m − 1.4 m × sin −5° = 1.622 m at first and at 1.5 m − 1.4 m × sin 35° = 0.697 m at last.
#[test]
fn the_jib_of_the_harbour_is_low_until_its_arm_has_risen() {
    let show = demo("harbour-hour");
    let sweep = jib::sweep(&show, shot(&show, "J-MOVE")).expect("keys").expect("a jib");
    let low = sweep.low.expect("a low head");
    assert!((low.from_deg + 60.0).abs() < 0.01 && (low.to_deg + 45.793).abs() < 0.01, "{low:?}");
    assert!((low.lowest_m - 1.064).abs() < 1e-3, "{low:?}");
    let base = StagePoint::new(6.5, -5.0);
    let [first, last] = [sweep.tail.first(), sweep.tail.last()].map(|t| t.expect("a tail"));
    assert!((first.z - 1.622).abs() < 1e-3 && (last.z - 0.697).abs() < 1e-3, "{first:?} {last:?}");
    assert!(sweep.tail.iter().all(|t| t.on_floor().distance(base) <= 1.4001));
    // The head's way in f64, a thousandth of the move at a time, and the person nearest to it.
    let person = StagePoint::new(2.3, -0.45);
    let head = |share: f64| {
        let (az, el) = ((-60.0 + 40.0 * share).to_radians(), (-5.0 + 40.0 * share).to_radians());
        (6.5 + 5.0 * el.cos() * az.sin(), -5.0 + 5.0 * el.cos() * az.cos(), 1.5 + 5.0 * el.sin())
    };
    let way = (0..=1000).map(|i| head(f64::from(i) / 1000.0)).filter(|h| h.2 < 2.3);
    let due = way.map(|h| (h.0 - 2.3).hypot(h.1 + 0.45)).fold(f64::INFINITY, f64::min);
    let found = f64::from(sweep.distance_m(person).expect("a low head"));
    assert!((found - due).abs() < 2e-3, "{found} is not {due}");
    assert_eq!(jib::sweep(&show, shot(&show, "1-WIDE")).expect("keys"), None);
    let high = jib::sweep(&show, shot(&show, "J-HIGH")).expect("keys").expect("a jib");
    assert_eq!((high.low, high.distance_m(person)), (None, None));
}
