//! Frozen bytes of every link version: each message, answer, refusal and kind of happening, as a script outside the
//! project writes it (`fixtures/link/record.py`: Python's zlib for checksums, stuffing and numbers by their papers).
//!
//! If this fails for a released version, put the message back as it was: released boxes speak these bytes.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use serde::Serialize;
use underfoot_core::engine::{Fault, Gate, Reveal, Source};
use underfoot_core::link::frame::{self, MAX_WIRE_BYTES};
use underfoot_core::link::version::CURRENT;
use underfoot_core::link::{
    Answer, Bytes, Decoder, Entry, Events, Happened, Moved, Need, Nudge, Nudges, Outlook, PackCheck, Piece, PlaceClass,
    Refusal, Report, Request, Short, Spoken, Start, Tiled, Versions, What,
};
use underfoot_core::show::{CameraId, CueId, MarkId, Mode, PropId, Timecode};

const MODES: [Mode; 7] = [Mode::Build, Mode::Brief, Mode::Standby, Mode::Air, Mode::Reset, Mode::Off, Mode::Worklight];
const SOURCES: [Source; 5] = [Source::Keys, Source::Desk, Source::Slots, Source::Timecode, Source::Crew];
const FULL_CHUNK: [u8; 512] = {
    let mut bytes = [0; 512];
    let mut i = 0;
    while i < bytes.len() {
        bytes[i] = i as u8;
        i += 1;
    }
    bytes
};

