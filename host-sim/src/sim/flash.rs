//! Flash in the desk's memory.

use underfoot_core::ports::{FlashPort, Geometry};

/// Flash that behaves as the box's does: erased bytes are `FF`, writing clears bits.
#[derive(Clone, Debug)]
pub struct MemoryFlash {
    bytes: Vec<u8>,
    size: Geometry,
}

/// An offset or a length that is off the grid or past the end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OutOfRange;

impl MemoryFlash {
    /// Erased flash.
    pub fn new(size: Geometry) -> Self {
        Self { bytes: vec![0xFF; size.capacity as usize], size }
    }

    /// Flash that holds these bytes; `None` when they are not as many as it has.
    pub fn with_bytes(size: Geometry, bytes: Vec<u8>) -> Option<Self> {
        (bytes.len() == size.capacity as usize).then_some(Self { bytes, size })
    }

    /// All that it holds.
    pub fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    fn part(&mut self, at: u32, len: usize, grid: u32) -> Result<&mut [u8], OutOfRange> {
        let on_grid = at.is_multiple_of(grid) && (len as u64).is_multiple_of(grid.into());
        let end = (at as usize).checked_add(len).ok_or(OutOfRange)?;
        self.bytes.get_mut(at as usize..end).filter(|_| on_grid).ok_or(OutOfRange)
    }
}

impl FlashPort for MemoryFlash {
    type Error = OutOfRange;

    fn geometry(&self) -> Geometry {
        self.size
    }

    fn read(&mut self, at: u32, bytes: &mut [u8]) -> Result<(), OutOfRange> {
        bytes.copy_from_slice(self.part(at, bytes.len(), 1)?);
        Ok(())
    }

    fn erase(&mut self, from: u32, to: u32) -> Result<(), OutOfRange> {
        let len = to.checked_sub(from).ok_or(OutOfRange)?;
        self.part(from, len as usize, self.size.erase)?.fill(0xFF);
        Ok(())
    }

    fn write(&mut self, at: u32, bytes: &[u8]) -> Result<(), OutOfRange> {
        let grid = self.size.write;
        self.part(at, bytes.len(), grid)?.iter_mut().zip(bytes).for_each(|(old, new)| *old &= new);
        Ok(())
    }
}
