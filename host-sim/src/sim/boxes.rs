//! Several whole boxes of a show on one simulated network, in simulated time.
//!
//! Each box has a clock of its own that starts when it gets power and runs a little fast or slow. The same seed gives
//! the same course of events to the microsecond.

use std::convert::Infallible;
use std::mem;

use underfoot_core::device::{Device, Hardware, Memory, Ports, Post, Setup};
use underfoot_core::ports::{Key, LinkPort};
use underfoot_core::store::Store;
use underfoot_core::units::{Duration, Instant};

use super::chance::Chance;
use super::front::Front;
use super::network::{Cable, Network, Weather};
use super::output::Output;
use super::{MemoryFlash, PACK_FLASH};

/// Time between two polls of a box.
pub const POLL: Duration = Duration::from_millis(1);

/// Memory of several boxes, to be lent to [`Boxes`].
#[derive(Debug)]
pub struct Rooms(Vec<(Box<Memory>, Box<Post>)>);

impl Rooms {
    /// Memory of `count` boxes.
    pub fn new(count: usize) -> Self {
        Self((0..count).map(|_| (Box::new(Memory::new()), Box::new(Post::new()))).collect())
    }
}

/// A box on the simulated network.
struct Wired;

impl Hardware for Wired {
    type Link = NoLink;
    type Net = Cable;
    type Flash = MemoryFlash;
    type Rows = Output;
    type Panel = Front;
}

/// A serial line that nobody is at.
#[derive(Clone, Copy, Debug)]
pub struct NoLink;

impl LinkPort for NoLink {
    type Error = Infallible;

    fn read(&mut self, _bytes: &mut [u8]) -> Result<usize, Infallible> {
        Ok(0)
    }

    fn write(&mut self, bytes: &[u8]) -> Result<usize, Infallible> {
        Ok(bytes.len())
    }
}

/// Several boxes.
pub struct Boxes<'m> {
    network: Network,
    stations: Vec<Station<'m>>,
    now: Instant,
}

struct Station<'m> {
    setup: Setup,
    power: Power<'m>,
    output: Output,
    front: Front,
    /// When it got power.
    since: Instant,
    /// How fast its clock runs, in parts per million more than true time.
    drift_ppm: i64,
    /// Its polls come this long after the simulation's.
    phase: Duration,
}

enum Power<'m> {
    On(Box<Device<'m, Wired>>),
    Off(Ports<Wired>, (&'m mut Memory, &'m mut Post)),
    /// While it changes hands.
    Switching,
}

impl<'m> Boxes<'m> {
    /// Boxes with `pack` in their flash and without power.
    ///
    /// # Panics
    /// When the pack does not fit into flash.
    pub fn new(rooms: &'m mut Rooms, setups: &[Setup], pack: &[u8], seed: u64, weather: Weather) -> Self {
        let network = Network::new(seed, weather);
        let mut chance = Chance::new(seed ^ 0x5EED);
        let stations = rooms.0.iter_mut().zip(setups).map(|((memory, post), setup)| {
            let mut store = Store::open(MemoryFlash::new(PACK_FLASH)).expect("flash with two slots");
            store.save(pack).expect("a pack that fits");
            let (output, front) = (Output::default(), Front::default());
            let (link, net, flash) = (NoLink, network.plug(), store.into_flash());
            let ports = Ports { link, net, flash, rows: output.clone(), panel: front.clone() };
            Station {
                setup: *setup,
                power: Power::Off(ports, (&mut **memory, &mut **post)),
                output,
                front,
                since: Instant::ZERO,
                drift_ppm: chance.below(101) as i64 - 50,
                phase: chance.span(Duration::ZERO, Duration::from_micros(999)),
            }
        });
        let stations = stations.collect();
        Self { network, stations, now: Instant::ZERO }
    }

    /// The simulation's time.
    pub const fn now(&self) -> Instant {
        self.now
    }

    /// The network between the boxes; box i is plugged into socket i.
    pub const fn network(&self) -> &Network {
        &self.network
    }

    /// The number of boxes.
    pub fn len(&self) -> usize {
        self.stations.len()
    }

    /// True for no boxes.
    pub fn is_empty(&self) -> bool {
        self.stations.is_empty()
    }

    /// The LEDs of a box.
    pub fn output(&self, i: usize) -> &Output {
        &self.stations[i].output
    }

    /// The panel of a box.
    pub fn front(&self, i: usize) -> &Front {
        &self.stations[i].front
    }

    /// A box that has power.
    pub fn with<T>(&self, i: usize, look: impl FnOnce(&dyn Look) -> T) -> Option<T> {
        match &self.stations[i].power {
            Power::On(device) => Some(look(&**device)),
            _ => None,
        }
    }

    /// A box's own time, as its state has it.
    pub fn time_of(&self, i: usize) -> Instant {
        Device::<Wired>::time(self.stations[i].time(self.now))
    }

    /// Gives a box power.
    ///
    /// # Panics
    /// When its flash is too small.
    pub fn power_on(&mut self, i: usize) {
        let (now, station) = (self.now, &mut self.stations[i]);
        station.since = now;
        station.power = match mem::replace(&mut station.power, Power::Switching) {
            Power::Off(ports, (memory, post)) => {
                let device = Device::new((memory, post), station.setup, ports);
                Power::On(Box::new(device.expect("flash with two slots")))
            }
            other => other,
        };
    }

    /// Cuts a box's power: what it had in memory is gone, what was in flash stays, its LEDs are dark.
    pub fn power_off(&mut self, i: usize) {
        let (now, station) = (self.now, &mut self.stations[i]);
        station.power = match mem::replace(&mut station.power, Power::Switching) {
            Power::On(device) => {
                let (ports, (memory, post)) = device.take_apart();
                (*memory, *post) = (Memory::new(), Post::new());
                station.output.set_time(now);
                station.output.cut();
                Power::Off(ports, (memory, post))
            }
            other => other,
        };
    }

    /// Keeps a key down for `span`.
    pub fn press(&self, i: usize, key: Key, span: Duration) {
        self.stations[i].front.press(key, self.now.after(span));
    }

    /// Lets `span` pass, and calls `look` after every poll of all boxes.
    pub fn run(&mut self, span: Duration, mut look: impl FnMut(&Self)) {
        let end = self.now.after(span);
        while self.now < end {
            for i in 0..self.stations.len() {
                self.poll(i);
            }
            self.now = self.now.after(POLL);
            look(self);
        }
    }

    fn poll(&mut self, i: usize) {
        let station = &mut self.stations[i];
        let now = self.now.after(station.phase);
        let own = station.time(now);
        let Power::On(device) = &mut station.power else { return };
        self.network.set_time(now);
        station.output.set_time(now);
        station.front.set_time(now);
        device.poll(own);
    }
}

impl Station<'_> {
    /// What its clock says at the simulation's `now`.
    fn time(&self, now: Instant) -> Instant {
        let passed = now.since(self.since).as_micros() as i64;
        Instant::from_micros((passed + passed / 1_000_000 * self.drift_ppm) as u64)
    }
}

/// What can be seen of a box that has power.
pub trait Look {
    /// The engine's state.
    fn state(&self) -> &underfoot_core::engine::State;
    /// Its part in the crew.
    fn crew(&self) -> &underfoot_core::crew::Crew;
}

impl<H: Hardware> Look for Device<'_, H> {
    fn state(&self) -> &underfoot_core::engine::State {
        Device::state(self)
    }

    fn crew(&self) -> &underfoot_core::crew::Crew {
        Device::crew(self)
    }
}