/// Name in the record, and what it stands for.
type Asked = (String, Request<'static>);
type Told = (String, Answer);

fn desk(name: &str, request: Request<'static>) -> Asked {
    (format!("desk {name}"), request)
}

fn told(name: &str, answer: Answer) -> Told {
    (format!("box {name}"), answer)
}

fn bytes(some: &[u8]) -> Bytes {
    Bytes::of(some).expect("few enough")
}

fn refused(name: &str, why: Refusal) -> Told {
    told(&format!("Refused {name}"), Answer::Refused(why))
}

fn report(mode: Mode) -> Answer {
    let (now, next, pack_crc) = (Some(CueId(2)), Some(CueId(3)), Some(1));
    let (frames, picture_crc) = (128, 5);
    let fixed = (false, 0, 0);
    Answer::Report(Report {
        mode,
        now,
        next,
        back: None,
        armed: fixed.0,
        pack_crc,
        frames,
        picture_crc,
        bad_frames: fixed.1,
        paint_faults: fixed.2,
    })
}

fn report_off() -> Answer {
    Answer::Report(Report {
        mode: Mode::Off,
        now: None,
        next: Some(CueId(0)),
        back: None,
        armed: true,
        pack_crc: None,
        frames: 0,
        picture_crc: 0,
        bad_frames: 300,
        paint_faults: 70_000,
    })
}

fn asked_in_1() -> Vec<Asked> {
    let ours = Versions { min: 1, current: 1 };
    vec![
        desk("Hello", Request::Hello(ours)),
        desk("Report", Request::Report),
        desk("PackBegin", Request::PackBegin { len: 300 }),
        desk("PackChunk", Request::PackChunk { offset: 512, bytes: &[9, 0] }),
        desk("PackChunk full", Request::PackChunk { offset: 32_256, bytes: &FULL_CHUNK }),
        desk("PackCommit", Request::PackCommit),
        desk("Go", Request::Go { to: CueId(200) }),
        desk("Back", Request::Back { to: CueId(4) }),
        desk("Off", Request::Off),
        desk("Arm", Request::Arm),
    ]
}

fn told_in_1() -> Vec<Told> {
    use PackCheck::*;
    let ours = Versions { min: 1, current: 1 };
    let mut all = vec![told("Hello", Answer::Hello(ours)), told("Report", report(Mode::Air))];
    all.push(told("Report off", report_off()));
    all.extend((0..).zip(MODES).map(|(i, mode): (u8, _)| told(&format!("Report mode {i}"), report(mode))));
    all.push(told("Done", Answer::Done));
    all.extend([
        refused("HelloFirst", Refusal::HelloFirst),
        refused("Unreadable", Refusal::Unreadable),
        refused("NoShow", Refusal::NoShow),
        refused("NotShown none", Refusal::NotShown { shown: None }),
        refused("NotShown", Refusal::NotShown { shown: Some(CueId(1)) }),
        refused("Lockout", Refusal::Lockout { left_ms: 400 }),
        refused("NotArmed", Refusal::NotArmed),
        refused("NotOff", Refusal::NotOff),
        refused("NoPack", Refusal::NoPack),
        refused("Offset", Refusal::Offset { expected: 1 }),
        refused("TooLong", Refusal::TooLong { limit: 32_768 }),
        refused("Incomplete", Refusal::Incomplete { expected: 2, got: 1 }),
    ]);
    let checks = [TooShort, TooLong, Magic, Version, Length, Crc, Value, Full, Trailing, Show];
    let pack = |check| Refusal::Pack { check, expected: 1, got: 128 };
    all.extend((0..).zip(checks).map(|(i, check): (u8, _)| refused(&format!("Pack {i}"), pack(check))));
    all.push(refused("Store", Refusal::Store));
    all
}

fn asked_in_2() -> Vec<Asked> {
    vec![desk("At", Request::At { x_mm: 300, y_mm: -1100 })]
}

fn told_in_2() -> Vec<Told> {
    let said = |name: &str, class, what| {
        told(&format!("At {name}"), Answer::At(Spoken { cue: CueId(3), after_ms: 1500, class, what }))
    };
    let part = What::Part { prop: PropId(2), part: 1 };
    vec![
        said("free", PlaceClass::Free, What::Nothing),
        said("contact", PlaceClass::Contact, part),
        said("body", PlaceClass::Body, part),
        said("overhead", PlaceClass::Overhead, part),
        said("swept soon", PlaceClass::SweptSoon, part),
        said("physical", PlaceClass::Physical, What::Physical(5)),
        said("edge", PlaceClass::Edge, What::Side(1)),
        said("off the floor", PlaceClass::Edge, What::OffFloor),
        said("dead", PlaceClass::Dead, What::Panel(0)),
        refused("NoCue", Refusal::NoCue),
        refused("BadShape", Refusal::BadShape),
    ]
}

fn asked_in_3() -> Vec<Asked> {
    let mut all = vec![desk("Mode none", Request::Mode { mode: None })];
    let modes = (0..).zip(MODES);
    all.extend(modes.map(|(i, mode): (u8, _)| desk(&format!("Mode {i}"), Request::Mode { mode: Some(mode) })));
    let at = Timecode { hours: 10, minutes: 59, seconds: 58, frames: 24 };
    let pose = Request::Pose {
        camera: CameraId(2),
        from_mm: [-3000, -8000, 1600],
        look_mm: [0, 2500, 1200],
        roll_centideg: -150,
        focal_um: 35_000,
    };
    all.extend([
        desk("Hold on", Request::Hold { on: true }),
        desk("Hold off", Request::Hold { on: false }),
        desk("PackResume", Request::PackResume { len: 30_000, crc: 0xDEAD_BEEF }),
        desk("Wipe", Request::Wipe),
        desk("Events", Request::Events { after: 300 }),
        desk("Outlook", Request::Outlook),
        desk("OnAir", Request::OnAir { lit: true }),
        desk("Timecode", Request::Timecode { at }),
        desk("Presence", Request::Presence { places: &[0xDC, 5, 0, 0, 0xFE, 0xFF, 0xFF, 0xFF] }),
        desk("Presence nobody", Request::Presence { places: &[] }),
        desk("Pose", pose),
        desk("Nudge mark", Request::Nudge { what: Piece::Mark(MarkId(5)), dx_mm: 50, dy_mm: -50 }),
        desk("Nudge prop", Request::Nudge { what: Piece::Prop(PropId(6)), dx_mm: i16::MIN, dy_mm: i16::MAX }),
        desk("ClearKey", Request::ClearKey { down: true }),
        desk("Setup", Request::Setup { controller: 2, backup: true, address: Some(([192, 0, 2, 7], 24)) }),
        desk("Setup no address", Request::Setup { controller: 1, backup: false, address: None }),
        desk("Tile", Request::Tile { block: 1, column: 2, row: 3, dead: true }),
        desk("Picture", Request::Picture),
        desk("Spans", Request::Spans { view: &[0, 7, 255], canvas: 2, row: 760, skip: 25 }),
        desk("Display", Request::Display { stripe: 3 }),
        desk("Nudges", Request::Nudges),
        desk("PutBack", Request::PutBack { what: Some(Piece::Mark(MarkId(5))) }),
        desk("PutBack all", Request::PutBack { what: None }),
        desk("Drawn", Request::Drawn { props: 0x8000_0001 }),
    ]);
    all
}

fn happened(name: &str, what: Happened) -> Told {
    let mut entries = [None; 8];
    entries[0] = Some(Entry { at_ms: 1500, times: 300, what });
    told(&format!("Events {name}"), Answer::Events(Events { first: 7, now_ms: 90_000, entries }))
}

fn happenings() -> Vec<Told> {
    let panic = Start::Panic { file: 0x1234_5678, line: 300 };
    let starts = [Start::Power, Start::Watchdog, panic, Start::Fault { at: 0x8000 }, Start::BrownOut];
    let numbered = |name: &'static str| (0u8..).map(move |i| format!("{name} {i}"));
    let mut all: Vec<Told> = Vec::new();
    all.extend(numbered("Started").zip(starts).map(|(name, why)| happened(&name, Happened::Started(why))));
    let advanced = |from| Happened::Advanced { from, to: CueId(4) };
    all.extend(numbered("Advanced").zip(SOURCES).map(|(name, from)| happened(&name, advanced(from))));
    let why = Refusal::Lockout { left_ms: 400 };
    all.extend([
        happened("Off", Happened::Off { from: Some(Source::Desk) }),
        happened("Off alone", Happened::Off { from: None }),
        happened("Mode", Happened::Mode { from: Source::Desk, mode: Some(Mode::Worklight) }),
        happened("Hold", Happened::Hold { from: Source::Keys, on: true }),
        happened("Refused", Happened::Refused { from: Source::Desk, why }),
    ]);
    let broke = |fault| Happened::Fault { fault, there: true };
    all.extend(numbered("Fault").zip(Fault::ALL).map(|(name, fault)| happened(&name, broke(fault))));
    all.extend([
        happened("ShowReady", Happened::ShowReady { pack_crc: 0xDEAD_BEEF }),
        happened("NoShow", Happened::NoShow),
        happened("StoreFailed", Happened::StoreFailed),
        happened("PackRefused", Happened::PackRefused),
        happened("VersionMismatch", Happened::VersionMismatch),
        happened("BadFrame", Happened::BadFrame),
        happened("PaintFault", Happened::PaintFault),
        happened("PortFault", Happened::PortFault),
        happened("Wiped", Happened::Wiped),
        happened("SetUp", Happened::SetUp),
    ]);
    all
}

const DARK: Outlook = Outlook {
    mode: Mode::Off,
    now: None,
    next: Some(CueId(0)),
    back: None,
    gate: Gate::Open,
    hold: false,
    reveal: Reveal::Clear,
    by: None,
    faults: 0,
    after_ms: 0,
    pack_crc: None,
    controller: 0,
    backup: false,
    leads: false,
};

fn outlooks() -> Vec<Told> {
    let outlook = |name: &str, outlook| told(&format!("Outlook{name}"), Answer::Outlook(outlook));
    let lit = Outlook {
        mode: Mode::Air,
        now: Some(CueId(2)),
        next: Some(CueId(3)),
        back: Some(CueId(1)),
        gate: Gate::Open,
        hold: true,
        reveal: Reveal::NotClear,
        by: Some(Source::Desk),
        faults: 0x203,
        after_ms: 5000,
        pack_crc: Some(0xDEAD_BEEF),
        controller: 2,
        backup: true,
        leads: true,
    };
    let unknown = Outlook { reveal: Reveal::Unknown, ..DARK };
    vec![
        outlook("", lit),
        outlook(" open", DARK),
        outlook(" off", Outlook { gate: Gate::Off, reveal: Reveal::NotClear, by: Some(Source::Keys), ..DARK }),
        outlook(" armed", Outlook { gate: Gate::Armed { left_s: 10 }, by: Some(Source::Crew), ..unknown }),
        outlook(" held", Outlook { gate: Gate::Held, ..unknown }),
        outlook(" stopped", Outlook { gate: Gate::Stopped, ..unknown }),
    ]
}

fn moves() -> Vec<Told> {
    let nudged = |name: &str, worst| {
        let moved = Moved { dx_mm: -250, dy_mm: 40, checked: 200, short: 3, mended: 0, worst };
        told(&format!("Nudged{name}"), Answer::Nudged(moved))
    };
    let short = |need, by| Some(Short { cue: CueId(1), need, by, have_mm: -120, least_mm: 600 });
    vec![
        nudged("", None),
        nudged(" stand", short(Need::Stand(MarkId(9)), What::Part { prop: PropId(2), part: 1 })),
        nudged(" walk", short(Need::Walk(9), What::Physical(3))),
        nudged(" prop", short(Need::Prop(PropId(9)), What::OffFloor)),
        nudged(" way", short(Need::Way(MarkId(9)), What::Mark(MarkId(7)))),
        nudged(" wall", short(Need::Stand(MarkId(9)), What::Wall(1))),
    ]
}

fn by_hand() -> Vec<Told> {
    let nudge = |what, dx_mm, dy_mm| Some(Nudge { what, dx_mm, dy_mm });
    let mut list = [None; 16];
    list[..2].copy_from_slice(&[nudge(Piece::Mark(MarkId(5)), -250, 40), nudge(Piece::Prop(PropId(6)), 1, -500)]);
    let offer = nudge(Piece::Mark(MarkId(2)), -250, 40);
    vec![
        told("Nudges", Answer::Nudges(Nudges { list })),
        told("Tiled", Answer::Tiled(Tiled { marks: 1 << 63 | 5, offer })),
        told("Picture", Answer::Picture { crc: 0xCAFE_0123, view: bytes(&[1, 0, 255, 2]) }),
        told("Spans", Answer::Spans(bytes(&FULL_CHUNK[..10]))),
        told("Spans none", Answer::Spans(Bytes::EMPTY)),
        told("Display", Answer::Display(bytes(&FULL_CHUNK[..256]))),
        refused("Busy", Refusal::Busy),
        told("Tiled none", Answer::Tiled(Tiled { marks: 0, offer: None })),
    ]
}

fn told_in_3() -> Vec<Told> {
    let bad = Some(Entry { at_ms: 1, times: 1, what: Happened::BadFrame });
    let mut all = vec![
        told("From", Answer::From { offset: 15_872 }),
        told("Events none", Answer::Events(Events { first: 8, now_ms: 90_000, entries: [None; 8] })),
        told("Events full", Answer::Events(Events { first: 1, now_ms: 90_000, entries: [bad; 8] })),
    ];
    all.extend(happenings());
    all.extend(outlooks());
    all.extend(moves());
    all.extend(by_hand());
    all.extend([
        refused("Held", Refusal::Held),
        refused("Stopped", Refusal::Stopped),
        refused("OnAir", Refusal::OnAir),
        refused("Unable", Refusal::Unable),
        refused("NoSuch", Refusal::NoSuch),
        refused("BadValue", Refusal::BadValue),
        refused("Unchecked", Refusal::Unchecked),
        refused("TooFar", Refusal::TooFar { asked_mm: 501, limit_mm: 500 }),
        refused("Full", Refusal::Full { limit: 16 }),
    ]);
    all
}

fn recorded(version: u16) -> BTreeMap<String, (u8, Vec<u8>)> {
    let file = format!("fixtures/link/version_{version}.txt");
    let text = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(&file)).expect(&file);
    let byte = |hex: &str, at: usize| u8::from_str_radix(&hex[at..at + 2], 16).expect("hex");
    let line = |line: &str| {
        let (name, hex) = line.split_once(" | ")?;
        let (sequence, name) = name.split_once(' ')?;
        let bytes = (0..hex.len()).step_by(2).map(|at| byte(hex, at)).collect();
        Some((name.to_owned(), (sequence.parse().ok()?, bytes)))
    };
    text.lines().map(|row| line(row).unwrap_or_else(|| panic!("{file}: {row}"))).collect()
}

