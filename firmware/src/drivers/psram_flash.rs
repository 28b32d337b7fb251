//! Flash in the board's external RAM: the MPS2 boards have none of their own. Behaves as NOR flash does, and keeps
//! its content across resets (and across emulator runs when its memory is a file).

use embedded_storage::nor_flash::{
    ErrorType, NorFlash, NorFlashErrorKind, ReadNorFlash, check_erase, check_read, check_write,
};

/// Two slots of a pack with header, in whole erase pages, and the two pages of the journal.
pub const CAPACITY: usize = 2 * 36 * 1024 + 2 * PAGE;
const PAGE: usize = 4096;
const WORD: usize = 4;

/// The flash at its base address.
#[derive(Debug)]
pub struct PsramFlash {
    base: *mut u8,
}

impl PsramFlash {
    /// The flash in external RAM at `base`.
    ///
    /// # Safety
    /// [`CAPACITY`] bytes from `base` must be RAM that nothing else uses, and there must be one such flash.
    pub const unsafe fn new(base: usize) -> Self {
        Self { base: base as *mut u8 }
    }

    fn get(&self, at: usize) -> u8 {
        // SAFETY: `at` is below `CAPACITY` (checked by the callers), which `new`'s caller vouches for.
        unsafe { self.base.add(at).read_volatile() }
    }

    fn set(&mut self, at: usize, byte: u8) {
        // SAFETY: as in `get`.
        unsafe { self.base.add(at).write_volatile(byte) }
    }
}

impl ErrorType for PsramFlash {
    type Error = NorFlashErrorKind;
}

impl ReadNorFlash for PsramFlash {
    const READ_SIZE: usize = 1;

    fn read(&mut self, offset: u32, bytes: &mut [u8]) -> Result<(), Self::Error> {
        check_read(self, offset, bytes.len())?;
        for (i, byte) in bytes.iter_mut().enumerate() {
            *byte = self.get(offset as usize + i);
        }
        Ok(())
    }

    fn capacity(&self) -> usize {
        CAPACITY
    }
}

impl NorFlash for PsramFlash {
    const WRITE_SIZE: usize = WORD;
    const ERASE_SIZE: usize = PAGE;

    fn erase(&mut self, from: u32, to: u32) -> Result<(), Self::Error> {
        check_erase(self, from, to)?;
        (from as usize..to as usize).for_each(|at| self.set(at, 0xFF));
        Ok(())
    }

    fn write(&mut self, offset: u32, bytes: &[u8]) -> Result<(), Self::Error> {
        check_write(self, offset, bytes.len())?;
        for (i, &byte) in bytes.iter().enumerate() {
            // Writing clears bits and never sets them.
            let at = offset as usize + i;
            self.set(at, self.get(at) & byte);
        }
        Ok(())
    }
}
