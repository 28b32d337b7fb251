//! A show on its way into the box by the box's own link, as `send` brings it, but without waiting.

use underfoot_core::device::Device;
use underfoot_core::link::message::CHUNK_BYTES;
use underfoot_core::link::{Answer, Decoder, Desk, DeskStep, Request, Versions};
use underfoot_core::units::{Duration, Instant};

use super::life::AtDesk;
use crate::cli::Refusal;
use crate::sim::Wire;

/// A desk at the other end of a wire.
pub(super) struct Loader<'w> {
    wire: &'w Wire,
    desk: Desk,
    decoder: Decoder,
}

impl<'w> Loader<'w> {
    pub(super) fn new(wire: &'w Wire) -> Self {
        Self { wire, desk: Desk::new(1), decoder: Decoder::new() }
    }

    /// Brings `pack` into the box, unless it has it already. `now` moves on while that goes on.
    pub(super) fn load(
        &mut self,
        device: &mut Device<'_, AtDesk>,
        now: &mut Instant,
        pack: &[u8],
    ) -> Result<(), Refusal> {
        self.ask(device, now, &Request::Hello(Versions::OURS))?;
        let crc = pack.last_chunk().map(|crc| u32::from_le_bytes(*crc));
        if let Answer::Report(report) = self.ask(device, now, &Request::Report)?
            && report.pack_crc == crc
        {
            return Ok(());
        }
        let len = u32::try_from(pack.len()).unwrap_or(u32::MAX);
        self.ask(device, now, &Request::PackBegin { len })?;
        for (offset, bytes) in (0..).step_by(CHUNK_BYTES).zip(pack.chunks(CHUNK_BYTES)) {
            self.ask(device, now, &Request::PackChunk { offset, bytes })?;
        }
        self.ask(device, now, &Request::PackCommit)?;
        Ok(())
    }

    fn ask(
        &mut self,
        device: &mut Device<'_, AtDesk>,
        now: &mut Instant,
        request: &Request<'_>,
    ) -> Result<Answer, Refusal> {
        self.desk.ask(request);
        loop {
            match self.desk.poll(*now) {
                DeskStep::Send(bytes) => self.wire.send(bytes),
                DeskStep::Wait => {}
                DeskStep::GiveUp => return Err(Refusal("the box does not answer".into())),
            }
            *now = now.after(Duration::from_millis(1));
            device.poll(*now);
            for byte in self.wire.take() {
                let Some(Ok(frame)) = self.decoder.push(byte) else { continue };
                match self.desk.hear(frame) {
                    Some(Answer::Refused(why)) => return Err(Refusal(format!("the box refuses the show: {why:?}"))),
                    Some(answer) => return Ok(answer),
                    None => {}
                }
            }
        }
    }
}
