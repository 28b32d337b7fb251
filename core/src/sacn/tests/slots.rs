//! What levels mean, and when.

use super::*;

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
