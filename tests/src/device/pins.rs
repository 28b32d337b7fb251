//! The host's end of the box's pins; see `firmware/src/drivers/pins.rs`.

use std::io::{self, Read, Write};
use std::net::{Ipv4Addr, TcpStream};
use std::time::{Duration, Instant};

use underfoot_core::panel::Key;

use super::powered::PATIENCE;

/// A contact that came to rest counts after 30 ms; the box looks a few times meanwhile.
const SETTLED_MS: u64 = 60;

/// Virtual nanoseconds of one instruction: as a part does that carries out 125 million a second.
pub const NANOS: u64 = 8;
/// Nanoseconds of one tick of the boards' clock.
const TICK_NANOS: u64 = 40;
/// Bytes of a record.
const RECORD_BYTES: usize = 6;

/// What a record tells.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum What {
    /// An output changed: lamp (1), haptic motor (2), relay (4).
    Levels(u8),
    /// The floor has light, or is dark.
    Light(bool),
    /// The main loop begins.
    Ready,
    /// The longest time between two looks at the keys so far.
    Longest,
    /// Levels of the keys came in.
    Heard,
    /// The display shows another face.
    Shown,
    /// A canvas got the first row with light of a picture.
    Row,
    /// The longest time between two polls so far.
    Poll,
}

/// A record: what, and the clock's ticks then, counting down (for [`What::Longest`] and [`What::Poll`] the ticks that it took).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Record {
    /// What it tells.
    pub what: What,
    /// Ticks.
    pub ticks: u32,
}

impl Record {
    fn of(bytes: [u8; RECORD_BYTES]) -> Option<Self> {
        let bits = bytes[0] & 0x0F;
        let what = match bytes[0] >> 4 & 0x07 {
            0 => What::Levels(bits),
            1 => What::Light(bits == 1),
            2 => What::Ready,
            3 => What::Longest,
            4 => What::Heard,
            5 => What::Shown,
            6 => What::Row,
            7 => What::Poll,
            _ => return None,
        };
        let ticks = (1..RECORD_BYTES).map(|i| u64::from(bytes[i]) << (7 * (i - 1))).sum::<u64>() as u32;
        Some(Self { what, ticks })
    }

    /// Instructions that a number of ticks took.
    pub const fn instructions(ticks: u32) -> u64 {
        ticks as u64 * TICK_NANOS / NANOS
    }

    /// Instructions from this record to a later one.
    pub const fn until(&self, later: &Self) -> u64 {
        Self::instructions(self.ticks.wrapping_sub(later.ticks))
    }
}

/// Output bits of [`What::Levels`].
pub const LAMP: u8 = 1;
/// The haptic motor's.
pub const HAPTIC: u8 = 2;
/// The reveal relay's.
pub const RELAY: u8 = 4;
/// Input bits beside those of the keys: the house's stop contact.
pub const STOP: u8 = 1 << 5;

/// The pins of a box.
#[derive(Debug)]
pub struct Pins {
    line: TcpStream,
    levels: u8,
    bytes: Vec<u8>,
    /// All records so far.
    pub records: Vec<Record>,
}

impl Pins {
    /// Takes hold of the pins at a port.
    ///
    /// # Errors
    /// When nobody is there.
    pub fn open(port: u16) -> io::Result<Self> {
        let line = TcpStream::connect((Ipv4Addr::LOCALHOST, port))?;
        line.set_nodelay(true)?;
        line.set_read_timeout(Some(Duration::from_millis(50)))?;
        Ok(Self { line, levels: 0, bytes: Vec::new(), records: Vec::new() })
    }

    /// Sets the levels of all inputs: keys, stop contact, on-air light.
    ///
    /// # Panics
    /// When the box has gone.
    pub fn set(&mut self, levels: u8) {
        self.line.write_all(&[levels]).expect("the pins");
        self.levels = levels;
    }

    /// Sets the levels, and returns when the box has them.
    ///
    /// # Panics
    /// When the box has gone.
    pub fn touch(&mut self, levels: u8) -> Record {
        let from = self.records.len();
        self.set(levels);
        self.wait(from, |what| what == What::Heard)
    }

    /// Lets `milliseconds` of the box's time pass; its levels stay.
    ///
    /// # Panics
    /// When the box has gone.
    pub fn pass(&mut self, milliseconds: u64) {
        let start = self.touch(self.levels);
        while start.until(&self.touch(self.levels)) * NANOS < milliseconds * 1_000_000 {}
    }

    /// Holds a key down for so long, and lets it come to rest again. Returns when the box felt it go down.
    ///
    /// # Panics
    /// When the box has gone.
    pub fn press(&mut self, key: Key, milliseconds: u64) -> Record {
        let down = self.touch(key.bit());
        self.pass(milliseconds);
        self.touch(0);
        self.pass(SETTLED_MS);
        down
    }

    /// The longest of the times that a kind of record tells, instructions; 0 without one.
    pub fn longest(&self, what: What) -> u64 {
        let times = self.records.iter().filter(|record| record.what == what);
        times.map(|record| Record::instructions(record.ticks)).max().unwrap_or(0)
    }

    /// Takes what has come. A record that was cut short is dropped.
    fn take(&mut self) {
        let mut buffer = [0; 4096];
        if let Ok(len) = self.line.read(&mut buffer) {
            self.bytes.extend(&buffer[..len]);
        }
        while let Some(start) = self.bytes.iter().position(|byte| byte & 0x80 != 0) {
            let rest = &self.bytes[start + 1..];
            let whole = rest.iter().take(RECORD_BYTES - 1).take_while(|&&byte| byte & 0x80 == 0).count();
            if whole < RECORD_BYTES - 1 && whole == rest.len() {
                return;
            }
            if whole == RECORD_BYTES - 1 {
                let bytes = std::array::from_fn(|i| self.bytes[start + i]);
                self.records.extend(Record::of(bytes));
            }
            self.bytes.drain(..=start + whole);
        }
    }

    /// The first record from number `from` on that is wanted, when it comes.
    ///
    /// # Panics
    /// When it does not come.
    pub fn wait(&mut self, from: usize, wanted: impl Fn(What) -> bool) -> Record {
        let end = Instant::now() + PATIENCE;
        loop {
            if let Some(found) = self.records.iter().skip(from).find(|record| wanted(record.what)) {
                return *found;
            }
            assert!(
                Instant::now() < end,
                "the pins did not tell: {:?}",
                self.records.iter().skip(from).collect::<Vec<_>>()
            );
            self.take();
        }
    }
}
