//! Frames that are broken in every way: what a box must put up with.

use underfoot_core::link::{Request, Versions, frame};
use underfoot_core::ports::{CREW_PORT, LINK_PORT, SACN_PORT};
use underfoot_core::sacn::{Cid, Data, Header, write};
use underfoot_core::show::CueId;

use crate::dice::Dice;
use crate::ether::{self, EVERYBODY, End};

/// A source of broken frames.
#[derive(Clone, Debug)]
pub struct Storm {
    dice: Dice,
    from: End,
    to: End,
    universe: u16,
}

impl Storm {
    /// The same frames for the same `seed`, from a stranger to a box that listens to `universe`.
    pub const fn new(seed: u64, (from, to): (End, End), universe: u16) -> Self {
        Self { dice: Dice::new(seed), from, to, universe }
    }

    /// The next frame: broken somewhere between its first byte and its last.
    pub fn frame(&mut self) -> Vec<u8> {
        let (to, bytes) = self.message();
        let from = self.from.at(40_000 + self.dice.below(40) as u16);
        let (stranger, dice) = (self.from, &mut self.dice);
        let mut frame = match dice.below(8) {
            0 => ether::arp(dice.below(4) as u16, stranger, EVERYBODY, self.to.ip),
            1 => ether::igmp_query(stranger),
            2 => ether::udp(from, self.to.at(dice.bits() as u16 | 1), &bytes),
            3 => [vec![dice.byte()], noise(dice, 1_514)].concat(),
            _ => ether::udp(from, to, &bytes),
        };
        match dice.below(6) {
            // Not to nothing: the emulator takes an empty frame for the end of the cable.
            0 => frame.truncate(1 + dice.below(frame.len())),
            1 => frame.resize(1_514, 0x5A),
            2 => scratch(dice, &mut frame, 60),
            _ => {}
        }
        frame
    }

    /// A datagram that is broken, or comes from a stranger, or is for nobody.
    fn message(&mut self) -> (End, Vec<u8>) {
        let dice = &mut self.dice;
        let (port, mut bytes) = match dice.below(3) {
            0 => (LINK_PORT, request(dice)),
            1 => (CREW_PORT, noise(dice, 641)),
            _ => (SACN_PORT, idle_packet(self.universe)),
        };
        match dice.below(3) {
            0 => bytes.truncate(dice.below(bytes.len() + 1)),
            // Of a lighting desk's packet only what stands before its levels: those must not ask for anything.
            1 => scratch(dice, &mut bytes, 120),
            _ if port == LINK_PORT => {}
            _ => bytes.reverse(),
        }
        let to = if port == SACN_PORT && dice.one_in(2) { End::universe(self.universe) } else { self.to.at(port) };
        (to, bytes)
    }
}

/// Up to `len` - 1 bytes of anything.
fn noise(dice: &mut Dice, len: usize) -> Vec<u8> {
    (0..dice.below(len)).map(|_| dice.byte()).collect()
}

/// Other bytes in some places before `end`.
fn scratch(dice: &mut Dice, bytes: &mut [u8], end: usize) {
    for _ in 0..=dice.below(8) {
        let place = dice.below(bytes.len().min(end));
        if let Some(byte) = bytes.get_mut(place) {
            *byte = dice.byte();
        }
    }
}

/// What a desk asks, by one who has not said hello: a hello is always damaged.
fn request(dice: &mut Dice) -> Vec<u8> {
    let mut bytes = vec![0; frame::MAX_WIRE_BYTES];
    let request = match dice.below(5) {
        0 => Request::Go { to: CueId(dice.byte() % 8) },
        1 => Request::Hello(Versions { min: dice.byte().into(), current: dice.byte().into() }),
        2 => Request::PackChunk { offset: dice.bits() as u32, bytes: &[0xA5; 300] },
        3 => Request::Arm,
        _ => Request::Report,
    };
    let len = frame::write(dice.byte(), &request, &mut bytes).expect("a frame");
    bytes.truncate(len);
    if let (Request::Hello(_), Some(byte)) = (request, bytes.get_mut(len - 2)) {
        *byte ^= 0x10;
    }
    bytes
}

/// A packet of E1.31 with levels of 0, by the core's own writer: only its damage is of interest.
fn idle_packet(universe: u16) -> Vec<u8> {
    let header = Header {
        cid: Cid([7; 16]),
        name: b"Desk",
        priority: 100,
        sync_address: 0,
        sequence: 0,
        preview: false,
        terminated: false,
        force_sync: false,
        universe,
    };
    let mut bytes = vec![0; 638];
    let len = write(&Data { header, start_code: 0, slots: &[0; 512] }, &mut bytes).expect("a packet");
    bytes.truncate(len);
    bytes
}
