//! The box: board up, static memory, poll for ever.

use core::ptr::addr_of_mut;
use core::sync::atomic::{AtomicU32, Ordering};

use cortex_m_rt::exception;
use underfoot_core::device::{Device, Hardware, Memory, Ports, Post, Setup};
use underfoot_core::paint::Rgba;
use underfoot_core::ports::NoNet;

use crate::adapters::{NorPort, SerialPort};
use crate::boards::Board;
use crate::drivers::{clock::Clock, defmt_serial, psram_flash::PsramFlash, stack, uart};
use crate::rows::{LINE_PX, LineBuffer, Shift};
use crate::status::LogPanel;

/// Rows that were sent since the last blank: this board has no LED connector, so a count stands for the light.
static LIT_ROWS: AtomicU32 = AtomicU32::new(0);

/// Counts what a panel driver would send.
struct Counter;

impl Shift for Counter {
    fn shift(&mut self, _row: u16, _start: u16, pixels: &[Rgba]) {
        // The row must really be in memory, as a transfer would need it.
        core::hint::black_box(pixels);
        LIT_ROWS.fetch_add(1, Ordering::Relaxed);
    }

    fn dark(&mut self) {
        blank_now();
    }
}

/// Makes the floor dark with nothing but a store: callable from the panic handler.
pub(crate) fn blank_now() {
    LIT_ROWS.store(0, Ordering::Relaxed);
}

/// The big statics.
pub(crate) mod cells {
    use super::{LINE_PX, Memory, Post, Rgba};

    pub(crate) static mut MEMORY: Memory = Memory::new();
    pub(crate) static mut POST: Post = Post::new();
    pub(crate) static mut LINE: [Rgba; LINE_PX] = [Rgba::CLEAR; LINE_PX];
}

/// The ports of the MPS2 boards.
struct Mps2;

impl Hardware for Mps2 {
    type Link = SerialPort<uart::Serial>;
    type Net = NoNet;
    type Flash = NorPort<PsramFlash>;
    type Rows = LineBuffer<'static, Counter>;
    type Panel = LogPanel;
}

/// Runs the box.
pub fn run(board: &'static Board) -> ! {
    stack::paint();
    defmt_serial::open();
    defmt::info!("underfoot box on {=str}, link {=u16}", board.name, underfoot_core::link::version::CURRENT);
    if let Some(line) = crate::panic::take_reason() {
        defmt::error!("restarted after a panic in line {=u32}", line);
    }
    let mut clock = Clock::start(board.timer);
    // SAFETY: `run` is entered once, by the reset handler, so this is the only reference to each static.
    let (memory, post, line) = unsafe {
        (&mut *addr_of_mut!(cells::MEMORY), &mut *addr_of_mut!(cells::POST), &mut *addr_of_mut!(cells::LINE))
    };
    // SAFETY: external RAM of the board, which only this flash uses.
    let flash = unsafe { PsramFlash::new(board.flash) };
    let ports = Ports::<Mps2> {
        link: SerialPort(uart::Serial::open(board.link_uart)),
        flash: NorPort(flash),
        net: NoNet,
        rows: LineBuffer::new(line, Counter),
        panel: LogPanel,
    };
    let Ok(mut device) = Device::new((memory, post), Setup::FIRST, ports) else {
        panic!("the flash holds no two slots")
    };
    let mut deepest = 0;
    loop {
        device.poll(clock.now());
        let depth = stack::deepest();
        if depth > deepest {
            deepest = depth;
            defmt::debug!("stack {=u32}", depth);
        }
    }
}

#[exception]
unsafe fn DefaultHandler(irq: i16) {
    if irq == 0 {
        uart::on_receive(crate::boards::mps2_an386::BOARD.link_uart);
    }
}
