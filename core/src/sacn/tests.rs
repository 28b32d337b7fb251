use std::vec::Vec;

use super::packet::{HEADER_BYTES, PACKET_BYTES};
use super::table::{HIGH, JOBS, Job, KILL, LOW, MODES, cue_of, level_of, mode_of};
use super::*;
use crate::engine::{Fault, Input, Sense, Source};
use crate::show::{CueId, Mode, Show};
use crate::test_support::samples;
use crate::units::{Duration, Instant};

const UNIVERSE: u16 = 258;
/// Packets of a desk at 40 a second.
const STEP: Duration = Duration::from_millis(25);

const HEADER: Header<'static> = Header {
    cid: Cid([7; 16]),
    name: b"floor",
    priority: 100,
    sync_address: 0,
    sequence: 0,
    preview: false,
    terminated: false,
    force_sync: false,
    universe: UNIVERSE,
};

fn sent(header: Header<'_>, start_code: u8, slots: &[u8]) -> Vec<u8> {
    let mut bytes = [0; PACKET_BYTES];
    let len = write(&Data { header, start_code, slots }, &mut bytes).unwrap();
    bytes[..len].to_vec()
}

fn levels(mode: u8, cue: (u8, u8), go: u8, level: u8, kill: u8) -> Levels {
    [mode, cue.0, cue.1, go, level, 0, 0, 0, 0, kill]
}

/// A desk on one wire and the box's side of it.
struct Bench {
    show: Show,
    desk: Desk,
    now: Instant,
    sequence: u8,
    header: Header<'static>,
    inputs: Vec<Input<'static>>,
}

impl Bench {
    fn new() -> Self {
        let mut show = samples::small();
        show.control.slots_universe = UNIVERSE;
        let mut desk = Desk::new();
        assert!(desk.tune(&show) && !desk.tune(&show));
        Self { show, desk, now: Instant::from_millis(9_000), sequence: 200, header: HEADER, inputs: Vec::new() }
    }

    /// The desk has been there for a while, silent.
    fn there() -> Self {
        let mut bench = Self::new();
        bench.hold(levels(0, (0, 0), 0, 0, 0), 2_000);
        assert_eq!(bench.take(), [Input::Sense(Sense::Fault(Fault::Desk, false))]);
        bench
    }

    fn bytes(&mut self, bytes: &[u8]) {
        let input = self.desk.hear(bytes, &self.show, self.now).unwrap();
        self.inputs.extend(input);
    }

    fn packet(&mut self, levels: Levels) {
        self.sequence = self.sequence.wrapping_add(1);
        let header = Header { sequence: self.sequence, ..self.header };
        self.bytes(&sent(header, 0, &levels));
    }

    fn wait(&mut self, millis: u64) {
        for _ in 0..millis {
            self.now = self.now.after(Duration::from_millis(1));
            let input = self.desk.pass(&self.show, self.now);
            self.inputs.extend(input);
        }
    }

    fn hold(&mut self, levels: Levels, millis: u64) {
        for _ in 0..millis / STEP.as_millis() {
            self.packet(levels);
            self.wait(STEP.as_millis());
        }
    }

    fn take(&mut self) -> Vec<Input<'static>> {
        core::mem::take(&mut self.inputs)
    }

    fn name_of(&self, cue: usize) -> (u8, u8) {
        let number = self.show.cues[cue].number;
        ((number / 100) as u8, (number % 100) as u8)
    }

    fn go(&mut self, cue: usize) -> Vec<Input<'static>> {
        let name = self.name_of(cue);
        self.hold(levels(0, name, 0, 0, 0), 150);
        self.hold(levels(0, name, 255, 0, 0), 150);
        self.take()
    }
}

fn go_to(cue: u8) -> Input<'static> {
    Input::Go { to: CueId(cue), from: Source::Slots }
}

fn mode(mode: Option<Mode>) -> Input<'static> {
    Input::Mode { mode, from: Source::Slots }
}

const OFF: Input<'static> = Input::Off { from: Source::Slots };
const LOST: Input<'static> = Input::Sense(Sense::Fault(Fault::Desk, true));
const FOUND: Input<'static> = Input::Sense(Sense::Fault(Fault::Desk, false));

