//! The store over the flash port: two slots for shows, and the journal behind them.

use super::StoreError;
use super::header::{HEADER_BYTES, Header};
use super::journal::{self, Journal, Told};
use super::record::{Floor, Identity, Record};
use crate::checksum::CRC;
use crate::ports::FlashPort;

/// Two slots for shows, and a journal.
#[derive(Debug)]
pub struct Store<F> {
    flash: F,
    slot_bytes: u32,
    journal: Journal,
}

/// Bytes moved through the stack at a time.
const STEP_BYTES: usize = 64;

impl<F: FlashPort> Store<F> {
    /// A store over the whole of `flash`. A wipe that a power cut interrupted is brought to its end first.
    ///
    /// # Errors
    /// [`StoreError::Geometry`] or the flash port's own.
    pub fn open(mut flash: F) -> Result<Self, StoreError<F::Error>> {
        let size = flash.geometry();
        let writes = size.write > 0 && (HEADER_BYTES as u32).is_multiple_of(size.write);
        let pages = size.capacity.checked_div(size.erase).unwrap_or(0).saturating_sub(journal::PAGES);
        let slot_bytes = pages / 2 * size.erase;
        // A page of the journal holds its own first record, what counts, and one more.
        if !writes || slot_bytes <= HEADER_BYTES as u32 || size.erase < 5 * HEADER_BYTES as u32 {
            return Err(StoreError::Geometry);
        }
        let journal = Journal::open(&mut flash, 2 * slot_bytes)?;
        let mut store = Self { flash, slot_bytes, journal };
        if store.journal.told().is_wiping {
            store.finish_wipe()?;
        }
        Ok(store)
    }

    /// What was on the floor when it was last kept.
    pub const fn on_floor(&self) -> Floor {
        self.journal.told().floor
    }

    /// Keeps what is on the floor: one record of 16 bytes, and nothing when it is what was kept last.
    ///
    /// # Errors
    /// [`StoreError::ReadBack`] or the flash port's own; what was kept before still is.
    pub fn keep(&mut self, floor: Floor) -> Result<(), StoreError<F::Error>> {
        if floor == self.on_floor() {
            return Ok(());
        }
        self.journal.add(&mut self.flash, Record::Floor(floor))
    }

    /// Which box this is, if it was ever told.
    pub const fn identity(&self) -> Option<Identity> {
        self.journal.told().identity
    }

    /// Keeps which box this is.
    ///
    /// # Errors
    /// As [`Store::keep`].
    pub fn identify(&mut self, identity: Identity) -> Result<(), StoreError<F::Error>> {
        if self.identity() == Some(identity) {
            return Ok(());
        }
        self.journal.add(&mut self.flash, Record::Box(identity))
    }

    /// True when [`Store::tidy`] has nothing to do.
    pub const fn is_tidy(&self) -> bool {
        self.journal.is_tidy()
    }

    /// Erases at most one page ahead of time, so that [`Store::keep`] only has to write.
    ///
    /// # Errors
    /// The flash port's own.
    pub fn tidy(&mut self) -> Result<(), StoreError<F::Error>> {
        self.journal.tidy(&mut self.flash)
    }

    /// Erases both slots and all of the journal but which box this is, and looks whether it is erased. Once it is begun,
    /// a power cut does not stop it: [`Store::open`] goes on.
    ///
    /// # Errors
    /// [`StoreError::ReadBack`] when something is still there, or the flash port's own.
    pub fn wipe(&mut self) -> Result<(), StoreError<F::Error>> {
        self.journal.add(&mut self.flash, Record::Wipe)?;
        self.finish_wipe()
    }

    fn finish_wipe(&mut self) -> Result<(), StoreError<F::Error>> {
        let end = 2 * self.slot_bytes;
        self.flash.erase(0, end).map_err(StoreError::Flash)?;
        if !journal::is_erased(&mut self.flash, 0, end)? {
            return Err(StoreError::ReadBack);
        }
        let identity = self.identity();
        self.journal.start_over(&mut self.flash, Told { identity, ..Told::default() })
    }

    /// Most bytes of content.
    pub fn room(&self) -> u32 {
        self.slot_bytes - HEADER_BYTES as u32
    }

    /// Gives the flash back.
    pub fn into_flash(self) -> F {
        self.flash
    }

