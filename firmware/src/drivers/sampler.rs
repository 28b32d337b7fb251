//! Looks at keys and contacts by themselves: the core's own timer interrupts whatever the box does, and keeps what it saw.
//! Any Cortex-M has that timer (SysTick).

use core::cell::RefCell;

use cortex_m::peripheral::SYST;
use cortex_m::peripheral::syst::SystClkSource;
use critical_section::Mutex;
use heapless::Deque;
use underfoot_core::ports::{Levels, Look};
use underfoot_core::units::Duration;

use super::clock::TICKS_PER_MICRO;
use super::pins::{self, Record};

/// Time between two looks, milliseconds: the keys' rule of quiet wants 5 at most.
const EVERY_MS: u32 = 2;
/// Looks that are kept: those of 128 ms. Of more the oldest are lost.
const LOOKS: usize = 64;

/// A look by the board's clock.
type Seen = (u32, Levels);

struct Looks {
    seen: Deque<Seen, LOOKS>,
    /// Ticks at the last look, and the most that were between two.
    last: Option<u32>,
    longest: u32,
}

static SEEN: Mutex<RefCell<Looks>> = Mutex::new(RefCell::new(Looks { seen: Deque::new(), last: None, longest: 0 }));

/// Starts to look, with the core's timer at `core_hz`.
pub fn start(mut timer: SYST, core_hz: u32) {
    timer.set_clock_source(SystClkSource::Core);
    timer.set_reload(core_hz / 1_000 * EVERY_MS - 1);
    timer.clear_current();
    timer.enable_counter();
    timer.enable_interrupt();
}

/// To be called by the timer's interrupt, with the levels then.
pub fn on_tick(levels: Levels) {
    let now = pins::ticks();
    let grown = critical_section::with(|cs| SEEN.borrow_ref_mut(cs).take((now, levels)));
    if let Some(ticks) = grown {
        pins::tell(Record::Longest, 0, ticks);
    }
}

/// The oldest look that was not taken yet.
pub fn earlier() -> Option<Look> {
    let (at, levels) = critical_section::with(|cs| SEEN.borrow_ref_mut(cs).seen.pop_front())?;
    // The clock counts down.
    let ticks = at.wrapping_sub(pins::ticks());
    Some(Look { ago: Duration::from_micros(u64::from(ticks) / TICKS_PER_MICRO), levels })
}

impl Looks {
    /// Keeps a look; the time since the one before, when it is the longest.
    fn take(&mut self, look @ (now, _): Seen) -> Option<u32> {
        if self.seen.is_full() {
            self.seen.pop_front();
        }
        let _ = self.seen.push_back(look);
        let passed = self.last.replace(now).map_or(0, |last| last.wrapping_sub(now));
        (passed > self.longest).then(|| {
            self.longest = passed;
            passed
        })
    }
}
