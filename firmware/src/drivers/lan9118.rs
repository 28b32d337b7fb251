//! The LAN9118 Ethernet controller, polled: its FIFOs are the queue, nothing waits, no interrupt. Tried on the emulator's
//! model only. Register names are those of the data sheet (Microchip DS00002266, from memory).

use smoltcp::phy::{self, Device, DeviceCapabilities, Medium};
use smoltcp::time::Instant;

use crate::adapters::net::FRAME_BYTES;

const RX_DATA: usize = 0x00;
const TX_DATA: usize = 0x20;
const RX_STATUS: usize = 0x40;
const TX_STATUS: usize = 0x48;
const BYTE_TEST: usize = 0x64;
const TX_CFG: usize = 0x70;
const HW_CFG: usize = 0x74;
const RX_FIFO_INF: usize = 0x7C;
const TX_FIFO_INF: usize = 0x80;
const MAC_CSR_CMD: usize = 0xA4;
const MAC_CSR_DATA: usize = 0xA8;

const BYTE_TEST_VALUE: u32 = 0x8765_4321;
const HW_CFG_RESET: u32 = 1;
/// Whole frames are stored before they are sent; 5 KB of the memory are for sending.
const HW_CFG_START: u32 = 0x0015_0000;
const TX_CFG_ON: u32 = 2;
const MAC_BUSY: u32 = 1 << 31;
const MAC_READ: u32 = 1 << 30;
const MAC_CR: u32 = 1;
const MAC_HIGH: u32 = 2;
const MAC_LOW: u32 = 3;
/// Receive, send, and take every group: which of them are ours is decided above.
const MAC_CR_START: u32 = 1 << 2 | 1 << 3 | 1 << 19;
const MAC_PHY: u32 = 6;
const MAC_PHY_DATA: u32 = 7;
/// Read register 1, the status, of the controller's own PHY, which is number 1.
const PHY_STATUS: u32 = 1 << 11 | 1 << 6 | PHY_BUSY;
const PHY_BUSY: u32 = 1;
/// The link is up, and was since this was read last (IEEE 802.3, 22.2.4.2.13).
const PHY_LINK: u32 = 1 << 2;
const RX_ERROR: u32 = 1 << 15;
/// First and last part of a frame in one.
const TX_WHOLE: u32 = 0x3000;
/// Bytes of the checksum at the end of a received frame.
const CHECK_BYTES: usize = 4;
/// Looks at a register before it is taken as dead.
const LOOKS: u32 = 100_000;

/// Room for one frame each way, in words as the FIFOs have them.
#[derive(Debug)]
pub struct Frames {
    inbox: [u8; FRAME_BYTES],
    outbox: [u8; FRAME_BYTES],
}

impl Frames {
    /// Nothing but zeros.
    pub const fn new() -> Self {
        Self { inbox: [0; FRAME_BYTES], outbox: [0; FRAME_BYTES] }
    }
}

impl Default for Frames {
    fn default() -> Self {
        Self::new()
    }
}

/// The registers at their base address.
#[derive(Clone, Copy, Debug)]
struct Registers(usize);

/// A controller. One that does not answer is a network without a cable.
#[derive(Debug)]
pub struct Lan9118 {
    registers: Registers,
    frames: &'static mut Frames,
    is_there: bool,
    /// There was no link when it was looked for last.
    is_unplugged: bool,
}

impl Registers {
    fn read(self, register: usize) -> u32 {
        // SAFETY: boards pass the base address of a LAN9118 only; its registers lie at these offsets, are words, and
        // touch no memory. Reading the FIFO's ports takes from them, which only this driver does.
        unsafe { core::ptr::read_volatile((self.0 + register) as *const u32) }
    }

    fn write(self, register: usize, value: u32) {
        // SAFETY: as in `read`.
        unsafe { core::ptr::write_volatile((self.0 + register) as *mut u32, value) }
    }

    /// Waits, but not for ever.
    fn wait(self, register: usize, is_so: impl Fn(u32) -> bool) -> bool {
        (0..LOOKS).any(|_| is_so(self.read(register)))
    }

    fn mac_read(self, index: u32) -> u32 {
        self.write(MAC_CSR_CMD, MAC_BUSY | MAC_READ | index);
        self.wait(MAC_CSR_CMD, |command| command & MAC_BUSY == 0);
        self.read(MAC_CSR_DATA)
    }

    fn mac_write(self, index: u32, value: u32) {
        self.write(MAC_CSR_DATA, value);
        self.write(MAC_CSR_CMD, MAC_BUSY | index);
        self.wait(MAC_CSR_CMD, |command| command & MAC_BUSY == 0);
    }
}

