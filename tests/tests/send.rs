//! Sending a pack to a box: the desk's code against the device's own code over a loopback port.

use std::io::{Read, Write};
use std::net::{Ipv4Addr, TcpListener};
use std::path::Path;
use std::thread;

use underfoot_core::limits;
use underfoot_core::link::version::Versions;
use underfoot_core::link::{Decoder, Mismatch, PlaceClass, Refusal, Request, What, frame, message::Answer};
use underfoot_core::pack::{self, PackError, ShowCode};
use underfoot_core::ports::Event;
use underfoot_core::show::{CueId, Mode};
use underfoot_sim::link::{SendError, Session, Step, place, send};
use underfoot_sim::project;
use underfoot_sim::sim::{LoopbackBox, MemoryFlash, PACK_FLASH};

fn demo() -> Vec<u8> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../host-sim/demos/clock-cabinet.toml");
    let show = project::load(&path).expect("a demo that loads").show;
    let mut bytes = vec![0; limits::PACK_BYTES];
    let len = pack::encode(&show, &mut bytes).expect("a demo that fits");
    bytes.truncate(len);
    bytes
}

fn fresh() -> LoopbackBox {
    LoopbackBox::start(MemoryFlash::new(PACK_FLASH)).expect("a loopback port")
}

#[test]
fn a_demo_is_sent_shown_and_kept() {
    let (pack, device) = (demo(), fresh());
    let mut steps = Vec::new();
    let sent = send(&pack, &device.target(), &mut |done, of| steps.push((done, of))).expect("a box that takes it");
    assert_eq!((sent.code, sent.bytes, sent.version), (ShowCode::of_pack(&pack).unwrap(), pack.len(), 3));
    assert_eq!(sent.report.mode, Mode::Off);
    assert_eq!(steps.first(), Some(&(0, pack.len())));
    assert_eq!(steps.last(), Some(&(pack.len(), pack.len())));
    assert!(steps.windows(2).all(|pair| pair[0].0 < pair[1].0));
    assert_eq!(device.watched().face().unwrap().code, Some(sent.code.bytes()));

    let device = LoopbackBox::start(device.power_off().expect("its flash")).expect("a loopback port");
    let mut session = Session::open(&device.target().parse().unwrap()).unwrap();
    session.hello(Versions::OURS).unwrap();
    let report = session.report().unwrap();
    assert_eq!((report.mode, report.pack_crc), (Mode::Off, sent.report.pack_crc));
}

#[test]
fn a_box_on_air_takes_no_pack_and_says_what_to_do() {
    let (pack, device) = (demo(), fresh());
    send(&pack, &device.target(), &mut |_, _| {}).unwrap();
    let mut session = Session::open(&device.target().parse().unwrap()).unwrap();
    session.hello(Versions::OURS).unwrap();
    session.done(Step::Command, &Request::Arm).unwrap();
    session.done(Step::Command, &Request::Go { to: CueId(0) }).unwrap();
    let error = send(&pack, &device.target(), &mut |_, _| {}).unwrap_err();
    assert!(matches!(error, SendError::Refused(Step::Begin, Refusal::NotOff)), "{error:?}");
    assert!(error.to_string().contains("press OFF"));
}

#[test]
fn damaged_packs_do_not_leave_the_desk() {
    let mut pack = demo();
    pack[100] ^= 1;
    let error = send(&pack, "tcp:127.0.0.1:9", &mut |_, _| {}).unwrap_err();
    assert!(matches!(error, SendError::Pack(PackError::Crc { .. })), "{error:?}");
}

#[test]
fn a_port_where_nobody_listens_is_a_line_fault() {
    let free = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).unwrap().local_addr().unwrap();
    let error = send(&demo(), &format!("tcp:{free}"), &mut |_, _| {}).unwrap_err();
    assert!(matches!(error, SendError::Line(_)), "{error:?}");
}

