//! Flash that can lose power after any byte that it erases or writes, and leaves that byte in doubt.

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use underfoot_core::ports::{FlashPort, Geometry};

/// Small pages, so that a power cut after every byte of an update is a matter of seconds.
pub const SMALL: Geometry = Geometry { capacity: 2 * 13 * 256 + 2 * 256, erase: 256, write: 4 };

/// The memory, shared with the test that cuts its power.
#[derive(Clone, Debug)]
pub struct CutFlash {
    /// Its bytes.
    pub bytes: Rc<RefCell<Vec<u8>>>,
    /// How many more bytes are erased or written before the lights go out; `None` for no end.
    pub power: Rc<Cell<Option<usize>>>,
    /// Bytes erased or written so far.
    pub spent: Rc<Cell<usize>>,
    size: Geometry,
}

/// What the memory refuses.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Refused {
    /// Not on the erase or write grid, or past the end.
    Range,
    /// A byte written that is not erased.
    NotErased,
    /// The power is off.
    Power,
}

impl CutFlash {
    /// Memory with this content.
    pub fn with(bytes: Vec<u8>, size: Geometry) -> Self {
        Self { bytes: Rc::new(RefCell::new(bytes)), power: Rc::default(), spent: Rc::default(), size }
    }

    /// Memory that nobody has erased yet.
    pub fn fresh(size: Geometry) -> Self {
        Self::with((0..size.capacity).map(|i| (i * 7 % 253) as u8).collect(), size)
    }

    /// One byte's worth of power; true for the last one.
    fn spend(&self) -> Result<bool, Refused> {
        let left = self.power.get();
        if left == Some(0) {
            return Err(Refused::Power);
        }
        self.spent.set(self.spent.get() + 1);
        self.power.set(left.map(|n| n - 1));
        Ok(left == Some(1))
    }

    fn place(&self, at: u32, len: usize, grid: u32) -> Result<usize, Refused> {
        let on_grid = at.is_multiple_of(grid) && (len as u32).is_multiple_of(grid);
        let fits = at as usize + len <= self.bytes.borrow().len();
        if on_grid && fits { Ok(at as usize) } else { Err(Refused::Range) }
    }
}

impl FlashPort for CutFlash {
    type Error = Refused;

    fn geometry(&self) -> Geometry {
        self.size
    }

    fn read(&mut self, at: u32, bytes: &mut [u8]) -> Result<(), Refused> {
        let from = self.place(at, bytes.len(), 1)?;
        bytes.copy_from_slice(&self.bytes.borrow()[from..from + bytes.len()]);
        if self.power.get() == Some(0) { Err(Refused::Power) } else { Ok(()) }
    }

    fn erase(&mut self, from: u32, to: u32) -> Result<(), Refused> {
        let start = self.place(from, (to - from) as usize, self.size.erase)?;
        for at in start..to as usize {
            let is_last = self.spend()?;
            let byte = &mut self.bytes.borrow_mut()[at];
            *byte = if is_last { *byte | 0x3C } else { 0xFF };
        }
        Ok(())
    }

    fn write(&mut self, at: u32, bytes: &[u8]) -> Result<(), Refused> {
        let start = self.place(at, bytes.len(), self.size.write)?;
        for (at, new) in (start..).zip(bytes) {
            if self.bytes.borrow()[at] != 0xFF {
                return Err(Refused::NotErased);
            }
            let is_last = self.spend()?;
            self.bytes.borrow_mut()[at] = if is_last { new | 0xC3 } else { *new };
        }
        Ok(())
    }
}
