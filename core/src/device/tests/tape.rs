//! A box with nothing but pixel tape says which picture it has, by what it sends.

use super::*;
use crate::checksum::CRC;
use crate::floor::block::Output;
use crate::ports::Door;

/// The sample's floor as a tape of 4096 pixels: 25 packets a frame.
fn taped() -> Show {
    let mut show = samples::small();
    show.canvases[0].output = Output::Direct { first_universe: 1 };
    show
}

/// Checksum over the slots of the last whole frame that was sent: data packets are longer than 49 bytes, the slots
/// begin at byte 126 (ANSI E1.31-2018, table 4-1), and each checksum starts with the one before.
fn last_frame(world: &World) -> u32 {
    let sent: Vec<_> = world.device.works.net.outgoing.borrow().iter().filter(|l| l.0 == Door::Sacn).cloned().collect();
    let is_sync = |bytes: &[u8]| bytes.len() == 49;
    let end = sent.iter().rposition(|(.., bytes)| is_sync(bytes)).expect("a whole frame");
    let begin = sent[..end].iter().rposition(|(.., bytes)| is_sync(bytes)).map_or(0, |i| i + 1);
    assert_eq!(end - begin, 25);
    sent[begin..end].iter().fold(0_u32, |crc, (.., bytes)| CRC.checksum(&[&crc.to_le_bytes(), &bytes[126..]].concat()))
}

#[test]
fn the_checksum_of_a_tape_is_that_of_what_was_sent() {
    let mut world = World::connected(flash());
    assert_eq!(world.upload(&packed(&taped())), Answer::Done);
    assert_eq!(world.report().picture_crc, 0, "dark");
    assert_eq!(world.ask(Request::Arm), Answer::Done);
    let mut seen = Vec::new();
    for to in [0, 1, 2] {
        assert_eq!(world.go(to), Answer::Done);
        for _ in 0..2_000 {
            world.now = world.now.after(Duration::from_millis(1));
            world.device.poll(world.now);
        }
        // The frame in work gets whole; without time no other is due.
        world.settle();
        let crc = world.device.works.counts.picture_crc;
        assert_eq!((crc, crc == 0), (last_frame(&world), false), "cue {to}");
        seen.push(crc);
    }
    assert!(seen[0] != seen[1] && seen[1] != seen[2], "{seen:?}");
    assert_eq!(world.ask(Request::Off), Answer::Done);
    assert_eq!(world.report().picture_crc, 0, "dark again");
}
