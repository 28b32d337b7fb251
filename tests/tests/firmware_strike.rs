//! After a strike nothing of people can be found in the box: its whole flash and all of its RAM, as the emulator has
//! them, are searched for names and places that were planted.

use std::fs;
use std::io::{Read, Write};
use std::os::unix::net::UnixStream;
use std::path::Path;
use std::thread;
use std::time::{Duration, Instant};

use underfoot_core::link::{Happened, Request};
use underfoot_core::show::{CueId, Title};
use underfoot_sim::link::{SendError, Session, Step, log_text, send, strike};
use underfoot_tests::device::Board;
use underfoot_tests::device::cut_box::{Bench, outlook};
use underfoot_tests::device::shows::{demo, packed};

/// Planted coordinates: metres as the box computes with them, and millimetres as the link carries them.
const X_MM: i32 = 1_234_567;
const X_M: f32 = 1_234.567;
const MARK_M: f32 = 0.412_345_67;
const NAME: &str = "QZXJVK";

fn show_with_names() -> Vec<u8> {
    let mut show = *demo("clock-cabinet");
    show.title = Title::try_from(format!("{NAME}-SHOW").as_str()).expect("a title");
    for (cue, i) in show.cues.iter_mut().zip(0..) {
        cue.name = Title::try_from(format!("{NAME}-CUE-{i}").as_str()).expect("a name");
    }
    for (person, i) in show.people.iter_mut().zip(0..) {
        person.name = format!("{NAME}P{i}").as_str().try_into().expect("a name");
    }
    for mark in &mut show.marks {
        mark.at.x = MARK_M;
    }
    packed(&show)
}

/// Where any of the planted things stands in a memory.
fn traces(memory: &[u8]) -> Vec<usize> {
    let needles: [&[u8]; 4] = [NAME.as_bytes(), &X_MM.to_le_bytes(), &X_M.to_le_bytes(), &MARK_M.to_le_bytes()];
    (0..memory.len()).filter(|&at| needles.iter().any(|needle| memory[at..].starts_with(needle))).collect()
}

/// All of the box's RAM, by the emulator's own monitor.
fn ram(bench: &Bench) -> Vec<u8> {
    let mut monitor = UnixStream::connect(bench.file("monitor")).expect("a monitor");
    let file = bench.file("ram.bin");
    let _ = fs::remove_file(&file);
    writeln!(monitor, "pmemsave 0x20000000 0x400000 ram.bin").expect("a monitor that listens");
    wait_for(&file, 0x40_0000);
    fs::read(&file).expect("the memory")
}

fn wait_for(file: &Path, len: u64) {
    let patience = Instant::now() + Duration::from_secs(10);
    while fs::metadata(file).map_or(0, |m| m.len()) < len {
        assert!(Instant::now() < patience, "no memory image");
        thread::sleep(Duration::from_millis(10));
    }
}

fn flash(bench: &Bench) -> Vec<u8> {
    let mut bytes = Vec::new();
    let file = fs::File::open(bench.flash()).expect("the flash");
    file.take(0x4_0000).read_to_end(&mut bytes).expect("the flash");
    bytes
}

fn presence(session: &mut Session) {
    let places: Vec<u8> = (0..8).flat_map(|i: i32| [X_MM, 1000 * i]).flat_map(i32::to_le_bytes).collect();
    session.done(Step::Command, &Request::Presence { places: &places }).expect("presence is taken");
}

#[test]
fn after_a_strike_no_name_and_no_place_is_in_flash_or_ram() {
    let (bench, pack) = (Bench::new(Board::An386), show_with_names());
    let mut powered = bench.power_up();
    drop(powered.connect());
    let sent = send(&pack, powered.target(), &mut |_, _| {}).expect("a box that takes the pack");
    let mut session = powered.connect();
    session.done(Step::Command, &Request::Arm).expect("armed");
    session.done(Step::Command, &Request::Go { to: CueId(0) }).expect("lit");
    presence(&mut session);
    drop(session);
    let early = strike(powered.target(), |_| Ok::<(), SendError>(())).expect_err("the floor is lit");
    assert!(early.to_string().contains("press OFF"), "{early}");
    let mut session = powered.connect();
    presence(&mut session);
    session.done(Step::Command, &Request::Off).expect("off");
    drop(session);
    let (in_ram, in_flash) = (traces(&ram(&bench)).len(), traces(&flash(&bench)).len());
    assert!(in_ram > 10 && in_flash > 10, "planted: {in_ram} in RAM, {in_flash} in flash");

    let struck = strike(powered.target(), |log| {
        let text = log_text(log);
        assert!(text.contains(&format!("show code {}", sent.code)) && !text.contains(NAME), "{text}");
        Ok::<(), SendError>(())
    });
    let struck = struck.expect("a strike");
    assert!(struck.entries.iter().any(|(_, e)| matches!(e.what, Happened::Advanced { to: CueId(0), .. })));
    assert_eq!(outlook(&mut powered.connect()).pack_crc, None);
    let (ram, flash) = (ram(&bench), flash(&bench));
    println!("planted {in_ram} in RAM and {in_flash} in flash; left {:x?} and {:x?}", traces(&ram), traces(&flash));
    assert_eq!((traces(&ram), traces(&flash)), (vec![], vec![]));
    drop(powered);
    // And with power again.
    let mut powered = bench.power_up();
    assert_eq!(outlook(&mut powered.connect()).pack_crc, None);
}
