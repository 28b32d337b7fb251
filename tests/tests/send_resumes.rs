//! Sending goes on where it stopped: over lines that are cut at random places, and after a desk that was killed.

use std::fs;
use std::time::Instant;

use underfoot_core::link::message::CHUNK_BYTES;
use underfoot_core::link::{Answer, Happened, Request, Versions};
use underfoot_core::show::CueId;
use underfoot_sim::link::{SendError, Session, Step, log_text, send, strike};
use underfoot_sim::sim::{LoopbackBox, MemoryFlash, PACK_FLASH, Rates, Relay};
use underfoot_tests::device::scratch::Scratch;
use underfoot_tests::device::shows::{demo, packed};

fn fresh() -> LoopbackBox {
    LoopbackBox::start(MemoryFlash::new(PACK_FLASH)).expect("a loopback port")
}

fn relay(device: &LoopbackBox, rates: Rates, seed: u64) -> Relay {
    let address = device.target();
    let address = address.strip_prefix("tcp:").and_then(|a| a.parse().ok()).expect("an address");
    Relay::start(address, rates, seed).expect("a relay")
}

fn crc_of(pack: &[u8]) -> u32 {
    u32::from_le_bytes(*pack.last_chunk().expect("a checksum"))
}

/// One byte in 2500 is the line's last: a pack of some kilobytes breaks it several times, and every byte that was taken
/// need not be sent again.
#[test]
fn a_line_that_is_cut_again_and_again_still_gets_the_pack_through_once() {
    let pack = packed(&demo("lantern-field"));
    let mut breaks = 0;
    for seed in 1..=6 {
        let device = fresh();
        let line = relay(&device, Rates { cut: 1.0 / 2_500.0, ..Rates::NONE }, seed);
        let (mut steps, started) = (Vec::new(), Instant::now());
        let sent = send(&pack, &line.target(), &mut |done, _| steps.push(done)).expect("the pack gets through");
        assert_eq!((sent.bytes, sent.report.pack_crc, sent.had), (pack.len(), Some(crc_of(&pack)), 0));
        assert!(steps.is_sorted() && steps.last() == Some(&pack.len()), "{steps:?}");
        let (seen, taken) = (line.seen(), line.seen().up.taken as usize);
        // Each break costs at most a chunk that was under way, and the hello and the question where to go on.
        let bound = pack.len() * 103 / 100 + 300 + (sent.breaks as usize + 1) * (CHUNK_BYTES + 80);
        assert!(taken < bound, "seed {seed}: {taken} bytes for {} with {} breaks", pack.len(), sent.breaks);
        println!(
            "seed {seed}: {} breaks, {taken} bytes sent for {} in {:?}",
            sent.breaks,
            pack.len(),
            started.elapsed()
        );
        assert!(seen.cuts >= sent.breaks);
        breaks += sent.breaks;
    }
    assert!(breaks >= 6, "{breaks} breaks in all");
}

/// What a killed desk leaves: some parts sent, no goodbye.
fn half_sent(device: &LoopbackBox, pack: &[u8], parts: usize) {
    let mut session = Session::open(&device.target().parse().expect("a target")).expect("a line");
    session.hello(Versions::OURS).expect("a version");
    let resume = Request::PackResume { len: pack.len() as u32, crc: crc_of(pack) };
    assert!(matches!(session.ask(Step::Begin, &resume), Ok(Answer::From { offset: 0 })));
    for (i, bytes) in pack.chunks(CHUNK_BYTES).enumerate().take(parts) {
        session.done(Step::Chunk, &Request::PackChunk { offset: (i * CHUNK_BYTES) as u32, bytes }).expect("taken");
    }
}

#[test]
fn a_desk_started_anew_goes_on_where_the_killed_one_stopped() {
    let (pack, device) = (packed(&demo("lantern-field")), fresh());
    half_sent(&device, &pack, 5);
    let mut steps = Vec::new();
    let sent = send(&pack, &device.target(), &mut |done, _| steps.push(done)).expect("a box that takes it");
    assert_eq!((sent.had, sent.breaks, sent.report.pack_crc), (5 * CHUNK_BYTES, 0, Some(crc_of(&pack))));
    assert_eq!(steps.first(), Some(&(5 * CHUNK_BYTES)), "progress shows where it goes on");
}