#[test]
fn a_box_of_another_age_names_the_side_to_update() {
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).unwrap();
    let target = format!("tcp:{}", listener.local_addr().unwrap());
    let future = Versions { min: 4, current: 6 };
    let peer = thread::spawn(move || {
        let (mut stream, _) = listener.accept().unwrap();
        let (mut decoder, mut byte) = (Decoder::new(), [0]);
        loop {
            stream.read_exact(&mut byte).unwrap();
            if let Some(Ok(hello)) = decoder.push(byte[0]) {
                let mut out = [0; 64];
                let len = frame::write(hello.sequence, &Answer::Hello(future), &mut out).unwrap();
                return stream.write_all(&out[..len]).unwrap();
            }
        }
    });
    let error = send(&demo(), &target, &mut |_, _| {}).unwrap_err();
    peer.join().unwrap();
    let (desk, device) = (Versions::OURS, future);
    assert!(matches!(error, SendError::Versions(m) if m == Mismatch::UpdateDesk { desk, device }), "{error:?}");
    assert_eq!(error.to_string(), "update the desk: the desk speaks link 1 to 3, the box 4 to 6");
}

#[test]
fn noise_before_the_first_frame_only_costs_a_repeat() {
    let device = fresh();
    // Half a frame from a desk that was cut off, then a new desk.
    let address = device.target();
    let mut stream = std::net::TcpStream::connect(address.strip_prefix("tcp:").unwrap()).unwrap();
    stream.write_all(&[9, 1, 2, 3]).unwrap();
    thread::sleep(std::time::Duration::from_millis(50));
    drop(stream);
    let sent = send(&demo(), &address, &mut |_, _| {}).unwrap();
    assert!(sent.repeats >= 1);
    assert!(device.watched().events().contains(&Event::BadFrame));
}

#[test]
fn a_box_says_what_is_at_a_place_of_the_show_that_it_has() {
    let (pack, device) = (demo(), fresh());
    let none = place(&pack, &device.target(), (150, -350)).unwrap_err();
    assert!(none.to_string().starts_with("the box has no show"), "{none}");
    send(&pack, &device.target(), &mut |_, _| {}).unwrap();
    let off = place(&pack, &device.target(), (150, -350)).unwrap_err();
    assert!(matches!(off, SendError::Refused(Step::Place, Refusal::NoCue)), "{off:?}");
    assert!(off.to_string().contains("the box is OFF"));
    let mut session = Session::open(&device.target().parse().unwrap()).unwrap();
    session.hello(Versions::OURS).unwrap();
    session.done(Step::Command, &Request::Arm).unwrap();
    session.done(Step::Command, &Request::Go { to: CueId(0) }).unwrap();
    drop(session);
    // Beyond the floor of 3 m in whatever cue.
    let said = place(&pack, &device.target(), (-1_600, 0)).unwrap();
    assert_eq!((said.cue, said.class, said.what), (CueId(0), PlaceClass::Edge, What::OffFloor));
    // The box keeps its show; the desk asks with another one.
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../host-sim/demos/harbour-hour.toml");
    let mut other = vec![0; limits::PACK_BYTES];
    let len = pack::encode(&project::load(&path).unwrap().show, &mut other).unwrap();
    let error = place(&other[..len], &device.target(), (0, 0)).unwrap_err();
    let codes = [&pack[..], &other[..len]].map(|p| ShowCode::of_pack(p).unwrap().to_string());
    assert_eq!(
        error.to_string(),
        format!(
            "the box has show {}, and this file is {}: name the file that it has, or send this one",
            codes[0], codes[1]
        )
    );
}

/// A box that speaks link 1 only is not asked what it cannot understand.
#[test]
fn a_box_from_before_the_question_is_named_as_the_side_to_update() {
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).unwrap();
    let target = format!("tcp:{}", listener.local_addr().unwrap());
    let peer = thread::spawn(move || {
        let (mut stream, _) = listener.accept().unwrap();
        let (mut decoder, mut byte) = (Decoder::new(), [0]);
        while stream.read_exact(&mut byte).is_ok() {
            if let Some(Ok(hello)) = decoder.push(byte[0]) {
                let mut out = [0; 64];
                let old = Answer::Hello(Versions { min: 1, current: 1 });
                let len = frame::write(hello.sequence, &old, &mut out).unwrap();
                stream.write_all(&out[..len]).unwrap();
            }
        }
    });
    let error = place(&demo(), &target, (0, 0)).unwrap_err();
    assert_eq!(error.to_string(), "update the box: the desk speaks link 2 to 3, the box 1 to 1");
    peer.join().unwrap();
}
