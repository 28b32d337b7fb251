//! Ports in memory.

use std::cell::RefCell;
use std::collections::VecDeque;
use std::rc::Rc;
use std::vec::Vec;

use super::mock_flash::MockFlash;
use crate::device::Hardware;
use crate::paint::{RowTarget, Span};
use crate::panel::Face;
use crate::ports::{
    Address, Datagram, Door, Event, Haptic, Lamp, Levels, LinkPort, Look, NetPort, PanelPort, RowPort, Station,
};
use crate::units::Instant;

/// One end of a pipe of bytes.
#[derive(Clone, Default)]
pub(crate) struct MockLink {
    pub(crate) incoming: Rc<RefCell<VecDeque<u8>>>,
    pub(crate) outgoing: Rc<RefCell<VecDeque<u8>>>,
}

impl LinkPort for MockLink {
    type Error = ();

    fn read(&mut self, bytes: &mut [u8]) -> Result<usize, ()> {
        let mut queue = self.incoming.borrow_mut();
        let len = queue.len().min(bytes.len());
        for (slot, byte) in bytes.iter_mut().zip(queue.drain(..len)) {
            *slot = byte;
        }
        Ok(len)
    }

    fn write(&mut self, bytes: &[u8]) -> Result<usize, ()> {
        // Like a small hardware queue: a few bytes at a time.
        let taken = &bytes[..bytes.len().min(7)];
        self.outgoing.borrow_mut().extend(taken);
        Ok(taken.len())
    }
}

/// What the LEDs were given.
#[derive(Clone, Default)]
pub(crate) struct MockRows {
    pub(crate) frames: Rc<RefCell<u32>>,
    /// Frames that were begun, and rows since the last one was.
    pub(crate) begun: Rc<RefCell<u32>>,
    pub(crate) rows: Rc<RefCell<u32>>,
    /// Pixels lit by the last frame; 0 after a blank.
    pub(crate) lit: Rc<RefCell<u32>>,
    pub(crate) refuse: Rc<RefCell<bool>>,
}

impl RowTarget for MockRows {
    type Error = ();

    fn begin_row(&mut self, _: u16, _: u16, _: u16) -> Result<(), ()> {
        if *self.refuse.borrow() { Err(()) } else { Ok(()) }
    }

    fn span(&mut self, span: Span) -> Result<(), ()> {
        *self.lit.borrow_mut() += u32::from(span.end - span.start);
        Ok(())
    }

    fn end_row(&mut self) -> Result<(), ()> {
        *self.rows.borrow_mut() += 1;
        Ok(())
    }
}

impl RowPort for MockRows {
    fn begin_frame(&mut self, _: u8, _: u16, _: u16) -> Result<(), ()> {
        *self.begun.borrow_mut() += 1;
        *self.rows.borrow_mut() = 0;
        *self.lit.borrow_mut() = 0;
        Ok(())
    }

    fn end_frame(&mut self) -> Result<(), ()> {
        *self.frames.borrow_mut() += 1;
        Ok(())
    }

    fn blank(&mut self) -> Result<(), ()> {
        *self.lit.borrow_mut() = 0;
        Ok(())
    }
}

/// Levels to read, and what people and the log were told.
#[derive(Clone, Default)]
pub(crate) struct MockPanel {
    pub(crate) levels: Rc<RefCell<Levels>>,
    pub(crate) earlier: Rc<RefCell<VecDeque<Look>>>,
    pub(crate) shown: Rc<RefCell<Vec<Face>>>,
    pub(crate) lamps: Rc<RefCell<Vec<Lamp>>>,
    pub(crate) ticks: Rc<RefCell<Vec<Haptic>>>,
    pub(crate) relay: Rc<RefCell<bool>>,
    pub(crate) notes: Rc<RefCell<Vec<Event>>>,
}

impl PanelPort for MockPanel {
    fn earlier(&mut self) -> Option<Look> {
        self.earlier.borrow_mut().pop_front()
    }

    fn levels(&mut self) -> Levels {
        *self.levels.borrow()
    }

    fn show(&mut self, face: &Face) {
        self.shown.borrow_mut().push(face.clone());
    }

    fn lamp(&mut self, lamp: Lamp) {
        self.lamps.borrow_mut().push(lamp);
    }

    fn tick(&mut self, haptic: Haptic) {
        self.ticks.borrow_mut().push(haptic);
    }

    fn relay(&mut self, closed: bool) {
        *self.relay.borrow_mut() = closed;
    }

    fn note(&mut self, event: Event) {
        self.notes.borrow_mut().push(event);
    }
}

/// A datagram on its way.
type Letter = (Door, Station, Vec<u8>);

/// Datagrams to take, and those that were sent.
#[derive(Clone, Default)]
pub(crate) struct MockNet {
    pub(crate) incoming: Rc<RefCell<VecDeque<Letter>>>,
    pub(crate) outgoing: Rc<RefCell<VecDeque<Letter>>>,
    pub(crate) universe: Rc<RefCell<u16>>,
    pub(crate) address: Rc<RefCell<Option<Address>>>,
}

impl NetPort for MockNet {
    type Error = ();

    fn settle(&mut self, address: Address) -> Result<(), ()> {
        *self.address.borrow_mut() = Some(address);
        Ok(())
    }

    fn receive(&mut self, _now: Instant, bytes: &mut [u8]) -> Result<Option<Datagram>, ()> {
        let Some((door, from, sent)) = self.incoming.borrow_mut().pop_front() else { return Ok(None) };
        let Some(front) = bytes.get_mut(..sent.len()) else { return Ok(None) };
        front.copy_from_slice(&sent);
        Ok(Some(Datagram { door, from, len: sent.len() }))
    }

    fn send(&mut self, door: Door, to: Station, bytes: &[u8]) -> Result<bool, ()> {
        self.outgoing.borrow_mut().push_back((door, to, bytes.to_vec()));
        Ok(true)
    }

    fn listen(&mut self, universe: u16) -> Result<(), ()> {
        *self.universe.borrow_mut() = universe;
        Ok(())
    }
}

/// A box of mocks.
pub(crate) struct MockHardware;

impl Hardware for MockHardware {
    type Link = MockLink;
    type Net = MockNet;
    type Flash = MockFlash;
    type Rows = MockRows;
    type Panel = MockPanel;
}
