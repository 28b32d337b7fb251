//! A network between simulated boxes: it loses, delays, repeats and reorders, and its cables can be pulled.

use std::cell::RefCell;
use std::convert::Infallible;
use std::rc::Rc;

use underfoot_core::ports::{Address, Datagram, Door, NetPort, Station};
use underfoot_core::units::{Duration, Instant};

use super::chance::Chance;

/// What a network does to what it carries.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Weather {
    /// Datagrams lost, in a thousand.
    pub lost: u32,
    /// Datagrams that arrive twice, in a thousand.
    pub doubled: u32,
    /// Shortest and longest time on the way; each datagram has its own, so that later ones overtake.
    pub delay: (Duration, Duration),
}

impl Weather {
    /// A good switch: everything arrives, within half a millisecond.
    pub const FINE: Self = Self { lost: 0, doubled: 0, delay: (Duration::from_micros(50), Duration::from_micros(500)) };
    /// One in a hundred is lost, one in fifty comes twice, and nothing keeps its order.
    pub const ROUGH: Self =
        Self { lost: 10, doubled: 20, delay: (Duration::from_micros(100), Duration::from_millis(15)) };
}

/// The network, shared by all that is plugged into it. Its time is the simulation's, which no box knows.
#[derive(Clone, Debug)]
pub struct Network(Rc<RefCell<Hub>>);

#[derive(Debug)]
struct Hub {
    now: Instant,
    chance: Chance,
    weather: Weather,
    sockets: Vec<Socket>,
}

/// Where a box is plugged in.
#[derive(Debug)]
struct Socket {
    plugged: bool,
    address: [u8; 4],
    /// On their way here, in no order.
    coming: Vec<(Instant, Door, Station, Vec<u8>)>,
}

/// The end of a cable in a box.
#[derive(Debug)]
pub struct Cable {
    hub: Rc<RefCell<Hub>>,
    socket: usize,
}

impl Network {
    /// A network without boxes; the same seed gives the same losses and delays.
    pub fn new(seed: u64, weather: Weather) -> Self {
        let hub = Hub { now: Instant::ZERO, chance: Chance::new(seed), weather, sockets: Vec::new() };
        Self(Rc::new(RefCell::new(hub)))
    }

    /// Plugs one more box in.
    pub fn plug(&self) -> Cable {
        let mut hub = self.0.borrow_mut();
        hub.sockets.push(Socket { plugged: true, address: [0; 4], coming: Vec::new() });
        Cable { hub: Rc::clone(&self.0), socket: hub.sockets.len() - 1 }
    }

    /// Lets it be `now`.
    pub fn set_time(&self, now: Instant) {
        self.0.borrow_mut().now = now;
    }

    /// Pulls the cable of a box, or plugs it in again. What is on its way to a pulled cable is lost.
    pub fn set_plugged(&self, socket: usize, plugged: bool) {
        let mut hub = self.0.borrow_mut();
        if let Some(socket) = hub.sockets.get_mut(socket) {
            socket.plugged = plugged;
            socket.coming.clear();
        }
    }

    /// What the network does from now on.
    pub fn set_weather(&self, weather: Weather) {
        self.0.borrow_mut().weather = weather;
    }
}

impl Hub {
    fn carry(&mut self, from: usize, door: Door, to: Station, bytes: &[u8]) {
        let Some(sender) = self.sockets.get(from).filter(|socket| socket.plugged) else { return };
        let station = Station { address: sender.address, port: door.port() };
        let all = to == Station::everybody(to.port);
        for i in (0..self.sockets.len()).filter(|i| *i != from) {
            let is_for_it = self.sockets[i].plugged && (all || self.sockets[i].address == to.address);
            let copies = if !is_for_it || self.chance.in_thousand(self.weather.lost) {
                0
            } else {
                1 + usize::from(self.chance.in_thousand(self.weather.doubled))
            };
            for _ in 0..copies {
                let (least, most) = self.weather.delay;
                let arrives = self.now.after(self.chance.span(least, most));
                self.sockets[i].coming.push((arrives, door, station, bytes.to_vec()));
            }
        }
    }

    fn deliver(&mut self, to: usize) -> Option<(Door, Station, Vec<u8>)> {
        let now = self.now;
        let coming = &mut self.sockets.get_mut(to)?.coming;
        let first = coming.iter().enumerate().filter(|(_, (at, ..))| *at <= now).min_by_key(|(_, (at, ..))| *at)?.0;
        let (_, door, from, bytes) = coming.swap_remove(first);
        Some((door, from, bytes))
    }
}

impl NetPort for Cable {
    type Error = Infallible;

    fn settle(&mut self, address: Address) -> Result<(), Infallible> {
        self.hub.borrow_mut().sockets[self.socket].address = address.ip;
        Ok(())
    }

    fn receive(&mut self, _now: Instant, bytes: &mut [u8]) -> Result<Option<Datagram>, Infallible> {
        while let Some((door, from, sent)) = self.hub.borrow_mut().deliver(self.socket) {
            if let Some(front) = bytes.get_mut(..sent.len()) {
                front.copy_from_slice(&sent);
                return Ok(Some(Datagram { door, from, len: sent.len() }));
            }
        }
        Ok(None)
    }

    fn send(&mut self, door: Door, to: Station, bytes: &[u8]) -> Result<bool, Infallible> {
        self.hub.borrow_mut().carry(self.socket, door, to, bytes);
        Ok(true)
    }

    fn listen(&mut self, _universe: u16) -> Result<(), Infallible> {
        Ok(())
    }
}
