//! Link, row and status ports in memory.

use std::cell::RefCell;
use std::collections::VecDeque;
use std::rc::Rc;
use std::vec::Vec;

use crate::paint::{RowTarget, Span};
use crate::ports::{Event, LinkPort, RowPort, Status, StatusPort};

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
        Ok(())
    }
}

impl RowPort for MockRows {
    fn begin_frame(&mut self, _: u8, _: u16, _: u16) -> Result<(), ()> {
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

/// What people and the log were told.
#[derive(Clone, Default)]
pub(crate) struct MockStatus {
    pub(crate) shown: Rc<RefCell<Vec<Status>>>,
    pub(crate) notes: Rc<RefCell<Vec<Event>>>,
}

impl StatusPort for MockStatus {
    fn show(&mut self, status: &Status) {
        self.shown.borrow_mut().push(*status);
    }

    fn note(&mut self, event: Event) {
        self.notes.borrow_mut().push(event);
    }
}
