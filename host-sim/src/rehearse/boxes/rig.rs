//! The boxes of a show, each with its power and its cable.

use std::mem;

use underfoot_core::device::{Device, Memory, Ports, Post, Setup};
use underfoot_core::engine::State;
use underfoot_core::ports::{Address, Levels, RowPort};
use underfoot_core::show::{CueId, Show};
use underfoot_core::store::{Floor, Store};
use underfoot_core::units::Instant;

use super::hardware::{Both, Rehearsed};
use crate::sim::{DeskLink, Leds, MemoryFlash, Network, PACK_FLASH, TapeNet, Watched, Weather, Wire};

/// Memory of the boxes of one show.
pub(super) struct Rooms(Vec<(Box<Memory>, Box<Post>)>);

impl Rooms {
    /// Memory of `count` boxes.
    pub(super) fn new(count: usize) -> Self {
        Self((0..count).map(|_| (Box::default(), Box::default())).collect())
    }
}

/// All boxes of a show.
pub(super) struct Rig<'m> {
    network: Network,
    boxes: Vec<Seat<'m>>,
}

/// One box.
pub(super) struct Seat<'m> {
    /// Which it is.
    pub(super) setup: Setup,
    /// Keys, display, lamp, relay.
    pub(super) panel: Watched,
    /// What it lights.
    pub(super) leds: Leds,
    /// Its serial link.
    pub(super) wire: Wire,
    /// True while its network cable is in.
    pub(super) plugged: bool,
    power: Power<'m>,
    /// When it got power, in the rig's time.
    since: Instant,
}

enum Power<'m> {
    On(Box<Device<'m, Rehearsed>>),
    Off(Ports<Rehearsed>, (&'m mut Memory, &'m mut Post)),
    /// While it changes hands.
    Switching,
}

/// Which boxes a show has: a main box for every controller that its canvases name, or one that paints everything, and
/// their backups.
pub(super) fn setups(show: &Show) -> Vec<Setup> {
    let mut numbers: Vec<u8> = show.canvases.iter().map(|canvas| canvas.controller).filter(|n| *n != 0).collect();
    numbers.sort_unstable();
    numbers.dedup();
    if numbers.is_empty() {
        return vec![Setup { controller: 0, ..Setup::FIRST }];
    }
    let backups: &[bool] = if show.control.backup { &[false, true] } else { &[false] };
    let of = |controller: u8| {
        backups.iter().map(move |&backup| Setup { controller, backup, address: Address::of_box(controller, backup) })
    };
    numbers.into_iter().flat_map(of).collect()
}

impl<'m> Rig<'m> {
    /// Boxes with `pack` in their flash and without power; `lit` is the cue that was on their floor when power went.
    ///
    /// # Errors
    /// When the pack does not fit.
    pub(super) fn new(
        rooms: &'m mut Rooms,
        setups: &[Setup],
        (pack, lit): (&[u8], Option<CueId>),
    ) -> Result<Self, String> {
        let network = Network::new(1, Weather::FINE);
        let mut boxes = Vec::new();
        for ((memory, post), setup) in rooms.0.iter_mut().zip(setups) {
            let flash = flash_with(pack, lit).ok_or("the show does not fit into a box")?;
            let (panel, leds, wire) = (Watched::default(), Leds::default(), Wire::default());
            let net = Both { crew: network.plug(), tapes: TapeNet::new(leds.clone()) };
            let link = DeskLink::wired(wire.clone());
            let ports = Ports { link, net, flash, rows: leds.clone(), panel: panel.clone() };
            let power = Power::Off(ports, (&mut **memory, &mut **post));
            let since = Instant::ZERO;
            boxes.push(Seat { setup: *setup, panel, leds, wire, plugged: true, power, since });
        }
        Ok(Self { network, boxes })
    }

    /// The boxes, in the order that the page is told of them.
    pub(super) fn seats(&self) -> &[Seat<'m>] {
        &self.boxes
    }

    /// Gives a box power, or cuts it.
    pub(super) fn power(&mut self, i: usize, on: bool, now: Instant) {
        if let Some(seat) = self.boxes.get_mut(i) {
            seat.switch(on, now);
        }
    }

    /// Puts the cable of a box in, or pulls it.
    pub(super) fn plug(&mut self, i: usize, plugged: bool) {
        if let Some(seat) = self.boxes.get_mut(i) {
            seat.plugged = plugged;
            self.network.set_plugged(i, plugged);
        }
    }

    /// The box whose keys are pressed and whose display is read: the first that has power.
    pub(super) fn front(&self) -> usize {
        self.boxes.iter().position(Seat::has_power).unwrap_or(0)
    }

    /// One poll of every box.
    pub(super) fn poll(&mut self, now: Instant) {
        self.network.set_time(now);
        for seat in &mut self.boxes {
            let own = seat.time(now);
            if let Power::On(device) = &mut seat.power {
                device.poll(own);
            }
        }
    }

    /// True while a box has a picture in work.
    pub(super) fn is_painting(&self) -> bool {
        self.boxes.iter().any(|seat| matches!(&seat.power, Power::On(device) if device.is_painting()))
    }

    /// Keys and contacts: keys and the stop contact of the front box, the on-air light of every box.
    pub(super) fn set(&self, levels: Levels) {
        let front = self.front();
        for (i, seat) in self.boxes.iter().enumerate() {
            let own = if i == front { levels } else { Levels { on_air: levels.on_air, ..Levels::default() } };
            seat.panel.set(own);
        }
    }
}

fn flash_with(pack: &[u8], lit: Option<CueId>) -> Option<MemoryFlash> {
    let mut store = Store::open(MemoryFlash::new(PACK_FLASH)).ok()?;
    store.save(pack).ok()?;
    let pack_crc = u32::from_le_bytes(*pack.last_chunk()?);
    store.keep(Floor { lit: lit.map(|cue| cue.0), pack_crc }).ok()?;
    Some(store.into_flash())
}

impl Seat<'_> {
    /// True while it has power.
    pub(super) const fn has_power(&self) -> bool {
        matches!(self.power, Power::On(_))
    }

    /// Its engine's state; `None` without power.
    pub(super) const fn state(&self) -> Option<&State> {
        match &self.power {
            Power::On(device) => Some(device.state()),
            Power::Off(..) | Power::Switching => None,
        }
    }

    /// True while its rows go out.
    pub(super) fn drives(&self) -> bool {
        matches!(&self.power, Power::On(device) if device.crew().drives())
    }

    /// Its own time, as its state has it.
    pub(super) const fn state_time(&self, now: Instant) -> Instant {
        Device::<Rehearsed>::time(self.time(now))
    }

    const fn time(&self, now: Instant) -> Instant {
        Instant::from_micros(now.since(self.since).as_micros())
    }

    fn switch(&mut self, on: bool, now: Instant) {
        self.power = match (mem::replace(&mut self.power, Power::Switching), on) {
            (Power::Off(ports, lent), true) => {
                self.since = now;
                match Device::new(lent, self.setup, ports) {
                    Ok(device) => Power::On(Box::new(device)),
                    Err(_) => Power::Switching,
                }
            }
            (Power::On(device), false) => {
                let (mut ports, (memory, post)) = device.take_apart();
                (*memory, *post) = (Memory::new(), Post::new());
                // Without power the LEDs are dark; on real hardware that is the LED chain's business.
                let Ok(()) = ports.rows.blank();
                self.leds.cut_tapes();
                self.panel.darken();
                Power::Off(ports, (memory, post))
            }
            (power, _) => power,
        };
    }
}
