//! The CMSDK UART: receive by interrupt into a ring, send polled.

use core::cell::RefCell;
use core::convert::Infallible;

use cortex_m::interrupt::InterruptNumber;
use cortex_m::peripheral::NVIC;
use critical_section::Mutex;
use embedded_io::{ErrorType, Read, ReadReady, Write, WriteReady};
use heapless::Deque;

const DATA: usize = 0x0;
const STATE: usize = 0x4;
const CTRL: usize = 0x8;
const INT_CLEAR: usize = 0xC;
const BAUD: usize = 0x10;

const STATE_TX_FULL: u32 = 1;
const STATE_RX_FULL: u32 = 2;
const CTRL_TX: u32 = 1;
const CTRL_RX: u32 = 2;
const CTRL_RX_INTERRUPT: u32 = 8;

/// Bytes that wait for the main loop: more than one full frame, so that painting a picture loses nothing.
const RING_BYTES: usize = 1024;

static RING: Mutex<RefCell<Deque<u8, RING_BYTES>>> = Mutex::new(RefCell::new(Deque::new()));

/// Receive interrupts of the MPS2 boards' UARTs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(u8)]
pub enum Receive {
    /// UART 0: the link.
    Link = 0,
    /// UART 2: the pins.
    Pins = 4,
}

// SAFETY: interrupts 0 and 4 exist on the MPS2 boards and are UART 0 and UART 2 receive; the numbers never change.
unsafe impl InterruptNumber for Receive {
    fn number(self) -> u16 {
        self as u16
    }
}

/// Switches the UART at `base` on, both ways, with its receive interrupt.
pub fn listen(base: usize, interrupt: Receive) {
    let uart = Uart::sender(base);
    uart.write(CTRL, CTRL_TX | CTRL_RX | CTRL_RX_INTERRUPT);
    // SAFETY: the handlers of both only touch what critical sections and atomics guard.
    unsafe { NVIC::unmask(interrupt) };
}

/// Gives all that the UART at `base` has received to `take`, and clears its interrupt.
pub fn take_bytes(base: usize, mut take: impl FnMut(u8)) {
    let uart = Uart { base };
    uart.write(INT_CLEAR, 2);
    while uart.read(STATE) & STATE_RX_FULL != 0 {
        take(uart.read(DATA) as u8);
    }
}

/// A CMSDK UART at its base address.
#[derive(Clone, Copy, Debug)]
pub struct Uart {
    base: usize,
}

impl Uart {
    /// The UART at `base`, switched on for sending at the fastest rate.
    pub fn sender(base: usize) -> Self {
        let uart = Self { base };
        // The divider must be 16 or more, or the UART stays off.
        uart.write(BAUD, 16);
        uart.write(CTRL, CTRL_TX);
        uart
    }

    /// The UART at `base` as somebody else has set it up.
    pub const fn at(base: usize) -> Self {
        Self { base }
    }

    fn read(self, register: usize) -> u32 {
        // SAFETY: boards pass the base address of a CMSDK UART only, whose registers lie at these offsets and may be
        // read at any time.
        unsafe { core::ptr::read_volatile((self.base + register) as *const u32) }
    }

    fn write(self, register: usize, value: u32) {
        // SAFETY: as in `read`; no register of this UART touches memory.
        unsafe { core::ptr::write_volatile((self.base + register) as *mut u32, value) }
    }

    /// Sends one byte, waiting while the UART is full.
    pub fn send_byte(self, byte: u8) {
        while self.read(STATE) & STATE_TX_FULL != 0 {}
        self.write(DATA, byte.into());
    }
}

/// UART 0 as a serial line. There is one; its receive ring is shared with the interrupt.
#[derive(Debug)]
pub struct Serial {
    uart: Uart,
}

impl Serial {
    /// Switches UART 0 on, both ways, with the receive interrupt.
    pub fn open(base: usize) -> Self {
        listen(base, Receive::Link);
        Self { uart: Uart { base } }
    }
}

/// To be called by the interrupt of UART 0 at `base`: moves what has come into the ring. Bytes that find it full are
/// lost; the frame's checksum notices.
pub fn on_receive(base: usize) {
    take_bytes(base, |byte| {
        critical_section::with(|cs| {
            let _ = RING.borrow_ref_mut(cs).push_back(byte);
        });
    });
}

impl ErrorType for Serial {
    type Error = Infallible;
}

impl ReadReady for Serial {
    fn read_ready(&mut self) -> Result<bool, Infallible> {
        Ok(critical_section::with(|cs| !RING.borrow_ref(cs).is_empty()))
    }
}

impl Read for Serial {
    fn read(&mut self, bytes: &mut [u8]) -> Result<usize, Infallible> {
        critical_section::with(|cs| {
            let mut ring = RING.borrow_ref_mut(cs);
            let mut len = 0;
            for slot in bytes {
                let Some(byte) = ring.pop_front() else { break };
                *slot = byte;
                len += 1;
            }
            Ok(len)
        })
    }
}

impl WriteReady for Serial {
    fn write_ready(&mut self) -> Result<bool, Infallible> {
        Ok(self.uart.read(STATE) & STATE_TX_FULL == 0)
    }
}

impl Write for Serial {
    fn write(&mut self, bytes: &[u8]) -> Result<usize, Infallible> {
        let Some(&byte) = bytes.first() else { return Ok(0) };
        self.uart.send_byte(byte);
        Ok(1)
    }

    fn flush(&mut self) -> Result<(), Infallible> {
        Ok(())
    }
}