impl Lan9118 {
    /// Switches the controller at `base` on. One without an address of its own takes `spare`, which must be a
    /// locally administered one.
    pub fn start(base: usize, frames: &'static mut Frames, spare: [u8; 6]) -> Self {
        let registers = Registers(base);
        let is_there = registers.wait(BYTE_TEST, |value| value == BYTE_TEST_VALUE);
        let this = Self { registers, frames, is_there, is_unplugged: true };
        if is_there {
            registers.write(HW_CFG, HW_CFG_RESET);
            registers.wait(HW_CFG, |value| value & HW_CFG_RESET == 0);
            registers.write(HW_CFG, HW_CFG_START);
            registers.write(TX_CFG, TX_CFG_ON);
            if this.address_is_missing() {
                let [a, b, c, d, e, f] = spare;
                registers.mac_write(MAC_LOW, u32::from_le_bytes([a, b, c, d]));
                registers.mac_write(MAC_HIGH, u32::from_le_bytes([e, f, 0, 0]));
            }
            registers.mac_write(MAC_CR, MAC_CR_START);
        }
        this
    }

    /// Its Ethernet address.
    pub fn address(&self) -> [u8; 6] {
        if !self.is_there {
            // Never on a wire.
            return [2, 0, 0, 0, 0, 1];
        }
        let [a, b, c, d] = self.registers.mac_read(MAC_LOW).to_le_bytes();
        let [e, f, ..] = self.registers.mac_read(MAC_HIGH).to_le_bytes();
        [a, b, c, d, e, f]
    }

    /// True when there is a link that was not there, or was interrupted, when this was asked last.
    pub fn came_back(&mut self) -> bool {
        let is_plugged = self.is_there && self.phy_status() & PHY_LINK != 0;
        core::mem::replace(&mut self.is_unplugged, !is_plugged) && is_plugged
    }

    fn phy_status(&self) -> u32 {
        self.registers.mac_write(MAC_PHY, PHY_STATUS);
        // Until then it says nothing; the next time is soon enough.
        if self.registers.mac_read(MAC_PHY) & PHY_BUSY != 0 { 0 } else { self.registers.mac_read(MAC_PHY_DATA) }
    }

    /// The address memory is empty or holds a group.
    fn address_is_missing(&self) -> bool {
        let address = self.address();
        address == [0; 6] || address[0] & 1 != 0
    }

    /// Takes the next frame into the inbox; its length, 0 for one that is damaged or too long for us.
    fn fetch(&mut self) -> usize {
        let status = self.registers.read(RX_STATUS);
        let whole = (status >> 16 & 0x3FFF) as usize;
        let len = whole.saturating_sub(CHECK_BYTES);
        let mut words = self.frames.inbox.chunks_exact_mut(4);
        for _ in 0..whole.div_ceil(4) {
            let word = self.registers.read(RX_DATA);
            // What is too long still has to be taken out.
            if let Some(place) = words.next() {
                place.copy_from_slice(&word.to_le_bytes());
            }
        }
        if status & RX_ERROR != 0 || len > FRAME_BYTES { 0 } else { len }
    }
}

impl Device for Lan9118 {
    type RxToken<'a> = Received<'a>;
    type TxToken<'a> = Sending<'a>;

    fn receive(&mut self, _now: Instant) -> Option<(Received<'_>, Sending<'_>)> {
        if !self.is_there || self.registers.read(RX_FIFO_INF) >> 16 & 0xFF == 0 {
            return None;
        }
        let len = self.fetch();
        let Frames { inbox, outbox } = &mut *self.frames;
        Some((Received(inbox.get(..len).unwrap_or(&[])), Sending { registers: self.registers, outbox }))
    }

    fn transmit(&mut self, _now: Instant) -> Option<Sending<'_>> {
        // Room for any frame, its two commands included.
        let has_room = || (self.registers.read(TX_FIFO_INF) & 0xFFFF) as usize >= FRAME_BYTES + 8;
        if !self.is_there || !has_room() {
            return None;
        }
        Some(Sending { registers: self.registers, outbox: &mut self.frames.outbox })
    }

    fn capabilities(&self) -> DeviceCapabilities {
        let mut can = DeviceCapabilities::default();
        can.medium = Medium::Ethernet;
        can.max_transmission_unit = FRAME_BYTES;
        can.max_burst_size = Some(1);
        can
    }
}

/// A frame that has come.
#[derive(Debug)]
pub struct Received<'a>(&'a [u8]);

impl phy::RxToken for Received<'_> {
    fn consume<R, F: FnOnce(&[u8]) -> R>(self, read: F) -> R {
        read(self.0)
    }
}

/// Room for a frame to send.
#[derive(Debug)]
pub struct Sending<'a> {
    registers: Registers,
    outbox: &'a mut [u8; FRAME_BYTES],
}

impl phy::TxToken for Sending<'_> {
    fn consume<R, F: FnOnce(&mut [u8]) -> R>(self, len: usize, write: F) -> R {
        let len = len.min(FRAME_BYTES);
        let result = write(&mut self.outbox[..len]);
        let registers = self.registers;
        registers.write(TX_DATA, TX_WHOLE | len as u32);
        registers.write(TX_DATA, len as u32 | (len as u32) << 16);
        for word in self.outbox[..len.next_multiple_of(4)].chunks_exact(4) {
            registers.write(TX_DATA, u32::from_le_bytes([word[0], word[1], word[2], word[3]]));
        }
        // Nobody reads how sending went, but the list of it must not fill.
        for _ in 0..registers.read(TX_FIFO_INF) >> 16 & 0xFF {
            registers.read(TX_STATUS);
        }
        result
    }
}