#[test]
fn what_was_half_sent_does_not_outlive_a_power_cut_or_become_part_of_another_show() {
    let (pack, other) = (packed(&demo("lantern-field")), packed(&demo("clock-cabinet")));
    let device = fresh();
    half_sent(&device, &pack, 5);
    let sent = send(&other, &device.target(), &mut |_, _| {}).expect("another show");
    assert_eq!((sent.had, sent.report.pack_crc), (0, Some(crc_of(&other))));
    half_sent(&device, &pack, 5);
    let device = LoopbackBox::start(device.power_off().expect("its flash")).expect("a loopback port");
    let sent = send(&pack, &device.target(), &mut |_, _| {}).expect("a box that takes it");
    assert_eq!((sent.had, sent.report.pack_crc), (0, Some(crc_of(&pack))));
}

#[test]
fn a_noisy_line_costs_time_and_nothing_else() {
    let (pack, device) = (packed(&demo("lantern-field")), fresh());
    let line = relay(&device, Rates::noise(0.001), 77);
    let sent = send(&pack, &line.target(), &mut |_, _| {}).expect("the pack gets through");
    let seen = line.seen();
    println!(
        "{} bytes harmed, {} requests repeated, {} breaks",
        seen.up.total() + seen.down.total(),
        sent.repeats,
        sent.breaks
    );
    assert!(seen.up.total() > 0 && sent.repeats > 0, "{seen:?}");
    assert_eq!(sent.report.pack_crc, Some(crc_of(&pack)));
}

#[test]
fn a_strike_keeps_the_log_and_leaves_an_empty_box() {
    let (pack, device) = (packed(&demo("clock-cabinet")), fresh());
    let sent = send(&pack, &device.target(), &mut |_, _| {}).expect("a box that takes it");
    let mut session = Session::open(&device.target().parse().expect("a target")).expect("a line");
    session.hello(Versions::OURS).expect("a version");
    session.done(Step::Command, &Request::Arm).expect("armed");
    session.done(Step::Command, &Request::Go { to: CueId(0) }).expect("lit");
    drop(session);
    let lit = strike(&device.target(), |_| Ok::<(), SendError>(())).expect_err("the floor is lit");
    assert_eq!(lit.to_string(), "the box is wiped only while it is OFF: press OFF on the box, then strike again");
    let mut session = Session::open(&device.target().parse().expect("a target")).expect("a line");
    session.hello(Versions::OURS).expect("a version");
    session.done(Step::Command, &Request::Off).expect("off");
    drop(session);

    let (folder, mut out, mut talk) = (Scratch::new(), Vec::new(), Vec::new());
    let file = folder.path().join("box.log");
    let target = device.target();
    let call = ["underfoot", "strike", "--to", &target, "--log", file.to_str().expect("a path")];
    let exit = underfoot_sim::cli::run(call, &mut underfoot_sim::cli::Output::new(&mut out, &mut talk));
    let talk = String::from_utf8_lossy(&talk).into_owned();
    assert_eq!(exit.number(), 0, "{talk}");
    let text = fs::read_to_string(&file).expect("the log");
    println!("{text}{talk}");
    assert!(text.starts_with(&format!("show code {}\n", sent.code)), "{text}");
    assert!(text.contains("to cue 1 of the running order, by a desk") && text.contains("OFF, by a desk"), "{text}");
    assert!(!text.contains("silent"), "the desk had just spoken: {text}");
    assert!(talk.contains("it is wiped and empty"), "{talk}");

    // Asked once more: the log of an empty box; a file that is there is not written over, and then nothing is wiped.
    let again = underfoot_sim::cli::run(call, &mut underfoot_sim::cli::Output::new(&mut out, &mut Vec::new()));
    assert_eq!(again.number(), 2);
    let log = underfoot_sim::link::log(&target).expect("a log");
    assert!(log.code.is_none() && log.entries.iter().any(|(_, e)| e.what == Happened::NoShow));
    assert!(log_text(&log).starts_with("no show\n"));
}
