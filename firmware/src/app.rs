//! The box: board up, static memory, poll for ever.

use core::mem::MaybeUninit;
use core::ptr::addr_of_mut;

use cortex_m_rt::exception;
use underfoot_core::device::{Device, Hardware, Memory, Ports, Post, Setup};
use underfoot_core::ports::{Levels, Look};
use underfoot_core::units::{Duration, Instant};

use crate::adapters::net::{Letters, Room};
use crate::adapters::panel::Inputs;
use crate::adapters::{ColorDisplay, KeyPins, Net, NorPort, PinPanel, SerialPort, SignalPins};
use crate::boards::Board;
use crate::drivers::lan9118::{Frames, Lan9118};
use crate::drivers::pins::{self, Input, Output, Record};
use crate::drivers::screen::{self, Screen};
use crate::drivers::{clock::Clock, defmt_serial, psram_flash::PsramFlash, sampler, stack, uart, watchdog::Watchdog};
use crate::light::{LINE, Light};
use crate::log::{LogLines, Logged};
use crate::rows::LineBuffer;

/// All that is large.
pub(crate) static mut MEMORY: Memory = Memory::new();
static mut POST: Post = Post::new();
static mut DEVICE: MaybeUninit<Device<'static, Mps2>> = MaybeUninit::uninit();
static mut ROOM: Room<'static> = Room::new();
static mut LETTERS: Letters = Letters::new();
static mut FRAMES: Frames = Frames::new();

/// The watchdog's patience, milliseconds: many times the longest poll.
const PATIENCE_MS: u32 = 500;
/// How often the stack's depth is looked at.
const STACK_EVERY: Duration = Duration::from_millis(1_000);

type Panel = PinPanel<Sampled, Output, Output, Output, Logged<ColorDisplay<Screen>>, LogLines>;

/// Keys and contacts.
const KEYS: KeyPins<Input, Input, Input> = KeyPins {
    keys: [Input(0), Input(1), Input(2), Input(3), Input(4)],
    stop: Input::STOP,
    on_air: Some(Input::ON_AIR),
};

/// Keys and contacts, looked at between polls too.
struct Sampled;

impl Inputs for Sampled {
    fn levels(&mut self) -> Levels {
        let mut keys = KEYS;
        keys.levels()
    }

    fn earlier(&mut self) -> Option<Look> {
        sampler::earlier()
    }
}

/// The ports of the MPS2 boards.
struct Mps2;

impl Hardware for Mps2 {
    type Link = SerialPort<uart::Serial>;
    type Net = Net<'static, Lan9118>;
    type Flash = NorPort<PsramFlash>;
    type Rows = LineBuffer<'static, Light>;
    type Panel = Panel;
}

fn panel(board: &Board) -> Panel {
    // SAFETY: external RAM of the board behind what stands for flash, which only this display uses.
    let screen = unsafe { Screen::new(board.flash + screen::OFFSET) };
    PinPanel {
        keys: Sampled,
        signals: SignalPins::new(Output::LAMP, Output::HAPTIC, Output::RELAY),
        display: Logged(ColorDisplay(screen)),
        log: LogLines,
    }
}

fn network(board: &Board) -> Net<'static, Lan9118> {
    // SAFETY: `run` is entered once, by the reset handler, so this is the only reference to each static.
    let (frames, room, letters) =
        unsafe { (&mut *addr_of_mut!(FRAMES), &mut *addr_of_mut!(ROOM), &mut *addr_of_mut!(LETTERS)) };
    // An address of the kind that anybody may give (the second bit of the first byte), ending as the box's own.
    let [a, b, c, d] = Setup::FIRST.address.ip;
    let ethernet = Lan9118::start(board.ethernet, frames, [0x02, b'U', a, b, c, d]);
    let hardware = ethernet.address();
    Net::new(ethernet, hardware, room, letters).with_cable(Lan9118::came_back)
}

fn ports(board: &'static Board) -> Ports<Mps2> {
    // SAFETY: `run` is entered once, by the reset handler, so this is the only reference.
    let line = unsafe { &mut *addr_of_mut!(LINE) };
    // SAFETY: external RAM of the board, which only this flash uses.
    let flash = unsafe { PsramFlash::new(board.flash) };
    Ports {
        link: SerialPort(uart::Serial::open(board.link_uart)),
        flash: NorPort(flash),
        net: network(board),
        rows: LineBuffer::new(line, Light),
        panel: panel(board),
    }
}

/// The device in its own place: in a frame of the stack it would be there twice, once as what `new` returns.
#[inline(never)]
fn device(board: &'static Board) -> &'static mut Device<'static, Mps2> {
    // SAFETY: `run` is entered once, by the reset handler, so this is the only reference to each static.
    let (memory, place) =
        unsafe { ((&mut *addr_of_mut!(MEMORY), &mut *addr_of_mut!(POST)), &mut *addr_of_mut!(DEVICE)) };
    let Ok(device) = Device::new(memory, Setup::FIRST, ports(board)) else { panic!("the flash holds no two slots") };
    place.write(device)
}

/// Runs the box.
pub fn run(board: &'static Board) -> ! {
    stack::paint();
    defmt_serial::open();
    defmt::info!("underfoot box on {=str}, link {=u16}", board.name, underfoot_core::link::version::CURRENT);
    let mut clock = Clock::start(board.timer);
    let mut watchdog = Watchdog::start(board.watchdog, PATIENCE_MS);
    pins::open(board.pins_uart, board.timer);
    if let Some(core) = cortex_m::Peripherals::take() {
        sampler::start(core.SYST, board.core_hz);
    }
    let device = device(board);
    let why = crate::restart::take_cause();
    defmt::info!("started by {}", why);
    device.started(why);
    pins::tell(Record::Ready, 0, pins::ticks());
    let (mut depth, mut longest) = (Depth::default(), Longest { looked: clock.raw(), ticks: 0 });
    loop {
        let now = clock.now();
        longest.look(clock.raw());
        device.poll(now);
        if device.wants_restart(now) {
            // All of memory starts over with the program: zeros, or paint on the stack.
            cortex_m::peripheral::SCB::sys_reset();
        }
        device.panel_mut().animate(now);
        if device.is_going(now) {
            watchdog.feed();
        }
        depth.look(now);
    }
}

/// The longest time between two polls, told when it grows: what was seen of the keys waits for the next one.
struct Longest {
    looked: u32,
    ticks: u32,
}

impl Longest {
    fn look(&mut self, now: u32) {
        let passed = self.looked.wrapping_sub(now);
        self.looked = now;
        if passed > self.ticks {
            self.ticks = passed;
            pins::tell(Record::Poll, 0, passed);
        }
    }
}

/// The stack's depth, told when it grows.
#[derive(Default)]
struct Depth {
    deepest: u32,
    looked: Instant,
}

impl Depth {
    /// Looks now and then: it means to search all that was never used.
    fn look(&mut self, now: Instant) {
        if now.since(self.looked) < STACK_EVERY {
            return;
        }
        self.looked = now;
        let deepest = stack::deepest();
        if deepest > self.deepest {
            self.deepest = deepest;
            defmt::debug!("stack {=u32}", deepest);
        }
    }
}

#[exception]
fn SysTick() {
    sampler::on_tick(Sampled.levels());
}

#[exception]
unsafe fn DefaultHandler(irq: i16) {
    match irq {
        0 => uart::on_receive(crate::boards::mps2_an386::BOARD.link_uart),
        4 => pins::on_receive(),
        _ => {}
    }
}
