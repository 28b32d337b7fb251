//! The box's real image, killed at random moments of an update over its serial line, and while a cue is on the floor.

use std::fs;
use std::sync::Mutex;
use std::thread;
use std::time::{Duration, Instant};

use underfoot_core::engine::Gate;
use underfoot_core::link::message::CHUNK_BYTES;
use underfoot_core::link::{Answer, Request};
use underfoot_core::show::{CueId, Mode, Title};
use underfoot_sim::link::{Session, Step, send};
use underfoot_tests::device::Board;
use underfoot_tests::device::cut_box::{Bench, Powered, outlook};
use underfoot_tests::device::shows::{demo, packed};
use underfoot_tests::dice::Dice;

/// Emulators at the same time.
const BENCHES: u64 = 4;
/// Cuts in all.
const CUTS: u64 = 200;
/// A slot, by the table in `core/src/store/mod.rs`: half of what the journal leaves.
const SLOT_BYTES: usize = 36 * 1024;

fn packs() -> [Vec<u8>; 2] {
    ["Odd", "Even"].map(|title| {
        let mut show = *demo("clock-cabinet");
        show.title = Title::try_from(title).expect("a short title");
        show.cues.truncate(2);
        packed(&show)
    })
}

fn crc_of(pack: &[u8]) -> u32 {
    u32::from_le_bytes(*pack.last_chunk().expect("a checksum"))
}

/// CRC-32/ISO-HDLC bit by bit, from its definition: reflected 04C11DB7, all ones before and after.
fn crc32(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(!0u32, |crc, &byte| {
        (0..8).fold(crc ^ u32::from(byte), |crc, _| if crc & 1 == 1 { crc >> 1 ^ 0xEDB8_8320 } else { crc >> 1 })
    })
}

/// The packs of the whole slots in a flash, the newest last, read by the table alone.
fn whole_packs(flash: &[u8]) -> Vec<Vec<u8>> {
    let word = |at: usize| u32::from_le_bytes(flash[at..at + 4].try_into().expect("four bytes"));
    let mut found: Vec<(u32, Vec<u8>)> = Vec::new();
    for at in [0, SLOT_BYTES] {
        let is_header = flash[at..].starts_with(b"UFSL") && word(at + 16) == crc32(&flash[at..at + 16]);
        let (from, len) = (at + 32, word(at + 8) as usize);
        if is_header && len <= SLOT_BYTES - 32 && crc32(&flash[from..from + len]) == word(at + 12) {
            found.push((word(at + 4), flash[from..from + len].to_vec()));
        }
    }
    found.sort();
    found.into_iter().map(|(_, pack)| pack).collect()
}

/// Starts an update and cuts the power: half of the cuts anywhere in it, half while the box stores. True when the box
/// had said that it was done.
fn cut_an_update(powered: Powered, mut session: Session, pack: &[u8], dice: &mut Dice, whole: Duration) -> bool {
    let is_late = dice.one_in(2);
    let begin = Request::PackBegin { len: pack.len() as u32 };
    let is_done = |session: &mut Session, request: &Request<'_>| session.done(Step::Chunk, request).is_ok();
    let moment = whole.mul_f64(dice.unit() * 1.1);
    let stored = Mutex::new(false);
    thread::scope(|scope| {
        let (go, killer) = std::sync::mpsc::channel::<()>();
        scope.spawn(move || {
            let _ = killer.recv();
            let cut = Instant::now() + moment;
            while Instant::now() < cut {
                std::hint::spin_loop();
            }
            powered.cut();
        });
        if !is_late {
            go.send(()).expect("a killer");
        }
        let chunks = pack.chunks(CHUNK_BYTES).enumerate();
        let mut parts = chunks.map(|(i, bytes)| Request::PackChunk { offset: (i * CHUNK_BYTES) as u32, bytes });
        let is_there = is_done(&mut session, &begin) && parts.all(|part| is_done(&mut session, &part));
        if is_late {
            go.send(()).expect("a killer");
        }
        *stored.lock().expect("a flag") = is_there && is_done(&mut session, &Request::PackCommit);
    });
    stored.into_inner().expect("a flag")
}

/// How long an update takes that nobody cuts: all of it, and its last step.
fn calibrate(bench: &Bench, packs: &[Vec<u8>; 2]) -> [Duration; 2] {
    let mut powered = bench.power_up();
    drop(powered.connect());
    send(&packs[0], powered.target(), &mut |_, _| {}).expect("a box that takes a pack");
    let started = Instant::now();
    let mut last = started;
    send(&packs[1], powered.target(), &mut |done, of| last = if done < of { Instant::now() } else { last })
        .expect("a box that takes a pack");
    [started.elapsed(), last.elapsed()]
}