fn written<M: Serialize>(sequence: u8, message: &M) -> Vec<u8> {
    let mut wire = vec![0; MAX_WIRE_BYTES];
    let len = frame::write(sequence, message, &mut wire).expect("room");
    wire.truncate(len);
    wire
}

/// The message in a recorded frame, without its number.
fn message_in(wire: &[u8], sequence: u8) -> Vec<u8> {
    let mut decoder = Decoder::new();
    let (last, first) = wire.split_last().expect("a frame");
    assert!(first.iter().all(|&byte| decoder.push(byte).is_none()));
    let frame = decoder.push(*last).expect("an end").expect("a whole frame");
    assert_eq!(frame.sequence, sequence);
    frame.message.to_vec()
}

fn compare(version: u16, asked: &[Asked], told: &[Told]) {
    let mut record = recorded(version);
    for (name, request) in asked {
        let (sequence, wire) = record.remove(name).unwrap_or_else(|| panic!("no record of {name}"));
        assert_eq!(written(sequence, request), wire, "{name}");
        let message = message_in(&wire, sequence);
        assert_eq!(postcard::from_bytes::<Request<'_>>(&message).expect(name), *request, "{name}");
    }
    for (name, answer) in told {
        let (sequence, wire) = record.remove(name).unwrap_or_else(|| panic!("no record of {name}"));
        assert_eq!(written(sequence, answer), wire, "{name}");
        let message = message_in(&wire, sequence);
        assert_eq!(postcard::from_bytes::<Answer>(&message).expect(name), *answer, "{name}");
    }
    assert!(record.is_empty(), "recorded and not compared: {:?}", record.keys());
}

#[test]
fn version_1_is_frozen() {
    compare(1, &asked_in_1(), &told_in_1());
}

#[test]
fn version_2_is_frozen() {
    compare(2, &asked_in_2(), &told_in_2());
}

#[test]
fn version_3_is_frozen() {
    compare(3, &asked_in_3(), &told_in_3());
}

/// Numbers of variants run from 0 without a gap, so the first number that no reader takes is the count of them.
fn count<T: for<'d> serde::Deserialize<'d>>(number_to_bytes: impl Fn(u8) -> Vec<u8>) -> u8 {
    let filled = |number| [number_to_bytes(number), vec![0; 64]].concat();
    (0..=u8::MAX).find(|&number| postcard::take_from_bytes::<T>(&filled(number)).is_err()).expect("an end")
}

/// The first bytes of all messages on record, after what all of them begin with.
fn numbers(records: &[Vec<Vec<u8>>], prefix: &[u8]) -> Vec<u8> {
    let all = records.iter().flatten();
    let mut found: Vec<u8> = all.filter_map(|m| m.strip_prefix(prefix)?.first().copied()).collect();
    found.sort_unstable();
    found.dedup();
    found
}

#[test]
fn every_message_answer_refusal_and_happening_is_on_record() {
    let messages = |side: &str| -> Vec<Vec<Vec<u8>>> {
        let all = |version| recorded(version).into_iter().filter(|(name, _)| name.starts_with(side));
        (1..=CURRENT).map(|v| all(v).map(|(_, (sequence, wire))| message_in(&wire, sequence)).collect()).collect()
    };
    let (desk, told) = (messages("desk"), messages("box"));
    let up_to = |end: u8| (0..end).collect::<Vec<_>>();
    assert_eq!(numbers(&desk, &[]), up_to(count_requests()));
    assert_eq!(numbers(&told, &[]), up_to(count::<Answer>(|n| vec![n])));
    assert_eq!(numbers(&told, &[3]), up_to(count::<Refusal>(|n| vec![n])));
    // Events that begin with entry 7, at 90 s, 300 times since 1.5 s: as `happened` has them.
    let happening = [6, 7, 0x90, 0xBF, 5, 1, 0xDC, 0x0B, 0xAC, 2];
    assert_eq!(numbers(&told, &happening), up_to(count::<Happened>(|n| vec![n])));
}

fn count_requests() -> u8 {
    let filled = |number| [vec![number], vec![0; 64]].concat();
    (0..=u8::MAX).find(|&n| postcard::take_from_bytes::<Request<'_>>(&filled(n)).is_err()).expect("an end")
}
