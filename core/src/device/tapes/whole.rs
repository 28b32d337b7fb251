//! Which picture a box without rows has on its tapes, by a checksum as the rows of others have one.

use super::super::hardware::Hardware;
use super::super::picture::Canvases;
use super::super::works::Works;
use super::{Frame, Kind};
use crate::checksum::CRC;
use crate::sacn::Part;
use crate::sacn::packet::HEADER_BYTES;

impl<H: Hardware> Works<'_, H> {
    /// Takes a painted part, which lies in the packet, into the checksum of the frame in work.
    pub(super) fn witness(&mut self, part: Part) {
        let Some(frame) = &mut self.tapes.frame else { return };
        let mut digest = CRC.digest();
        digest.update(&frame.crc.to_le_bytes());
        digest.update(self.memory.tape.get(HEADER_BYTES..HEADER_BYTES + part.slots()).unwrap_or(&[]));
        frame.crc = digest.finalize();
    }

    /// A frame is whole: its checksum is that of the picture, unless there are rows, or somebody advanced meanwhile.
    pub(super) fn whole(&mut self, frame: Frame) {
        let is_current = self.tapes.shown.is_some_and(|(view, _)| self.painting.shows(&view));
        let has_rows = Canvases::RowsOf(self.setup.controller).are_any(&self.memory.show);
        if frame.kind == Kind::Picture && is_current && !has_rows {
            self.counts.picture_crc = frame.crc;
        }
    }
}
