//! The ports of the soaked box: none of them takes anything from the heap once it is made.

use std::cell::RefCell;
use std::collections::VecDeque;
use std::convert::Infallible;
use std::rc::Rc;

use underfoot_core::device::Hardware;
use underfoot_core::link::frame::MAX_WIRE_BYTES;
use underfoot_core::link::{Answer, Decoder};
use underfoot_core::panel::Face;
use underfoot_core::ports::{
    Address, DATAGRAM_BYTES, Datagram, Door, Event, Haptic, Lamp, Levels, NetPort, PanelPort, Station,
};
use underfoot_core::units::Instant;
use underfoot_sim::sim::{MemoryFlash, NoLink};

use super::rows::Floor;
use super::senders::{DESK, TRACKING};

/// Datagrams that may wait for the box.
const WAITING: usize = 64;

/// The ports' kinds.
#[derive(Debug)]
pub struct Soaked;

impl Hardware for Soaked {
    type Link = NoLink;
    type Net = Wire;
    type Flash = MemoryFlash;
    type Rows = Floor;
    type Panel = Front;
}

/// A datagram.
#[derive(Clone, Copy, Debug)]
pub struct Packet {
    /// The box's door that it goes to.
    pub door: Door,
    /// Who sends it.
    pub from: Station,
    /// Bytes of it.
    pub len: usize,
    /// Its bytes, at the front.
    pub bytes: [u8; DATAGRAM_BYTES],
}

impl Packet {
    /// A datagram of these bytes, at most [`DATAGRAM_BYTES`].
    pub fn new(door: Door, from: Station, content: &[u8]) -> Self {
        let mut bytes = [0; DATAGRAM_BYTES];
        bytes[..content.len()].copy_from_slice(content);
        Self { door, from, len: content.len(), bytes }
    }

    /// What it holds.
    pub fn content(&self) -> &[u8] {
        &self.bytes[..self.len]
    }
}

/// The network: all that is sent arrives before the next poll, in its order. Clones are the same network.
#[derive(Clone, Debug)]
pub struct Wire(Rc<RefCell<Net>>);

#[derive(Debug)]
struct Net {
    coming: VecDeque<Packet>,
    mail: Option<Letter>,
    sent: Sent,
}

/// An answer to the desk, which asks one thing at a time: its bytes, and how many there are.
pub type Letter = ([u8; MAX_WIRE_BYTES], usize);

/// What the box sent, counted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Sent {
    /// Poses that were taken.
    pub poses: u64,
    /// Answers to senders that something is not done.
    pub refused: u64,
    /// Packets of pixel tape.
    pub tape: u64,
    /// Words to other boxes.
    pub beats: u64,
}

impl Wire {
    /// A network without anything on it.
    pub fn new() -> Self {
        let net = Net { coming: VecDeque::with_capacity(WAITING), mail: None, sent: Sent::default() };
        Self(Rc::new(RefCell::new(net)))
    }

    /// Sends to the box.
    ///
    /// # Panics
    /// When the box lets more wait than there is room for: it does not keep up.
    pub fn push(&self, packet: Packet) {
        let coming = &mut self.0.borrow_mut().coming;
        assert!(coming.len() < WAITING, "the box does not keep up");
        coming.push_back(packet);
    }

    /// The answer that the desk has got, once.
    pub fn mail(&self) -> Option<Letter> {
        self.0.borrow_mut().mail.take()
    }

    /// What the box sent so far.
    pub fn sent(&self) -> Sent {
        self.0.borrow().sent
    }
}

impl Default for Wire {
    fn default() -> Self {
        Self::new()
    }
}

impl NetPort for Wire {
    type Error = Infallible;

    fn settle(&mut self, _address: Address) -> Result<(), Infallible> {
        Ok(())
    }

    fn receive(&mut self, _now: Instant, bytes: &mut [u8]) -> Result<Option<Datagram>, Infallible> {
        let Some(packet) = self.0.borrow_mut().coming.pop_front() else { return Ok(None) };
        bytes[..packet.len].copy_from_slice(packet.content());
        Ok(Some(Datagram { door: packet.door, from: packet.from, len: packet.len }))
    }

    fn send(&mut self, door: Door, to: Station, bytes: &[u8]) -> Result<bool, Infallible> {
        let net = &mut *self.0.borrow_mut();
        match door {
            Door::Sacn => net.sent.tape += 1,
            Door::Crew => net.sent.beats += 1,
            Door::Link if to == DESK => {
                let mut letter = [0; MAX_WIRE_BYTES];
                letter[..bytes.len()].copy_from_slice(bytes);
                net.mail = Some((letter, bytes.len()));
            }
            Door::Link => match answer_in(bytes) {
                Some(Answer::Done) => net.sent.poses += u64::from(to == TRACKING),
                Some(Answer::Hello(_)) => {}
                _ => net.sent.refused += 1,
            },
        }
        Ok(true)
    }

    fn listen(&mut self, _universe: u16) -> Result<(), Infallible> {
        Ok(())
    }
}

fn answer_in(bytes: &[u8]) -> Option<Answer> {
    let mut decoder = Decoder::new();
    let (last, body) = bytes.split_last()?;
    for byte in body {
        decoder.feed(*byte);
    }
    let frame = decoder.push(*last)?.ok()?;
    postcard::from_bytes(frame.message).ok()
}

/// The panel. Clones are the same panel.
#[derive(Clone, Debug, Default)]
pub struct Front(Rc<RefCell<Panel>>);

#[derive(Debug, Default)]
struct Panel {
    levels: Levels,
    /// Notes that something failed: flash, a picture, a port.
    failures: u64,
}

impl Front {
    /// Moves keys and contacts.
    pub fn set(&self, levels: Levels) {
        self.0.borrow_mut().levels = levels;
    }

    /// How often flash, a picture or a port failed.
    pub fn failures(&self) -> u64 {
        self.0.borrow().failures
    }
}

impl PanelPort for Front {
    fn levels(&mut self) -> Levels {
        self.0.borrow().levels
    }

    fn show(&mut self, _face: &Face) {}

    fn lamp(&mut self, _lamp: Lamp) {}

    fn tick(&mut self, _haptic: Haptic) {}

    fn relay(&mut self, _closed: bool) {}

    fn note(&mut self, event: Event) {
        let failed = matches!(event, Event::StoreFailed | Event::PaintFault | Event::PortFault);
        self.0.borrow_mut().failures += u64::from(failed);
    }
}
