//! Writing E1.31 packets.

use super::layout::{
    CID_AT, COUNT_AT, DMP_AT, DMP_FIXED, FLAGS, FORCE_SYNC, FRAMING_AT, FRAMING_DATA, FRAMING_SYNC, NAME_AT,
    OPTIONS_AT, PREFIX, PREVIEW, PRIORITY_AT, ROOT_AT, ROOT_DATA, ROOT_EXTENDED, SEQUENCE_AT, START_CODE_AT,
    SYNC_ADDRESS_AT, SYNC_OF_SYNC_AT, SYNC_SEQUENCE_AT, TERMINATED, UNIVERSE_AT,
};
use super::packet::{Data, HEADER_BYTES, Header, NAME_BYTES, SYNC_BYTES, Sync, UNIVERSE_SLOTS};

/// Writes a data packet to the front of `bytes` and returns its length; `None` when it does not fit, or has more than
/// 512 slots. A name of more than 63 bytes is cut: the last byte of its field has to be zero (6.2.2).
pub fn write(data: &Data<'_>, bytes: &mut [u8]) -> Option<usize> {
    let len = write_header(&data.header, data.slots.len(), bytes)?;
    *bytes.get_mut(START_CODE_AT)? = data.start_code;
    bytes.get_mut(HEADER_BYTES..len)?.copy_from_slice(data.slots);
    Some(len)
}

/// Writes all of a data packet but its slots, with start code 0, and returns the length of the whole packet: the slots
/// may be put in place before or after.
pub fn write_header(header: &Header<'_>, slots: usize, bytes: &mut [u8]) -> Option<usize> {
    let len = HEADER_BYTES + slots;
    if slots > UNIVERSE_SLOTS || bytes.len() < len {
        return None;
    }
    let mut pen = Pen { bytes, len };
    pen.root(ROOT_DATA, &header.cid.0)?;
    pen.framing(FRAMING_DATA)?;
    pen.name(header.name)?;
    pen.put(PRIORITY_AT, &[header.priority])?;
    pen.put(SYNC_ADDRESS_AT, &header.sync_address.to_be_bytes())?;
    pen.put(SEQUENCE_AT, &[header.sequence])?;
    pen.put(OPTIONS_AT, &[options(header)])?;
    pen.put(UNIVERSE_AT, &header.universe.to_be_bytes())?;
    pen.length(DMP_AT)?;
    pen.put(DMP_AT + 2, &DMP_FIXED)?;
    pen.put(COUNT_AT, &(slots as u16 + 1).to_be_bytes())?;
    pen.put(START_CODE_AT, &[0])?;
    Some(len)
}

/// Writes a synchronization packet to the front of `bytes` and returns its length; `None` when it does not fit.
pub fn write_sync(sync: &Sync, bytes: &mut [u8]) -> Option<usize> {
    let mut pen = Pen { bytes, len: SYNC_BYTES };
    pen.root(ROOT_EXTENDED, &sync.cid.0)?;
    pen.framing(FRAMING_SYNC)?;
    pen.put(SYNC_SEQUENCE_AT, &[sync.sequence])?;
    pen.put(SYNC_OF_SYNC_AT, &sync.address.to_be_bytes())?;
    // Reserved (6.3.4).
    pen.put(SYNC_OF_SYNC_AT + 2, &[0, 0])?;
    Some(SYNC_BYTES)
}

fn options(header: &Header<'_>) -> u8 {
    let bit = |is_set, bit| if is_set { bit } else { 0 };
    bit(header.preview, PREVIEW) | bit(header.terminated, TERMINATED) | bit(header.force_sync, FORCE_SYNC)
}

/// Writes fields of a packet of `len` bytes by offset.
struct Pen<'a> {
    bytes: &'a mut [u8],
    len: usize,
}

impl Pen<'_> {
    fn put(&mut self, at: usize, field: &[u8]) -> Option<()> {
        self.bytes.get_mut(at..at + field.len())?.copy_from_slice(field);
        Some(())
    }

    fn length(&mut self, at: usize) -> Option<()> {
        let length = u16::try_from(self.len - at).ok()?;
        self.put(at, &(FLAGS | length).to_be_bytes())
    }

    fn root(&mut self, vector: u32, cid: &[u8]) -> Option<()> {
        self.put(0, &PREFIX)?;
        self.length(ROOT_AT)?;
        self.put(ROOT_AT + 2, &vector.to_be_bytes())?;
        self.put(CID_AT, cid)
    }

    fn framing(&mut self, vector: u32) -> Option<()> {
        self.length(FRAMING_AT)?;
        self.put(FRAMING_AT + 2, &vector.to_be_bytes())
    }

    fn name(&mut self, name: &[u8]) -> Option<()> {
        let field = self.bytes.get_mut(NAME_AT..NAME_AT + NAME_BYTES)?;
        field.fill(0);
        let room = field.iter_mut().take(NAME_BYTES - 1);
        room.zip(name).for_each(|(to, from)| *to = *from);
        Some(())
    }
}
