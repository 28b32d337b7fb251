//! Who is listened to.

use super::*;

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

/// Another desk on the same universe.
struct Other {
    header: Header<'static>,
    levels: Levels,
}

impl Other {
    fn new(cid: u8, priority: u8, levels: Levels) -> Self {
        Self { header: Header { cid: Cid([cid; 16]), priority, ..HEADER }, levels }
    }

    fn send(&mut self, bench: &mut Bench) {
        self.header.sequence = self.header.sequence.wrapping_add(1);
        bench.bytes(&sent(self.header, 0, &self.levels));
    }
}

/// Sends all desks at 40 packets a second.
fn play(bench: &mut Bench, desks: &mut [&mut Other], millis: u64) {
    for _ in 0..millis / STEP.as_millis() {
        desks.iter_mut().for_each(|desk| desk.send(bench));
        bench.wait(STEP.as_millis());
    }
}

const REST: Levels = [26, 0, 0, 0, 0, 0, 0, 0, 0, 0];
const AIR: Levels = [128, 0, 0, 0, 0, 0, 0, 0, 0, 0];
const HELD: Levels = [26, 0, 0, 0, 0, 0, 0, 0, 0, 255];

#[test]
fn the_highest_priority_is_in_control_and_starts_anew() {
    let mut bench = Bench::new();
    let (mut low, mut high) = (Other::new(1, 100, REST), Other::new(2, 101, AIR));
    play(&mut bench, &mut [&mut low], 1_000);
    play(&mut bench, &mut [&mut low, &mut high], 2_000);
    low.levels = HELD;
    play(&mut bench, &mut [&mut low, &mut high], 2_000);
    assert_eq!(bench.take(), [FOUND], "the higher one starts with what it has; the lower one may say what it likes");
    high.levels = REST;
    play(&mut bench, &mut [&mut low, &mut high], 1_000);
    assert_eq!(bench.take(), [mode(None)]);
    // The higher one goes: the lower one starts anew, with OFF up all along.
    play(&mut bench, &mut [&mut low], 6_000);
    assert_eq!(bench.take(), []);
    low.levels = REST;
    play(&mut bench, &mut [&mut low], 500);
    low.levels = HELD;
    play(&mut bench, &mut [&mut low], 1_500);
    assert_eq!(bench.take(), [OFF]);
}

#[test]
fn among_equals_whoever_is_in_control_keeps_it() {
    let mut bench = Bench::new();
    let (mut first, mut second) = (Other::new(9, 100, REST), Other::new(1, 100, HELD));
    play(&mut bench, &mut [&mut first], 1_000);
    play(&mut bench, &mut [&mut second, &mut first], 5_000);
    second.levels = AIR;
    play(&mut bench, &mut [&mut second, &mut first], 5_000);
    assert_eq!(bench.take(), [FOUND]);
    first.levels = AIR;
    play(&mut bench, &mut [&mut second, &mut first], 1_000);
    assert_eq!(bench.take(), [mode(Some(Mode::Air))]);
    first.header.priority = 99;
    play(&mut bench, &mut [&mut second, &mut first], 1_000);
    second.levels = REST;
    play(&mut bench, &mut [&mut second, &mut first], 1_000);
    assert_eq!(bench.take(), [mode(None)], "who lowers its own priority gives control away");
}

#[test]
fn a_full_list_makes_room_for_who_outranks_it() {
    let mut bench = Bench::new();
    let mut crowd: Vec<Other> = (1..=4).map(|cid| Other::new(cid, 100 + cid, REST)).collect();
    let play_all = |bench: &mut Bench, crowd: &mut Vec<Other>, more: &mut Other| {
        let mut desks: Vec<&mut Other> = crowd.iter_mut().collect();
        desks.push(more);
        play(bench, &mut desks, 1_000);
    };
    let mut least = Other::new(7, 50, REST);
    play_all(&mut bench, &mut crowd, &mut least);
    least.levels = AIR;
    play_all(&mut bench, &mut crowd, &mut least);
    assert_eq!(bench.take(), [FOUND]);
    let mut boss = Other::new(8, 200, REST);
    play_all(&mut bench, &mut crowd, &mut boss);
    boss.levels = AIR;
    play_all(&mut bench, &mut crowd, &mut boss);
    assert_eq!(bench.take(), [mode(Some(Mode::Air))]);
}

/// ANSI E1.31-2018, 6.2.4.1, 6.2.6 and 11.1: data wait for synchronization only once one has come, and freeze or run
/// free when none comes any more, as their option bit says.
#[test]
fn data_wait_for_synchronization() {
    const ADDRESS: u16 = 7962;
    let sync = |bench: &mut Bench, sequence| {
        let mut bytes = [0; 49];
        write_sync(&Sync { cid: HEADER.cid, sequence, address: ADDRESS }, &mut bytes).unwrap();
        bench.bytes(&bytes);
    };
    let mut bench = Bench::new();
    bench.header.sync_address = ADDRESS;
    bench.hold(REST, 1_000);
    bench.hold(AIR, 1_000);
    assert_eq!(bench.take(), [FOUND, mode(Some(Mode::Air))], "no synchronization was heard: nothing waits");
    for sequence in 0..20 {
        bench.packet(REST);
        bench.wait(20);
        if sequence < 2 {
            sync(&mut bench, sequence);
            assert_eq!(bench.take(), []);
        } else {
            sync(&mut bench, sequence % 2);
        }
        bench.wait(30);
    }
    assert_eq!(bench.take(), [], "two packets, and then late synchronization: too few to stand still");
    for sequence in 2..22 {
        bench.packet(REST);
        bench.wait(20);
        sync(&mut bench, sequence);
        bench.wait(30);
    }
    assert_eq!(bench.take(), [mode(None)]);
    bench.hold(AIR, 5_000);
    assert_eq!(bench.take(), [], "frozen without synchronization");
    bench.header.force_sync = true;
    bench.hold(AIR, 1_000);
    assert_eq!(bench.take(), [mode(Some(Mode::Air))], "free without synchronization");
    bench.header = Header { sync_address: 0, ..HEADER };
    bench.hold(REST, 1_000);
    assert_eq!(bench.take(), [mode(None)]);
}