#[test]
fn what_is_written_is_read() {
    let slots: Vec<u8> = (0..512).map(|i| (i * 7) as u8).collect();
    for len in [0, 1, 4, 511, 512] {
        let header = Header { preview: true, force_sync: true, sync_address: 9, ..HEADER };
        let bytes = sent(header, 0xDD, &slots[..len]);
        assert_eq!(bytes.len(), HEADER_BYTES + len);
        assert_eq!(read(&bytes), Ok(Packet::Data(Data { header, start_code: 0xDD, slots: &slots[..len] })));
    }
    let sync = Sync { cid: Cid([3; 16]), sequence: 255, address: 63_999 };
    let mut bytes = [0xAA; 49];
    assert_eq!(write_sync(&sync, &mut bytes), Some(49));
    assert_eq!(read(&bytes), Ok(Packet::Sync(sync)));
}

#[test]
fn what_does_not_fit_is_not_written() {
    let long = [0; 513];
    let mut bytes = [0; 700];
    assert_eq!(write(&Data { header: HEADER, start_code: 0, slots: &long }, &mut bytes), None);
    assert_eq!(write(&Data { header: HEADER, start_code: 0, slots: &[1; 4] }, &mut bytes[..129]), None);
    assert_eq!(write_sync(&Sync { cid: Cid([3; 16]), sequence: 0, address: 1 }, &mut bytes[..48]), None);
    let name = [b'n'; 70];
    let packet = sent(Header { name: &name, ..HEADER }, 0, &[]);
    assert_eq!(packet[44 + 63], 0, "the name ends in a zero");
}

/// Each fixed field, spoilt by one bit, fails its own check and no other.
#[test]
fn errors_name_the_check() {
    let good = sent(HEADER, 0, &[1, 2, 3, 4]);
    for (at, check) in [
        (1, Check::Preamble),
        (3, Check::Postamble),
        (4, Check::Identifier),
        (15, Check::Identifier),
        (16, Check::RootLength),
        (17, Check::RootLength),
        (21, Check::RootVector),
        (39, Check::FramingLength),
        (43, Check::FramingVector),
        (116, Check::DmpLength),
        (117, Check::DmpVector),
        (118, Check::AddressType),
        (120, Check::FirstAddress),
        (122, Check::Increment),
        (124, Check::Count),
    ] {
        let mut bytes = good.clone();
        bytes[at] ^= 1;
        assert_eq!(read(&bytes).unwrap_err().check, check, "byte {at}");
    }
    let refused = |header| read(&sent(header, 0, &[])).unwrap_err();
    assert_eq!(
        refused(Header { priority: 201, ..HEADER }),
        WireError { check: Check::Priority, expected: 200, got: 201 }
    );
    assert_eq!(refused(Header { universe: 0, ..HEADER }).check, Check::Universe);
    assert_eq!(refused(Header { universe: 64_000, ..HEADER }).check, Check::Universe);
    assert_eq!(refused(Header { sync_address: 64_000, ..HEADER }).check, Check::SyncAddress);
    assert_eq!(read(&[]), Err(WireError { check: Check::Short, expected: 49, got: 0 }));
    assert_eq!(read(&good[..125]).unwrap_err().check, Check::RootLength);
}

/// ANSI E1.31-2018, 6.7.2, the rule applied by hand: last number, number, taken.
#[test]
fn late_packets_are_dropped() {
    for (last, number, taken) in [
        (10, 11, true),
        (10, 10, false),
        (10, 9, false),
        (20, 1, false),
        (20, 0, true),
        (255, 0, true),
        (0, 255, false),
        (5, 242, false),
        (5, 241, true),
        (0, 128, true),
        (0, 127, true),
    ] {
        assert_eq!(sequence::follows(last, number), taken, "{last} then {number}");
    }
}

#[test]
fn the_groups_are_those_of_the_standard() {
    for (universe, address) in
        [(1, [239, 255, 0, 1]), (256, [239, 255, 1, 0]), (7962, [239, 255, 31, 26]), (63_999, [239, 255, 249, 255])]
    {
        assert_eq!(group(universe), address);
    }
}

#[test]
fn the_table_holds_together() {
    for job in [Job::Mode, Job::CueWhole, Job::CueHundredths, Job::Go, Job::Level, Job::Kill] {
        assert_eq!(JOBS.iter().filter(|own| **own == job).count(), 1, "{job:?}");
    }
    assert!(MODES.windows(2).all(|pair| pair[1].from > pair[0].to + 5), "gaps that a shaky fader does not jump");
    assert_eq!((mode_of(0), mode_of(9), mode_of(255)), (None, None, None));
    assert!(MODES.iter().all(|band| band.mode != Some(Mode::Off)), "OFF has its own slot");
    assert_eq!([0, 9, 10, 132, 255].map(level_of), [None, None, Some(128), Some(191), Some(255)]);
    assert!((10..255).all(|level| level_of(level) <= level_of(level + 1)), "brighter means brighter");
    assert_eq!(cue_of(&levels(0, (4, 50), 0, 0, 0)), Some(450));
    assert_eq!(cue_of(&levels(0, (0, 0), 0, 0, 0)), None);
    assert_eq!(cue_of(&levels(0, (4, 100), 0, 0, 0)), None);
    const { assert!(LOW < HIGH && HIGH < KILL) };
}

