//! Who talks to the box all the time: cameras that pan, graphics, people sensing, a lighting desk.

use std::f64::consts::TAU;

use underfoot_core::link::{Request, Versions, frame};
use underfoot_core::ports::{Door, Station};
use underfoot_core::sacn::{Cid, Data, Header, write};
use underfoot_core::show::{CameraId, CameraKind, Show};
use underfoot_core::units::Instant;

use super::ports::Packet;

/// Time between two poses of a camera: 50 a second.
pub const POSE_US: u64 = 20_000;
/// Time between two packets of the lighting desk: 44 a second, the refresh rate of a full DMX line.
pub const LEVELS_US: u64 = 1_000_000 / 44;

/// The desk in the network.
pub const DESK: Station = station(100);
/// Graphics.
pub const GRAPHICS: Station = station(102);
/// Whoever senses people.
pub const SENSING: Station = station(103);
/// Who sends the poses of all cameras.
pub const TRACKING: Station = station(101);

const fn station(host: u8) -> Station {
    Station { address: [10, 62, 0, host], port: 40_000 + host as u16 }
}

/// Somebody who sends requests by datagrams, each with the next number, and waits for nothing.
#[derive(Clone, Debug)]
pub struct Client {
    from: Station,
    sequence: u8,
}

impl Client {
    /// One at a place in the network.
    pub const fn new(from: Station) -> Self {
        Self { from, sequence: 0 }
    }

    /// What starts the conversation.
    pub fn hello(&mut self) -> Packet {
        self.packet(&Request::Hello(Versions::OURS))
    }

    /// The next request.
    ///
    /// # Panics
    /// For one that does not fit a frame.
    pub fn packet(&mut self, request: &Request<'_>) -> Packet {
        self.sequence = self.sequence.wrapping_add(1);
        let mut bytes = [0; frame::MAX_WIRE_BYTES];
        let len = frame::write(self.sequence, request, &mut bytes).expect("a frame");
        Packet::new(Door::Link, self.from, &bytes[..len])
    }
}

/// A tracked camera: it looks past the stage on one side, pans over it, and rests on the other side.
#[derive(Clone, Copy, Debug)]
pub struct Pan {
    id: CameraId,
    from_mm: [i32; 3],
    focal_um: u32,
    /// Where it is in its way at the start, of 1.
    phase: f64,
}

/// There and back again.
const ROUND_S: f64 = 44.0;
/// How far it pans to each side, radians: 100 degrees.
const SIDE: f64 = 100.0 / 360.0 * TAU;

impl Pan {
    /// All tracked cameras of a show, each where its first shot has it.
    pub fn all(show: &Show) -> Vec<Self> {
        let ids = (0..).map(CameraId).zip(&show.cameras).filter(|(_, camera)| camera.kind != CameraKind::Untracked);
        let pan = |(i, id): (usize, CameraId)| {
            let shot = show.shots.iter().find(|shot| shot.camera == id)?;
            let key = show.shot_keys[usize::from(shot.keys.first)];
            let mm = |m: f32| (f64::from(m) * 1_000.0) as i32;
            let from_mm = [mm(key.from.x), mm(key.from.y), mm(key.from.z)];
            Some(Self { id, from_mm, focal_um: mm(key.focal_mm) as u32, phase: 0.02 * i as f64 })
        };
        ids.map(|(id, _)| id).enumerate().filter_map(pan).collect()
    }

    /// Its pose at a time.
    pub fn pose(&self, now: Instant) -> Request<'static> {
        let [x, y, z] = self.from_mm.map(f64::from);
        let way = (now.as_micros() as f64 * 1e-6 / ROUND_S + self.phase) * TAU;
        // From where it stands to the stage's middle, and a good half of the time as far to the side as it goes.
        let turn = (-y).atan2(-x) + SIDE * (2.0 * way.sin()).clamp(-1.0, 1.0);
        let look_mm = [x + 8_000.0 * turn.cos(), y + 8_000.0 * turn.sin(), z - 1_500.0].map(|mm| mm.round() as i32);
        let (from_mm, focal_um) = (self.from_mm, self.focal_um);
        Request::Pose { camera: self.id, from_mm, look_mm, roll_centideg: 0, focal_um }
    }
}

/// The lighting desk.
#[derive(Clone, Debug)]
pub struct Lighting {
    universe: u16,
    sequence: u8,
}

impl Lighting {
    /// A desk that sends `universe`.
    pub const fn new(universe: u16) -> Self {
        Self { universe, sequence: 0 }
    }

    /// Its next packet: a full universe with `levels` at the front.
    ///
    /// # Panics
    /// Never: a full universe fits.
    pub fn packet(&mut self, levels: [u8; 10]) -> Packet {
        self.sequence = self.sequence.wrapping_add(1);
        let header = Header {
            cid: Cid([7; 16]),
            name: b"Desk",
            priority: 100,
            sync_address: 0,
            sequence: self.sequence,
            preview: false,
            terminated: false,
            force_sync: false,
            universe: self.universe,
        };
        let mut slots = [0; 512];
        slots[..10].copy_from_slice(&levels);
        let mut bytes = [0; 638];
        let len = write(&Data { header, start_code: 0, slots: &slots }, &mut bytes).expect("a packet");
        Packet::new(Door::Sacn, station(200), &bytes[..len])
    }
}
