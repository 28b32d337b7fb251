//! The worked bytes of core/docs/crew.md, read and written by the core.

use underfoot_core::crew::{Ask, BEAT_BYTES, Beat, Change, Seat, Stamped};
use underfoot_core::engine::Source;
use underfoot_core::show::{CueId, Mode};
use underfoot_tests::document::Document;

/// Name and bytes of each line of the block.
fn worked() -> Vec<(String, Vec<u8>)> {
    let lines = Document::of_core("crew.md").block("beats");
    let hex = |word: &String| u8::from_str_radix(word, 16).expect("hexadecimal bytes");
    let split = |words: Vec<String>| {
        let bar = words.iter().position(|word| word == "|").expect("a bar before the bytes");
        (words[..bar].join(" "), words[bar + 1..].iter().map(hex).collect())
    };
    lines.into_iter().map(split).collect()
}

#[test]
fn the_worked_beats_are_read_and_written() {
    let worked = worked();
    let beats: Vec<Beat> = worked.iter().map(|(name, bytes)| Beat::read(bytes).expect(name)).collect();
    let [main, backup, fresh] = &beats[..] else { panic!("three beats") };
    assert_eq!((main.seat, main.pack), (Seat { controller: 1, backup: false }, 0xDEAD_BEEF));
    assert!(main.decides.in_charge && main.drives.in_charge && main.state.running);
    assert_eq!((main.state.mode, main.state.cue, main.state.since_us), (Mode::Air, Some(CueId(4)), 1_500_000));
    assert_eq!((main.decides.epoch, main.off.count, main.off.seat), (42, 2, backup.seat));
    assert_eq!(
        [main, backup, fresh].map(|beat| (beat.stop, beat.desk)),
        [(false, true), (false, false), (false, false)]
    );
    assert_eq!(main.settled[..], [(backup.seat, 7)]);
    let changes = [
        (3, Change::Tile { block: 0, column: 3, row: 5, dead: true }),
        (2, Change::Prop { id: 4, dx_mm: 0, dy_mm: 250 }),
        (1, Change::Mark { id: 7, dx_mm: 150, dy_mm: -40 }),
    ];
    assert_eq!(main.changes[..], changes.map(|(stamp, change)| Stamped { stamp, change }));
    assert!(backup.seat.backup && !backup.decides.in_charge);
    assert_eq!((backup.asked, &backup.asks[..]), (8, &[Ask::Go(CueId(5), Source::Keys)][..]));
    assert_eq!((fresh.seat.controller, fresh.state.mode, fresh.state.cue), (4, Mode::Off, None));
    assert!(!fresh.state.running && !fresh.decides.seasoned && fresh.off.count == 0);
    for (beat, (name, bytes)) in beats.iter().zip(&worked) {
        let mut out = [0; BEAT_BYTES];
        let len = beat.write(&mut out).expect("room");
        assert_eq!(out[..len], bytes[..], "{name}");
    }
}
