//! What must outlive a power cut beside the show: a list of small records over two erase pages.
//!
//! Records are only ever added. A full page is left for the other one, which starts with what counts now; a page counts
//! once its first record is there, and that is written last. So a cut after any byte leaves what was before or what is
//! new, and both pages wear alike.

use super::StoreError;
use super::record::{Floor, Identity, RECORD_BYTES, Record};
use crate::ports::{FlashPort, Geometry};

/// Erase pages of a journal.
pub const PAGES: u32 = 2;

/// Where the journal is, and what it says.
#[derive(Debug)]
pub struct Journal {
    /// Where the first page begins.
    start: u32,
    page_bytes: u32,
    /// Bytes from one record to the next.
    stride: u32,
    /// The page that counts, 0 or 1.
    page: u32,
    /// Its number: they count up, page after page.
    number: u32,
    /// Where in the page the next record goes.
    next: u32,
    /// The other page is known to be erased.
    is_spare_ready: bool,
    told: Told,
}

/// What the records say, the later before the earlier.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Told {
    pub(super) floor: Floor,
    pub(super) identity: Option<Identity>,
    /// A wipe was begun and has not ended.
    pub(super) is_wiping: bool,
}

impl Told {
    const fn hear(&mut self, record: Record) {
        match record {
            Record::Floor(floor) => self.floor = floor,
            Record::Box(identity) => self.identity = Some(identity),
            Record::Wipe => self.is_wiping = true,
            Record::Page(_) => {}
        }
    }
}

type Outcome<T, F> = Result<T, StoreError<<F as FlashPort>::Error>>;

impl Journal {
    /// Reads the journal in the [`PAGES`] erase pages from `start`.
    ///
    /// # Errors
    /// The flash port's own.
    pub(super) fn open<F: FlashPort>(flash: &mut F, start: u32) -> Outcome<Self, F> {
        let Geometry { erase, write, .. } = flash.geometry();
        let stride = (RECORD_BYTES as u32).max(write);
        // Without a whole page the last one counts as full, so that the first record starts a page.
        let mut journal = Self {
            start,
            page_bytes: erase,
            stride,
            page: PAGES - 1,
            number: 0,
            next: erase,
            is_spare_ready: false,
            told: Told::default(),
        };
        let mut newest = None;
        for page in 0..PAGES {
            let Some(Record::Page(number)) = journal.read(flash, page, 0)?.1 else { continue };
            // Wrapping order: the counter may have gone round.
            if newest.is_none_or(|(_, best)| (number.wrapping_sub(best) as i32) > 0) {
                newest = Some((page, number));
            }
        }
        if let Some((page, number)) = newest {
            (journal.page, journal.number) = (page, number);
            journal.replay(flash)?;
        }
        Ok(journal)
    }

    pub(super) const fn told(&self) -> Told {
        self.told
    }

    /// Adds a record.
    ///
    /// # Errors
    /// [`StoreError::ReadBack`] or the flash port's own; what was told before still counts.
    pub(super) fn add<F: FlashPort>(&mut self, flash: &mut F, record: Record) -> Outcome<(), F> {
        if self.next + self.stride > self.page_bytes {
            self.turn(flash, self.told)?;
        }
        let at = self.next;
        // Whatever comes of it, these bytes are not written again.
        self.next += self.stride;
        self.write(flash, self.page, at, record)?;
        self.told.hear(record);
        Ok(())
    }

    /// Goes on in the other page with nothing but `told`, and erases the page that was.
    ///
    /// # Errors
    /// As [`Journal::add`].
    pub(super) fn start_over<F: FlashPort>(&mut self, flash: &mut F, told: Told) -> Outcome<(), F> {
        self.turn(flash, told)?;
        self.told = told;
        self.tidy(flash)
    }

    /// True when [`Journal::tidy`] has nothing to do.
    pub(super) const fn is_tidy(&self) -> bool {
        self.is_spare_ready
    }

    /// Erases the page that no longer counts, so that no later record has to wait for it. At most one page.
    ///
    /// # Errors
    /// The flash port's own.
    pub(super) fn tidy<F: FlashPort>(&mut self, flash: &mut F) -> Outcome<(), F> {
        let (from, to) = self.stretch(1 - self.page);
        if !self.is_spare_ready && !is_erased(flash, from, to)? {
            flash.erase(from, to).map_err(StoreError::Flash)?;
        }
        self.is_spare_ready = true;
        Ok(())
    }

    /// The bytes of a page.
    const fn stretch(&self, page: u32) -> (u32, u32) {
        let from = self.start + page * self.page_bytes;
        (from, from + self.page_bytes)
    }

    fn turn<F: FlashPort>(&mut self, flash: &mut F, told: Told) -> Outcome<(), F> {
        self.tidy(flash)?;
        self.is_spare_ready = false;
        let (spare, mut next) = (1 - self.page, self.stride);
        let floor = told.floor.lit.map(|_| Record::Floor(told.floor));
        let wipe = told.is_wiping.then_some(Record::Wipe);
        for record in [told.identity.map(Record::Box), floor, wipe].into_iter().flatten() {
            self.write(flash, spare, next, record)?;
            next += self.stride;
        }
        let number = self.number.wrapping_add(1);
        self.write(flash, spare, 0, Record::Page(number))?;
        (self.page, self.number, self.next) = (spare, number, next);
        Ok(())
    }

    fn replay<F: FlashPort>(&mut self, flash: &mut F) -> Outcome<(), F> {
        let mut at = self.stride;
        self.next = at;
        while at + self.stride <= self.page_bytes {
            let (is_blank, record) = self.read(flash, self.page, at)?;
            at += self.stride;
            if !is_blank {
                self.next = at;
            }
            if let Some(record) = record {
                self.told.hear(record);
            }
        }
        Ok(())
    }

    /// Whether the bytes there are erased, and the record in them.
    fn read<F: FlashPort>(&self, flash: &mut F, page: u32, at: u32) -> Outcome<(bool, Option<Record>), F> {
        let mut bytes = [0; RECORD_BYTES];
        flash.read(self.stretch(page).0 + at, &mut bytes).map_err(StoreError::Flash)?;
        Ok((bytes == [0xFF; RECORD_BYTES], Record::from_bytes(&bytes)))
    }

    fn write<F: FlashPort>(&self, flash: &mut F, page: u32, at: u32, record: Record) -> Outcome<(), F> {
        // The longest write size that the store takes.
        let mut bytes = [0xFF; super::HEADER_BYTES];
        if let Some(front) = bytes.first_chunk_mut::<RECORD_BYTES>() {
            *front = record.to_bytes();
        }
        let bytes = bytes.get(..self.stride as usize).unwrap_or(&bytes);
        flash.write(self.stretch(page).0 + at, bytes).map_err(StoreError::Flash)?;
        if self.read(flash, page, at)?.1 == Some(record) { Ok(()) } else { Err(StoreError::ReadBack) }
    }
}

/// True when all bytes of `from..to` are erased.
pub(super) fn is_erased<F: FlashPort>(flash: &mut F, from: u32, to: u32) -> Outcome<bool, F> {
    let mut bytes = [0; 64];
    let mut at = from;
    while at < to {
        let step = (to - at).min(bytes.len() as u32);
        let part = bytes.get_mut(..step as usize).unwrap_or(&mut []);
        flash.read(at, part).map_err(StoreError::Flash)?;
        if part.iter().any(|&byte| byte != 0xFF) {
            return Ok(false);
        }
        at += step;
    }
    Ok(true)
}