#[derive(Default)]
struct Tally {
    old: u64,
    new: u64,
    slowest: Duration,
}

fn run_bench(seed: u64, tally: &Mutex<Tally>) {
    let (bench, packs, mut dice) = (Bench::new(Board::An386), packs(), Dice::new(seed));
    let [all, storing] = calibrate(&bench, &packs);
    let mut now = 1;
    for cut in 0..CUTS / BENCHES {
        let mut powered = bench.power_up();
        let session = powered.connect();
        let next = 1 - now;
        let window = if dice.one_in(2) { all } else { storing };
        let was_acknowledged = cut_an_update(powered, session, &packs[next], &mut dice, window);
        let mut powered = bench.power_up();
        let said = outlook(&mut powered.connect());
        let age = powered.age();
        let found = said.pack_crc.and_then(|crc| (0..2).find(|&i| crc_of(&packs[i]) == crc));
        let found = found.unwrap_or_else(|| panic!("bench {seed}, cut {cut}: {:08x?}", said.pack_crc));
        assert_eq!((said.mode, said.now, said.gate), (Mode::Off, None, Gate::Off), "power-up is OFF");
        assert!(found == next || !was_acknowledged, "bench {seed}, cut {cut}: taken, then lost");
        powered.cut();
        let flash = fs::read(bench.flash()).expect("the flash");
        assert_eq!(whole_packs(&flash).last(), Some(&packs[found]), "bench {seed}, cut {cut}: not whole");
        let mut tally = tally.lock().expect("a tally");
        *(if found == next { &mut tally.new } else { &mut tally.old }) += 1;
        tally.slowest = tally.slowest.max(age);
        now = found;
    }
}

#[test]
fn two_hundred_cuts_in_updates_leave_the_old_or_the_new_show_and_off() {
    let (tally, started) = (Mutex::new(Tally::default()), Instant::now());
    thread::scope(|scope| {
        for seed in 1..=BENCHES {
            let tally = &tally;
            scope.spawn(move || run_bench(seed, tally));
        }
    });
    let tally = tally.into_inner().expect("a tally");
    println!(
        "{} cuts: {} old, {} new; slowest answer {} ms after power-up; {} s in all",
        tally.old + tally.new,
        tally.old,
        tally.new,
        tally.slowest.as_millis(),
        started.elapsed().as_secs()
    );
    assert_eq!(tally.old + tally.new, CUTS);
    assert!(tally.old >= CUTS / 10 && tally.new >= CUTS / 20, "the cuts fell on both sides");
}

#[test]
fn a_cut_on_air_comes_back_held_within_five_seconds_and_one_go_restores_the_cue() {
    let (bench, show, mut dice) = (Bench::new(Board::An386), demo("clock-cabinet"), Dice::new(12));
    let mut powered = bench.power_up();
    drop(powered.connect());
    send(&packed(&show), powered.target(), &mut |_, _| {}).expect("a box that takes the pack");
    let mut session = powered.connect();
    session.done(Step::Command, &Request::Arm).expect("armed");
    session.done(Step::Command, &Request::Go { to: CueId(0) }).expect("lit");
    let (mut at, mut slowest) = (0, Duration::ZERO);
    for round in 0..20 {
        // On by one, or back to the first; then the power goes, some of the time within milliseconds.
        thread::sleep(Duration::from_millis(420));
        let to = if at + 1 < show.cues.len() as u8 { at + 1 } else { at - 1 };
        let request = if to > at { Request::Go { to: CueId(to) } } else { Request::Back { to: CueId(to) } };
        session.done(Step::Command, &request).expect("an advance");
        thread::sleep(Duration::from_micros(dice.below(60_000) as u64 + 5_000));
        powered.cut();
        drop(session);
        powered = bench.power_up();
        session = powered.connect();
        let said = outlook(&mut session);
        slowest = slowest.max(powered.age());
        assert_eq!((said.mode, said.gate, said.now), (Mode::Off, Gate::Held, None), "round {round}");
        assert_eq!(said.next, Some(CueId(to)), "round {round}");
        session.done(Step::Command, &Request::Go { to: CueId(to) }).expect("one GO");
        let lit = outlook(&mut session);
        assert_eq!((lit.now, lit.mode), (Some(CueId(to)), show.cues[usize::from(to)].mode), "round {round}");
        at = to;
    }
    println!("20 of 20; slowest answer {} ms after power-up", slowest.as_millis());
    assert!(slowest < Duration::from_secs(5), "{slowest:?}");
    assert!(matches!(session.ask(Step::Report, &Request::Report), Ok(Answer::Report(_))));
}
