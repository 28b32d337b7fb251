//! The show in memory and in flash.

use super::hardware::Hardware;
use super::upload;
use super::works::{Works, refusal};
use crate::engine::Input;
use crate::link::Refusal;
use crate::pack;
use crate::ports::Event;
use crate::units::Instant;

impl<H: Hardware> Works<'_, H> {
    /// Takes the pack in the staging buffer: checked, stored, read back, used; or the old show as before.
    pub(super) fn commit(&mut self, now: Instant) -> Result<(), Refusal> {
        let len = self.upload.finish()?;
        let taken = self.take_pack(len);
        if taken.is_err() {
            self.note(Event::PackRefused);
            self.restore();
        }
        // A show that stays is still held where power left it; another one never is.
        let held = self.held();
        self.enter(now, Input::Loaded { held }).map_err(refusal).and(taken)
    }

    fn take_pack(&mut self, len: usize) -> Result<(), Refusal> {
        let pack = self.memory.staging.get(..len).ok_or(Refusal::NoPack)?;
        pack::decode_into(pack, &mut self.memory.show).map_err(upload::refusal)?;
        self.store.save(pack).map_err(|_| Refusal::Store)?;
        self.ready(len);
        Ok(())
    }

    /// Brings the stored show back, through the staging buffer.
    pub(super) fn restore(&mut self) {
        self.pack_crc = None;
        self.upload.forget();
        let loaded = match self.store.load(&mut self.memory.staging) {
            Ok(loaded) => loaded,
            Err(_) => {
                pack::decode::clear(&mut self.memory.show);
                return self.note(Event::StoreFailed);
            }
        };
        let pack = loaded.and_then(|len| self.memory.staging.get(..len)).unwrap_or(&[]);
        match pack::decode_into(pack, &mut self.memory.show) {
            Ok(()) => self.ready(pack.len()),
            Err(_) if loaded.is_none() => self.note(Event::NoShow),
            Err(_) => self.note(Event::StoreFailed),
        }
    }

    /// Notes that the show in memory is the pack in the staging buffer.
    fn ready(&mut self, len: usize) {
        let stored = self.memory.staging.get(..len).and_then(<[u8]>::last_chunk::<4>);
        let pack_crc = stored.map_or(0, |crc| u32::from_le_bytes(*crc));
        self.pack_crc = Some(pack_crc);
        self.floor_changed();
        self.memory.handwork.forget();
        self.crew.forget_changes();
        self.note(Event::ShowReady { pack_crc });
    }
}