#[test]
fn go_names_a_cue_and_fires_once() {
    let mut bench = Bench::there();
    assert_eq!(bench.go(1), [go_to(1)]);
    let held = levels(0, bench.name_of(1), 255, 0, 0);
    bench.hold(held, 5_000);
    assert_eq!(bench.take(), [], "GO that stays down fires nothing more");
    assert_eq!(bench.go(0), [go_to(0)], "the engine refuses what is not NEXT");
    bench.hold(levels(0, (250, 99), 0, 0, 0), 500);
    bench.hold(levels(0, (250, 99), 255, 0, 0), 500);
    assert_eq!(bench.take(), [], "the show has no such cue");
}

#[test]
fn go_with_a_number_that_comes_with_it_is_none() {
    let mut bench = Bench::there();
    let name = bench.name_of(0);
    bench.hold(levels(0, name, 255, 0, 0), 2_000);
    assert_eq!(bench.take(), []);
    bench.hold(levels(0, name, 0, 0, 0), 75);
    bench.hold(levels(0, name, 255, 0, 0), 500);
    assert_eq!(bench.take(), [], "named for less than 100 ms");
    bench.hold(levels(0, name, 0, 0, 0), 200);
    bench.hold(levels(0, bench.name_of(1), 255, 0, 0), 500);
    assert_eq!(bench.take(), [], "another number comes with it");
}

#[test]
fn go_of_a_single_packet_or_one_that_comes_late_is_none() {
    let mut bench = Bench::there();
    let name = bench.name_of(0);
    let (up, down) = (levels(0, name, 0, 0, 0), levels(0, name, 255, 0, 0));
    bench.hold(up, 200);
    bench.packet(down);
    bench.wait(25);
    bench.hold(up, 200);
    assert_eq!(bench.take(), []);
    bench.packet(down);
    bench.wait(501);
    bench.packet(down);
    assert_eq!(bench.take(), []);
    bench.hold(up, 200);
    bench.wait(1_300);
    bench.hold(down, 200);
    assert_eq!(bench.take(), [], "nothing came for a while, and GO may be old");
}

#[test]
fn modes_act_when_all_stands_still_and_says_something_new() {
    let mut bench = Bench::there();
    bench.hold(levels(26, (0, 0), 0, 0, 0), 1_000);
    assert_eq!(bench.take(), [], "what comes up from silence takes its stand");
    bench.hold(levels(128, (0, 0), 0, 0, 0), 475);
    assert_eq!(bench.take(), []);
    bench.hold(levels(128, (0, 0), 0, 0, 0), 2_000);
    assert_eq!(bench.take(), [mode(Some(Mode::Air))]);
    bench.hold(levels(140, (0, 0), 0, 0, 0), 2_000);
    bench.hold(levels(120, (0, 0), 0, 0, 0), 2_000);
    assert_eq!(bench.take(), [], "a gap says nothing, and the same band nothing new");
    bench.hold(levels(26, (0, 0), 0, 0, 0), 1_000);
    assert_eq!(bench.take(), [mode(None)]);
    for step in 0..400_u16 {
        let riding = levels(if step % 20 < 10 { 51 } else { 77 }, (0, 0), 0, 0, 0);
        bench.hold(riding, 25);
    }
    assert_eq!(bench.take(), [], "a fader that is ridden");
}

#[test]
fn brightness_acts_when_it_stands_still() {
    let mut bench = Bench::there();
    bench.hold(levels(0, (0, 0), 0, 255, 0), 1_000);
    assert_eq!(bench.take(), []);
    bench.hold(levels(0, (0, 0), 0, 10, 0), 1_000);
    assert_eq!(bench.take(), [Input::Level { level: 128, from: Source::Slots }]);
    bench.hold(levels(0, (0, 0), 0, 0, 0), 1_000);
    bench.hold(levels(0, (0, 0), 0, 255, 0), 1_000);
    assert_eq!(bench.take(), [], "silence, and out of it");
}

