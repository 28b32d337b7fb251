//! Framing and speeds in the invented demo shows that were worked by hand with the plan, before the core existed.

use std::path::Path;

use underfoot_core::cameras::framing::{Framed, Framing, Side, framing};
use underfoot_core::cameras::{Body, shots};
use underfoot_core::show::{ShotId, Show};
use underfoot_sim::project::load;

fn show(name: &str) -> Show {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../host-sim/demos").join(name);
    *load(&path).unwrap_or_else(|errors| panic!("{name}: {errors:?}")).show
}

fn shot(show: &Show, name: &str) -> ShotId {
    ShotId(show.shots.iter().position(|s| s.name == name).expect("the shot") as u8)
}

/// How a shot without its operator's tolerance has a person at a mark.
fn framed(show: &mut Show, shot_name: &str, person: &str, mark: &str) -> Framed {
    for camera in &mut show.cameras {
        (camera.pan_tilt_tolerance_deg, camera.zoom_tolerance) = (0.0, 0.0);
    }
    let person = show.people.iter().find(|p| p.name == person).expect("the person");
    let at = show.marks.iter().find(|m| m.name == mark).expect("the mark").at;
    let body = Body::of(show, &show.classes[person.class.index()], at);
    framing(&shots::view_at(show, shot(show, shot_name), 0.0).expect("a view"), &body)
}

#[test]
fn the_tall_guest_is_out_of_the_tight_shot_and_in_the_repaired_one() {
    let faulty = framed(&mut show("clock-cabinet.toml"), "2-MID-B", "Guest 2", "B");
    assert!((faulty.head - 1.38).abs() < 0.005, "{faulty:?}");
    assert_eq!(faulty.state, Framing::Cut(Side::Top));
    let clean = framed(&mut show("clock-cabinet-clean.toml"), "2-MID-B", "Guest 2", "B");
    assert!((clean.head - 0.90).abs() < 0.005, "{clean:?}");
    assert_eq!(clean.state, Framing::Framed);
}

#[test]
fn the_cable_camera_goes_at_3_3_m_a_second() {
    let show = show("lantern-field.toml");
    let fastest = shots::speed(&show, shot(&show, "3-CABLE")).mps;
    assert!((fastest - 3.3).abs() < 0.05, "{fastest}");
}
