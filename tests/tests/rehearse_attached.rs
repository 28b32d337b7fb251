//! A box beside the rehearse page: the box's own code over a loopback port, and one whose answers are spoiled on the way.
//! `rehearse_attached_page.rs` has the same in a browser.

use std::fs;
use std::path::Path;
use std::sync::Arc;
use std::thread;
use std::time::{Duration, Instant};

use serde_json::{Value, json};
use underfoot_core::link::Request;
use underfoot_core::link::version::Versions;
use underfoot_core::show::CueId;
use underfoot_sim::link::{Session, Step, send};
use underfoot_sim::project::Project;
use underfoot_sim::rehearse::House;
use underfoot_sim::rehearse::boxes::doings::{Doings, Done};
use underfoot_sim::rehearse::door::{Door, Hosts};
use underfoot_sim::rehearse::draft::Draft;
use underfoot_sim::rehearse::notices::Kind;
use underfoot_sim::sim::LoopbackBox;
use underfoot_sim::{demos::text_of, project};
use underfoot_tests::beside::{self, Spoiled, empty, with};
use underfoot_tests::device::shows::packed;

/// Nothing at a loopback port takes longer; a loaded machine may.
const PATIENCE: Duration = Duration::from_secs(30);

/// One line has one desk at a time: the newest caller is answered.
fn desk(device: &LoopbackBox) -> Session {
    let mut session = Session::open(&device.target().parse().unwrap()).unwrap();
    session.hello(Versions::OURS).unwrap();
    session
}

fn house(name: &str) -> Arc<House> {
    let door = Door::new(Hosts::new(1, &[])).expect("a door");
    Arc::new(House::new(door, Draft::new(beside::project(name), None)).expect("a house"))
}

/// Waits until what is told of the attached box is as wanted.
fn told(house: &House, wanted: impl Fn(&Value) -> bool) -> Value {
    let (standing, _) = house.notices.watch();
    let begun = Instant::now();
    let mut last = Value::Null;
    while begun.elapsed() < PATIENCE {
        if let Some((_, text)) = standing.borrow().get(&Kind::Attached) {
            last = serde_json::from_str(text).expect("JSON");
        }
        if wanted(&last) {
            return last;
        }
        thread::sleep(Duration::from_millis(20));
    }
    panic!("still {last}")
}

fn is(state: &'static str) -> impl Fn(&Value) -> bool {
    move |told| told["state"] == state
}

#[test]
fn a_good_box_is_the_same_picture_after_picture_and_a_gone_one_is_silent() {
    let device = with("clock-cabinet");
    let house = house("clock-cabinet");
    house.attach(&device.target(), false).expect("an address");
    let dark = told(&house, is("dark"));
    assert_eq!((&dark["differing"], &dark["obeys"]), (&json!({ "FLOOR": 0 }), &json!(false)));
    let mut session = desk(&device);
    session.done(Step::Command, &Request::Arm).unwrap();
    session.done(Step::Command, &Request::Go { to: CueId(0) }).unwrap();
    let same = told(&house, |told| is("same")(told) && told["compared"].as_u64() >= Some(1));
    assert_eq!((&same["mode"], &same["cue"]), (&"BRIEF".into(), &0.into()));
    assert_eq!((&same["differing"], &same["within"]), (&json!({ "FLOOR": 0 }), &json!({})));
    drop(session);
    device.power_off();
    let gone = told(&house, is("silent"));
    assert!(gone["words"].as_str().unwrap().contains("again by itself"), "{gone}");
}

#[test]
fn a_box_with_another_show_is_not_compared() {
    let device = with("clock-cabinet-clean");
    let house = house("clock-cabinet");
    house.attach(&device.target(), false).expect("an address");
    let told = told(&house, is("other-show"));
    assert!(told["words"].as_str().unwrap().contains("the box has show"), "{told}");
    assert!(house.attach("the box", false).is_err());
}

#[test]
fn every_pixel_that_differs_is_flagged() {
    let device = with("clock-cabinet");
    let mut session = desk(&device);
    session.done(Step::Command, &Request::Arm).unwrap();
    session.done(Step::Command, &Request::Go { to: CueId(0) }).unwrap();
    drop(session);
    let (house, spoiled) = (house("clock-cabinet"), Spoiled::of(384..=386));
    house.attach(&spoiled.relay(&device.target()), false).expect("an address");
    let told = told(&house, is("differs"));
    let pixels = spoiled.pixels();
    assert!(pixels > 0);
    assert_eq!(told["differing"], json!({ "FLOOR": pixels }), "{told}");
    assert!(told["words"].as_str().unwrap().starts_with(&format!("{pixels} pixels differ")), "{told}");
    assert_eq!(told["within"]["FLOOR"]["rows"], json!([384, 386]), "{told}");
}

/// Gives orders as the boxes behind the page do, each once the last one was carried out.
#[test]
fn orders_are_given_in_their_order_and_refusals_are_told() {
    let (device, house) = (with("clock-cabinet"), house("clock-cabinet"));
    house.attach(&device.target(), true).expect("an address");
    told(&house, is("dark"));
    let doings: &Arc<Doings> = house.boxes.doings();
    let order = |done: Done, wanted: &str| {
        doings.add([done]);
        told(&house, |told| told["order"].as_str().is_some_and(|order| order.starts_with(wanted)))
    };
    order(Done::Go(CueId(0)), "it did not take GO to 1 BRIEF: it is in OFF and not armed");
    order(Done::Arm, "it was given arm");
    order(Done::Go(CueId(0)), "it was given GO to 1 BRIEF");
    order(Done::Go(CueId(2)), "it did not take GO to 3 WALK TO C: there it leads to 2 WATCH IN");
    // The lockout of 400 ms, and a HOLD that a desk asked for, hold up nobody who gives orders.
    order(Done::Hold(true), "it was given HOLD");
    doings.add([Done::Go(CueId(1)), Done::Go(CueId(2))]);
    told(&house, |told| told["cue"] == 2 && told["order"] == "it was given GO to 3 WALK TO C");
    assert!(desk(&device).ask(Step::Command, &Request::Outlook).is_ok_and(|answer| {
        matches!(answer, underfoot_core::link::Answer::Outlook(outlook) if outlook.hold && outlook.now == Some(CueId(2)))
    }));
    device.power_off();
    told(&house, is("silent"));
    order(Done::Off, "it missed OFF");
}

/// The demo's floor as a small mat of pixel tape.
fn tape() -> Project {
    let text = text_of("clock-cabinet").expect("a demo");
    let text = text.replace("size_px = [768, 768]", "size_px = [48, 48]\noutput = \"direct\"\nfirst_universe = 1");
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join("attached-tape.toml");
    fs::write(&path, text.replace("panel_px = [128, 128]", "panel_px = [8, 8]")).expect("a file");
    project::load(&path).expect("a show that loads")
}

#[test]
fn a_box_with_tape_only_is_not_said_to_differ() {
    let (show, device) = (tape(), empty());
    send(&packed(&show.show), &device.target(), &mut |_, _| {}).expect("a box that takes it");
    let door = Door::new(Hosts::new(1, &[])).expect("a door");
    let house = House::new(door, Draft::new(show, None)).expect("a house");
    house.attach(&device.target(), true).expect("an address");
    assert_eq!(told(&house, is("dark"))["differing"], json!({}));
    house.boxes.doings().add([Done::Arm, Done::Go(CueId(0))]);
    told(&house, is("not-compared"));
}