    /// Reads the newest whole content to the front of `buffer`; `None` when there is none.
    ///
    /// # Errors
    /// [`StoreError::Buffer`] or the flash port's error.
    pub fn load(&mut self, buffer: &mut [u8]) -> Result<Option<usize>, StoreError<F::Error>> {
        let Some((slot, header)) = self.newest()? else { return Ok(None) };
        let short = StoreError::Buffer { expected: header.len, got: buffer.len() as u32 };
        let content = buffer.get_mut(..header.len as usize).ok_or(short)?;
        self.flash.read(self.content_at(slot), content).map_err(StoreError::Flash)?;
        if CRC.checksum(content) == header.crc { Ok(Some(header.len as usize)) } else { Err(StoreError::ReadBack) }
    }

    /// Saves `content` beside the newest content, reads it back, and only then makes it the newest. After an error
    /// or a power cut, [`Store::load`] finds the old content or the new, whole.
    ///
    /// # Errors
    /// [`StoreError`] names what failed; the old content is still the newest, unless the failure is in reading the
    /// new header back.
    pub fn save(&mut self, content: &[u8]) -> Result<(), StoreError<F::Error>> {
        let got = u32::try_from(content.len()).unwrap_or(u32::MAX);
        if got > self.room() {
            return Err(StoreError::TooLong { expected: self.room(), got });
        }
        let (slot, sequence) = match self.newest()? {
            Some((newest, header)) => (1 - newest, header.sequence.wrapping_add(1)),
            None => (0, 1),
        };
        let header = Header { sequence, len: got, crc: CRC.checksum(content) };
        self.erase(slot, got)?;
        self.write_content(slot, content)?;
        if self.content_crc(slot, got)? != header.crc {
            return Err(StoreError::ReadBack);
        }
        let bytes = header.to_bytes();
        self.flash.write(self.slot_at(slot), &bytes).map_err(StoreError::Flash)?;
        if self.header(slot)? == Some(header) { Ok(()) } else { Err(StoreError::ReadBack) }
    }

    fn slot_at(&self, slot: u32) -> u32 {
        slot * self.slot_bytes
    }

    fn content_at(&self, slot: u32) -> u32 {
        self.slot_at(slot) + HEADER_BYTES as u32
    }

    fn erase(&mut self, slot: u32, len: u32) -> Result<(), StoreError<F::Error>> {
        let erase = self.flash.geometry().erase;
        let span = (len + HEADER_BYTES as u32).div_ceil(erase) * erase;
        let from = self.slot_at(slot);
        self.flash.erase(from, from + span).map_err(StoreError::Flash)
    }

    fn write_content(&mut self, slot: u32, content: &[u8]) -> Result<(), StoreError<F::Error>> {
        let mut at = self.content_at(slot);
        let write = self.flash.geometry().write as usize;
        for step in content.chunks(STEP_BYTES) {
            let mut padded = [0xFF; STEP_BYTES];
            for (to, from) in padded.iter_mut().zip(step) {
                *to = *from;
            }
            let len = step.len().next_multiple_of(write).min(STEP_BYTES);
            self.flash.write(at, padded.get(..len).unwrap_or(&padded)).map_err(StoreError::Flash)?;
            at += len as u32;
        }
        Ok(())
    }

    fn content_crc(&mut self, slot: u32, len: u32) -> Result<u32, StoreError<F::Error>> {
        let mut digest = CRC.digest();
        let mut bytes = [0; STEP_BYTES];
        let (mut at, end) = (self.content_at(slot), self.content_at(slot) + len);
        while at < end {
            let step = STEP_BYTES.min((end - at) as usize);
            let part = bytes.get_mut(..step).unwrap_or(&mut []);
            self.flash.read(at, part).map_err(StoreError::Flash)?;
            digest.update(part);
            at += step as u32;
        }
        Ok(digest.finalize())
    }

    fn header(&mut self, slot: u32) -> Result<Option<Header>, StoreError<F::Error>> {
        let mut bytes = [0; HEADER_BYTES];
        self.flash.read(self.slot_at(slot), &mut bytes).map_err(StoreError::Flash)?;
        Ok(Header::from_bytes(&bytes).filter(|h| h.len <= self.room()))
    }

    /// The slot with the newest whole content.
    fn newest(&mut self) -> Result<Option<(u32, Header)>, StoreError<F::Error>> {
        let mut best: Option<(u32, Header)> = None;
        for slot in 0..2 {
            let Some(header) = self.header(slot)? else { continue };
            // Wrapping order: the counter may have gone round.
            let newer = best.is_none_or(|(_, b)| (header.sequence.wrapping_sub(b.sequence) as i32) > 0);
            if newer && self.content_crc(slot, header.len)? == header.crc {
                best = Some((slot, header));
            }
        }
        Ok(best)
    }
}
