//! Flash that is stricter than hardware and can lose power after any byte.

use std::vec::Vec;

use crate::ports::{FlashPort, Geometry};

/// What a mock flash refuses.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum MockError {
    /// Not on the erase or write grid, or past the end.
    Range,
    /// A byte written without being erased.
    NotErased,
    /// The power is off.
    Power,
}

/// The memory. `power` is how many more bytes are erased or written before the lights go out.
#[derive(Clone, Debug)]
pub(crate) struct MockFlash {
    pub(crate) bytes: Vec<u8>,
    pub(crate) size: Geometry,
    pub(crate) power: Option<usize>,
    /// Bytes erased or written so far.
    pub(crate) spent: usize,
}

impl MockFlash {
    pub(crate) fn new(size: Geometry) -> Self {
        // Fresh memory is not always erased: start from a pattern.
        let bytes = (0..size.capacity).map(|i| (i % 251) as u8).collect();
        Self { bytes, size, power: None, spent: 0 }
    }

    /// Spends one byte's worth of power; what the byte becomes when it is the last is up to the caller.
    fn spend(&mut self) -> Result<bool, MockError> {
        self.spent += 1;
        match &mut self.power {
            None => Ok(false),
            Some(0) => Err(MockError::Power),
            Some(left) => {
                *left -= 1;
                Ok(*left == 0)
            }
        }
    }

    fn range(&self, at: u32, len: usize, grid: u32) -> Result<core::ops::Range<usize>, MockError> {
        let (from, to) = (at as usize, at as usize + len);
        let on_grid = at.is_multiple_of(grid) && (len as u32).is_multiple_of(grid);
        if on_grid && to <= self.bytes.len() { Ok(from..to) } else { Err(MockError::Range) }
    }
}

impl FlashPort for MockFlash {
    type Error = MockError;

    fn geometry(&self) -> Geometry {
        self.size
    }

    fn read(&mut self, at: u32, bytes: &mut [u8]) -> Result<(), MockError> {
        if self.power == Some(0) {
            return Err(MockError::Power);
        }
        let range = self.range(at, bytes.len(), 1)?;
        bytes.copy_from_slice(&self.bytes[range]);
        Ok(())
    }

    fn erase(&mut self, from: u32, to: u32) -> Result<(), MockError> {
        for i in self.range(from, (to - from) as usize, self.size.erase)? {
            // A byte whose erase was cut may read as anything.
            let last = self.spend()?;
            self.bytes[i] = if last { self.bytes[i] | 0xA5 } else { 0xFF };
        }
        Ok(())
    }

    fn write(&mut self, at: u32, bytes: &[u8]) -> Result<(), MockError> {
        for (i, &byte) in self.range(at, bytes.len(), self.size.write)?.zip(bytes) {
            if self.bytes[i] != 0xFF {
                return Err(MockError::NotErased);
            }
            let last = self.spend()?;
            // A byte whose write was cut has some of its bits.
            self.bytes[i] = if last { byte | 0x5A } else { byte };
        }
        Ok(())
    }
}

/// A memory of `capacity` bytes with small pages, so that exhaustive tests stay short.
pub(crate) fn small_pages(capacity: u32) -> MockFlash {
    MockFlash::new(Geometry { capacity, erase: 256, write: 4 })
}