#[test]
fn off_is_held_for_a_second_of_packets() {
    let mut bench = Bench::there();
    let kill = levels(0, (0, 0), 0, 0, 250);
    bench.hold(kill, 1_000);
    assert_eq!(bench.take(), []);
    bench.hold(kill, 3_000);
    assert_eq!(bench.take(), [OFF], "once");
    bench.hold(levels(0, (0, 0), 0, 0, 249), 100);
    bench.hold(kill, 975);
    bench.hold(levels(0, (0, 0), 0, 0, 249), 100);
    assert_eq!(bench.take(), []);
    bench.packet(kill);
    bench.wait(2_400);
    bench.packet(kill);
    assert_eq!(bench.take(), [], "no packets, no holding");
    bench.hold(kill, 1_025);
    assert_eq!(bench.take(), [OFF]);
}

/// After a change a desk sends three packets, then one each 800 to 1000 ms (ANSI E1.31-2018, 6.6.2).
#[test]
fn a_desk_that_sends_only_changes_is_understood() {
    let mut bench = Bench::there();
    let change = |bench: &mut Bench, levels| {
        for wait in [23, 23, 954, 1_000] {
            bench.packet(levels);
            bench.wait(wait);
        }
    };
    let name = bench.name_of(1);
    change(&mut bench, levels(26, name, 0, 255, 0));
    change(&mut bench, levels(26, name, 255, 255, 0));
    assert_eq!(bench.take(), [go_to(1)]);
    change(&mut bench, levels(102, name, 0, 255, 0));
    assert_eq!(bench.take(), [mode(Some(Mode::Reset))]);
    change(&mut bench, levels(102, name, 0, 255, 255));
    bench.packet(levels(102, name, 0, 255, 255));
    assert_eq!(bench.take(), [OFF]);
}

#[test]
fn a_desk_that_appears_fires_nothing() {
    for stale in [levels(179, (1, 0), 255, 40, 255), levels(51, (2, 0), 255, 200, 255)] {
        let mut bench = Bench::new();
        bench.hold(stale, 5_000);
        assert_eq!(bench.take(), [FOUND]);
        bench.wait(3_000);
        assert_eq!(bench.take(), [LOST]);
        bench.hold(stale, 5_000);
        assert_eq!(bench.take(), [FOUND]);
    }
}

#[test]
fn a_lost_desk_is_told_once_and_in_time() {
    let mut bench = Bench::there();
    // The last packet is 25 ms old.
    bench.wait(2_474);
    assert_eq!(bench.take(), []);
    bench.wait(1);
    assert_eq!(bench.take(), [LOST]);
    bench.wait(10_000);
    assert_eq!(bench.take(), []);
}

#[test]
fn a_desk_that_ends_its_stream_is_gone_at_once() {
    let mut bench = Bench::there();
    for sequence in 0..3 {
        let end = Header { terminated: true, sequence: bench.sequence.wrapping_add(1 + sequence), ..HEADER };
        bench.bytes(&sent(end, 0, &levels(128, (0, 0), 0, 0, 255)));
        bench.wait(1);
    }
    assert_eq!(bench.take(), [LOST]);
    let late = Header { sequence: bench.sequence.wrapping_sub(1), ..HEADER };
    bench.bytes(&sent(late, 0, &levels(0, (0, 0), 0, 0, 0)));
    assert_eq!(bench.take(), [], "a packet from before the end does not bring it back");
}

#[test]
fn other_start_codes_and_previews_say_nothing() {
    let mut bench = Bench::there();
    for _ in 0..200 {
        bench.sequence = bench.sequence.wrapping_add(1);
        let header = Header { sequence: bench.sequence, ..HEADER };
        bench.bytes(&sent(header, 0xDD, &levels(128, (0, 0), 0, 0, 255)));
        bench.sequence = bench.sequence.wrapping_add(1);
        let header = Header { sequence: bench.sequence, preview: true, ..HEADER };
        bench.bytes(&sent(header, 0, &levels(128, (0, 0), 0, 0, 255)));
        bench.wait(10);
    }
    assert_eq!(bench.take(), []);
    bench.wait(500);
    assert_eq!(bench.take(), [LOST]);
}

#[test]
fn a_universe_of_its_own_and_bad_bytes_are_counted() {
    let mut bench = Bench::there();
    let other = Header { universe: UNIVERSE + 1, sequence: bench.sequence.wrapping_add(1), ..HEADER };
    bench.bytes(&sent(other, 0, &[0, 0, 0, 0, 0, 0, 0, 0, 0, 255]));
    assert_eq!((bench.desk.bad(), bench.desk.universe()), (0, UNIVERSE));
    assert!(bench.desk.hear(&[0; 60], &bench.show, bench.now).is_err());
    assert_eq!(bench.desk.bad(), 1);
    bench.show.control.slots_universe = 0;
    assert!(bench.desk.tune(&bench.show));
    bench.hold(levels(0, (0, 0), 0, 0, 0), 100);
    assert_eq!(bench.take(), []);
}
