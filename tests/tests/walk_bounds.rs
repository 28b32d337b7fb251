//! The default paces and widths beside published ones.

use underfoot_core::show::{PersonClass, Show};
use underfoot_core::walk::Timing;
use underfoot_sim::project::{Project, parse};

/// One foot, metres.
const FOOT_M: f32 = 0.3048;
/// Walking speeds of MUTCD 2009, section 4E.06: 3.5 ft/s in general, 3.0 ft/s as a cross-check for slower people, those in
/// wheelchairs or with low vision among them; and the 4.0 ft/s of the edition before.
const USUAL_MPS: f32 = 3.5 * FOOT_M;
const SLOW_MPS: f32 = 3.0 * FOOT_M;
const FORMER_MPS: f32 = 4.0 * FOOT_M;
/// Comfortable means, from women of 80 to 99 to men of 40 to 49 (Bohannon and Andrews 2011, Physiotherapy 97(3)).
const COMFORTABLE_MPS: [f32; 2] = [0.943, 1.434];
/// 15th percentile of people over 60 at crossings (TCRP/NCHRP study, abstract).
const OVER_60_MPS: f32 = 0.92;
/// 2010 ADA Standards 403.5.1: clear width 36 in, printed as 915 mm; 304.3.1: turning circle 60 in, printed as 1525 mm.
const CLEAR_WIDTH_M: f32 = 36.0 * FOOT_M / 12.0;
const TURNING_M: f32 = 60.0 * FOOT_M / 12.0;

const ROLES: [&str; 5] = ["presenter", "performer", "guest", "guided", "wheelchair"];

/// A demo with one more person, and without limits of its own.
fn with_extra(role: &str) -> Project {
    let text = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/../host-sim/demos/clock-cabinet.toml"));
    let mut text = text.expect("a demo");
    text.push_str(&format!(
        "\n[[person]]\nname = \"Extra\"\nheight_m = 1.7\nrole = \"{role}\"\nwho = \"white-circle\"\n"
    ));
    parse("extra.toml", &text).expect("a show with one more person")
}

fn class_of(role: &str) -> PersonClass {
    let project = with_extra(role);
    let show: &Show = &project.show;
    let person = show.people.iter().find(|p| p.name == "Extra").expect("the person");
    show.classes[person.class.index()].clone()
}

#[test]
fn nobody_is_planned_to_walk_faster_than_slow_walkers_do() {
    let paces: Vec<f32> = ROLES.iter().map(|role| class_of(role).pace_mps).collect();
    assert_eq!(paces, [0.9, 0.9, 0.7, 0.6, 0.8]);
    for (role, &pace) in ROLES.iter().zip(&paces) {
        let slowest = [SLOW_MPS, OVER_60_MPS, COMFORTABLE_MPS[0]].into_iter().fold(f32::INFINITY, f32::min);
        assert!(pace <= slowest, "{role} at {pace}");
    }
    // What may be asked is more than what is usual at crossings, but no more than once was, and a comfortable pace of some.
    let asked = with_extra("guest").limits.pace_mps;
    assert!((USUAL_MPS..=FORMER_MPS.min(COMFORTABLE_MPS[1])).contains(&asked), "{asked}");
}

/// A corridor of 1.2 m is wide enough for wheels and for a guided pair. The 0.9 m of one person on foot are 14.4 mm less
/// than 36 in: enough for a person on foot, but wheels must never be planned through it.
#[test]
fn corridors_beside_the_clear_width_of_wheels() {
    for role in ["guided", "wheelchair"] {
        let width = class_of(role).walk_width_m;
        assert!(width == 1.2 && width >= CLEAR_WIDTH_M, "{role}: {width}");
    }
    let single = class_of("guest").walk_width_m;
    assert!((CLEAR_WIDTH_M - single - 0.0144).abs() < 1e-4, "{single}");
    // A chair turns on the spot inside the circle that is asked for.
    let (width, length) = class_of("wheelchair").chair_m.expect("a chair");
    assert!(width.hypot(length) < TURNING_M, "{width} {length}");
}

/// A show that says nothing of times is walked as the core walks: desk and box may not differ.
#[test]
fn the_desks_defaults_are_the_cores() {
    for role in ROLES {
        let class = class_of(role);
        assert_eq!(with_extra(role).timing(None, Some(&class), class.pace_mps), Timing::of(&class), "{role}");
    }
}
