//! A box beside the rehearse page: the box's own code over a loopback port, and one whose answers are spoiled on the way.

use std::io::{Read, Write};
use std::net::{Ipv4Addr, TcpListener, TcpStream};
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicU32, Ordering};
use std::thread;
use std::time::{Duration, Instant};

use serde_json::Value;
use underfoot_core::limits;
use underfoot_core::link::frame::{self, MAX_WIRE_BYTES};
use underfoot_core::link::version::Versions;
use underfoot_core::link::{Answer, Bytes, Decoder, Request};
use underfoot_core::pack;
use underfoot_core::show::CueId;
use underfoot_sim::link::{Session, Step, send};
use underfoot_sim::project::{self, Project};
use underfoot_sim::rehearse::House;
use underfoot_sim::rehearse::door::{Door, Hosts};
use underfoot_sim::rehearse::draft::Draft;
use underfoot_sim::rehearse::notices::Kind;
use underfoot_sim::sim::{LoopbackBox, MemoryFlash, PACK_FLASH};

/// Nothing at a loopback port takes longer; a loaded machine may.
const PATIENCE: Duration = Duration::from_secs(30);

fn demo(name: &str) -> Project {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("../host-sim/demos/{name}.toml"));
    project::load(&path).expect("a demo that loads")
}

/// A box that has a demo, and its desk.
fn with(name: &str) -> (LoopbackBox, Session) {
    let device = LoopbackBox::start(MemoryFlash::new(PACK_FLASH)).expect("a loopback port");
    let mut bytes = vec![0; limits::PACK_BYTES];
    let len = pack::encode(&demo(name).show, &mut bytes).expect("a demo that fits");
    send(&bytes[..len], &device.target(), &mut |_, _| {}).expect("a box that takes it");
    let mut session = Session::open(&device.target().parse().unwrap()).unwrap();
    session.hello(Versions::OURS).unwrap();
    (device, session)
}

fn house(name: &str) -> Arc<House> {
    let door = Door::new(Hosts::new(1, &[])).expect("a door");
    Arc::new(House::new(door, Draft::new(demo(name), None)).expect("a house"))
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
    let (device, _) = with("clock-cabinet");
    let house = house("clock-cabinet");
    house.attach(&device.target()).expect("an address");
    told(&house, is("dark"));
    // One line has one desk at a time: the newest caller is answered.
    let mut session = Session::open(&device.target().parse().unwrap()).unwrap();
    session.hello(Versions::OURS).unwrap();
    session.done(Step::Command, &Request::Arm).unwrap();
    session.done(Step::Command, &Request::Go { to: CueId(0) }).unwrap();
    let same = told(&house, |told| is("same")(told) && told["compared"].as_u64() >= Some(1));
    assert_eq!((&same["mode"], &same["cue"]), (&"BRIEF".into(), &0.into()));
    assert_eq!(same["differing"], serde_json::json!({}));
    drop(session);
    device.power_off();
    told(&house, is("silent"));
}

#[test]
fn a_box_with_another_show_is_not_compared() {
    let (device, _session) = with("clock-cabinet-clean");
    let house = house("clock-cabinet");
    house.attach(&device.target()).expect("an address");
    let told = told(&house, is("other-show"));
    assert!(told["words"].as_str().unwrap().contains("the box has show"), "{told}");
    assert!(house.attach("the box").is_err());
}

/// Passes everything on but what `spoil` changes of the box's answers.
fn relay(target: String, spoil: fn(&mut Answer)) -> String {
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).unwrap();
    let address = format!("tcp:{}", listener.local_addr().unwrap());
    thread::spawn(move || {
        for desk in listener.incoming().flatten() {
            let device = TcpStream::connect(target.trim_start_matches("tcp:")).unwrap();
            let (mut from_desk, mut to_device) = (desk.try_clone().unwrap(), device.try_clone().unwrap());
            thread::spawn(move || std::io::copy(&mut from_desk, &mut to_device));
            thread::spawn(move || spoiled(device, desk, spoil));
        }
    });
    address
}

fn spoiled(mut device: TcpStream, mut desk: TcpStream, spoil: fn(&mut Answer)) {
    let (mut decoder, mut bytes) = (Decoder::new(), [0; 256]);
    while let Ok(len @ 1..) = device.read(&mut bytes) {
        for &byte in &bytes[..len] {
            let Some(Ok(frame)) = decoder.push(byte) else { continue };
            let (sequence, mut answer) = (frame.sequence, postcard::from_bytes(frame.message).expect("an answer"));
            spoil(&mut answer);
            let mut wire = [0; MAX_WIRE_BYTES];
            let len = frame::write(sequence, &answer, &mut wire).expect("room");
            if desk.write_all(&wire[..len]).is_err() {
                return;
            }
        }
    }
}

/// Where the spoiled span of [`ROW`] begins, and how long it is.
static SPOILED: AtomicU32 = AtomicU32::new(u32::MAX);
const ROW: u16 = 384;

/// A box that lights the first span of one row in another colour, and sums its rows as it lights them.
fn one_span(answer: &mut Answer) {
    match answer {
        Answer::Picture { crc, .. } if *crc != 0 => *crc ^= 1,
        Answer::Spans(spans) => {
            let mut bytes = spans.as_slice().to_vec();
            for span in bytes.chunks_exact_mut(10) {
                let number = |i: usize| u16::from_le_bytes([span[i], span[i + 1]]);
                let (row, at) = (number(0), u32::from(number(2)) << 16 | u32::from(number(4) - number(2)));
                if row == ROW && [u32::MAX, at].contains(&SPOILED.load(Ordering::Relaxed)) {
                    SPOILED.store(at, Ordering::Relaxed);
                    span[6] ^= 0x40;
                }
            }
            *spans = Bytes::of(&bytes).expect("as many");
        }
        _ => {}
    }
}

#[test]
fn every_pixel_that_differs_is_flagged() {
    let (device, mut session) = with("clock-cabinet");
    session.done(Step::Command, &Request::Arm).unwrap();
    session.done(Step::Command, &Request::Go { to: CueId(0) }).unwrap();
    drop(session);
    let house = house("clock-cabinet");
    house.attach(&relay(device.target(), one_span)).expect("an address");
    let told = told(&house, is("differs"));
    let pixels = SPOILED.load(Ordering::Relaxed) & 0xFFFF;
    assert!(pixels > 0);
    assert_eq!(told["differing"], serde_json::json!({ "FLOOR": pixels }), "{told}");
    assert!(told["words"].as_str().unwrap().starts_with(&format!("{pixels} pixels differ")), "{told}");
}
