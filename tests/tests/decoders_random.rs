//! A seeded run of the fuzz targets' bodies over noise and over damaged good input.
//!
//! Noise alone never passes a checksum, so most cases are good input with a few bytes changed, and packs
//! get their guard made anew. Each test demands that some cases went all the way and that some did not.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use underfoot_core::link::frame::{self, MAX_WIRE_BYTES};
use underfoot_core::link::{Request, Versions};
use underfoot_core::pack;
use underfoot_core::sacn::packet::PACKET_BYTES;
use underfoot_core::sacn::{self, Cid, Data, Header, Sync};
use underfoot_core::show::CueId;
use underfoot_sim::project;
use underfoot_tests::decoders::{self, Reached};
use underfoot_tests::dice::Dice;

fn noise(dice: &mut Dice, most: usize) -> Vec<u8> {
    (0..dice.below(most)).map(|_| dice.byte()).collect()
}

/// Changes, drops, doubles or inserts a few bytes.
fn damage(dice: &mut Dice, good: &[u8]) -> Vec<u8> {
    let mut bytes = good.to_vec();
    for _ in 0..dice.below(4) {
        let at = dice.below(bytes.len());
        match dice.below(5) {
            _ if bytes.is_empty() => bytes.push(dice.byte()),
            0 => bytes[at] = dice.byte(),
            1 => bytes[at] ^= 1 << dice.below(8),
            2 => bytes.insert(at, dice.byte()),
            3 => drop(bytes.remove(at)),
            _ => {
                let part = bytes[at..(at + dice.below(40)).min(bytes.len())].to_vec();
                let to = dice.below(bytes.len());
                bytes.splice(to..to, part);
            }
        }
    }
    bytes
}

fn demos() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../host-sim/demos");
    let mut paths: Vec<PathBuf> = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    paths.retain(|p| p.extension().is_some_and(|e| e == "toml"));
    paths.sort();
    assert!(!paths.is_empty(), "there are demo shows");
    paths
}

fn both_ways(reached: &BTreeMap<Reached, usize>) {
    for depth in [Reached::Refused, Reached::Opened, Reached::Accepted] {
        assert!(reached.get(&depth).is_some_and(|&n| n > 0), "no case was {depth:?}: {reached:?}");
    }
}

#[test]
fn the_link_survives_noise_and_damaged_frames() {
    let mut dice = Dice::new(0x11);
    let mut reached = BTreeMap::new();
    for case in 0..4000 {
        let bytes = if case % 4 == 0 { noise(&mut dice, 1200) } else { stream(&mut dice) };
        *reached.entry(decoders::link(&bytes)).or_default() += 1;
    }
    both_ways(&reached);
}

/// A few frames behind one another, damaged now and then; one in three holds bytes that are no message.
fn stream(dice: &mut Dice) -> Vec<u8> {
    let mut bytes = Vec::new();
    for _ in 0..=dice.below(3) {
        let payload = noise(dice, 512);
        let mut wire = [0; MAX_WIRE_BYTES];
        let sequence = dice.byte();
        let request = match dice.below(7) {
            0 => Request::Hello(Versions { min: dice.bits() as u16, current: dice.bits() as u16 }),
            1 => Request::PackBegin { len: dice.bits() as u32 },
            2 => Request::PackChunk { offset: dice.bits() as u32, bytes: &payload },
            3 => Request::Go { to: CueId(dice.byte()) },
            4 => Request::At { x_mm: dice.bits() as i32, y_mm: dice.bits() as i32 },
            _ => Request::Off,
        };
        let length = if dice.one_in(3) {
            // A tuple of bytes is written without a length: a message of noise.
            frame::write(sequence, &(dice.byte(), dice.byte(), dice.byte(), dice.byte()), &mut wire)
        } else {
            frame::write(sequence, &request, &mut wire)
        };
        let good = &wire[..length.expect("fits")];
        if dice.one_in(2) { bytes.extend(damage(dice, good)) } else { bytes.extend(good) }
    }
    bytes
}

#[test]
fn packs_survive_noise_and_damage() {
    let mut dice = Dice::new(0x22);
    let mut reached = BTreeMap::new();
    let packs: Vec<Vec<u8>> = demos().iter().map(|path| packed(path)).collect();
    for case in 0..1500 {
        let good = &packs[case % packs.len()];
        let body = &good[pack::HEADER_BYTES..good.len() - 4];
        let depth = match case % 5 {
            0 => decoders::pack(&noise(&mut dice, 4000)),
            1 => decoders::sealed_pack(&noise(&mut dice, 4000)),
            2 => decoders::pack(&damage(&mut dice, good)),
            _ => decoders::sealed_pack(&damage(&mut dice, body)),
        };
        *reached.entry(depth).or_default() += 1;
    }
    both_ways(&reached);
}

fn packed(path: &Path) -> Vec<u8> {
    let project = project::load(path).expect("demo shows load");
    let mut bytes = vec![0; underfoot_core::limits::PACK_BYTES];
    let length = pack::encode(&project.show, &mut bytes).expect("demo shows fit a pack");
    bytes.truncate(length);
    bytes
}

#[test]
fn show_files_survive_noise_and_damage() {
    let mut dice = Dice::new(0x33);
    let mut reached = BTreeMap::new();
    let texts: Vec<Vec<u8>> = demos().iter().map(|path| std::fs::read(path).unwrap()).collect();
    for case in 0..400 {
        let good = &texts[case % texts.len()];
        let bytes = match case % 6 {
            0 => noise(&mut dice, 2000),
            1 => shuffled_lines(&mut dice, good),
            _ => damage(&mut dice, good),
        };
        *reached.entry(decoders::show_file(&bytes)).or_default() += 1;
    }
    both_ways(&reached);
}

/// A run of the file's lines taken out, doubled or put elsewhere.
fn shuffled_lines(dice: &mut Dice, good: &[u8]) -> Vec<u8> {
    let text = String::from_utf8_lossy(good);
    let mut lines: Vec<&str> = text.lines().collect();
    let from = dice.below(lines.len());
    let run: Vec<&str> = lines.drain(from..(from + 1 + dice.below(6)).min(lines.len())).collect();
    for _ in 0..dice.below(3) {
        let to = dice.below(lines.len());
        lines.splice(to..to, run.iter().copied());
    }
    lines.join("\n").into_bytes()
}

#[test]
fn the_door_of_sacn_survives_noise_and_damaged_packets() {
    let mut dice = Dice::new(0x55);
    let mut reached = BTreeMap::new();
    for turn in 0..20_000 {
        let name = noise(&mut dice, 70);
        let slots = noise(&mut dice, 513);
        let header = Header {
            cid: Cid([9; 16]),
            name: &name,
            priority: dice.below(201) as u8,
            sync_address: dice.below(64_000) as u16,
            sequence: dice.byte(),
            preview: dice.one_in(2),
            terminated: dice.one_in(2),
            force_sync: dice.one_in(2),
            universe: 1 + dice.below(63_999) as u16,
        };
        let mut bytes = [0; PACKET_BYTES];
        let length = match turn % 3 {
            0 => sacn::write_sync(&Sync { cid: header.cid, sequence: 1, address: header.universe }, &mut bytes),
            _ => sacn::write(&Data { header, start_code: dice.byte(), slots: &slots }, &mut bytes),
        };
        let bytes = damage(&mut dice, &bytes[..length.expect("it fits")]);
        *reached.entry(decoders::sacn(&bytes)).or_insert(0) += 1;
        decoders::sacn(&noise(&mut dice, 700));
    }
    both_ways(&reached);
}
