//! A simulated box behind a loopback TCP port, one desk at a time.

use std::io;
use std::net::{SocketAddr, TcpListener};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread::{self, JoinHandle};
use std::time::{Duration, Instant};

use underfoot_core::device::{Device, Hardware, Memory, Ports, Post, Setup};
use underfoot_core::ports::{Door, Geometry, Nowhere};

use super::{DeskLink, MemoryFlash, SocketNet, Watched};

/// Flash with room for two packs and the journal.
pub const PACK_FLASH: Geometry = Geometry { capacity: 2 * 36 * 1024 + 2 * 4096, erase: 4096, write: 4 };
/// Stack of the box's thread: it starts with its large memory on it.
const STACK_BYTES: usize = 8 * 1024 * 1024;
const NAP: Duration = Duration::from_micros(200);

/// A box in a thread. Dropping it switches it off.
#[derive(Debug)]
pub struct LoopbackBox {
    address: SocketAddr,
    datagrams: SocketAddr,
    watched: Watched,
    stop: Arc<AtomicBool>,
    thread: Option<JoinHandle<MemoryFlash>>,
}

impl LoopbackBox {
    /// Gives a box with this flash power, listening on a free loopback port.
    ///
    /// # Errors
    /// When there is no port or no thread to be had.
    pub fn start(flash: MemoryFlash) -> io::Result<Self> {
        let listener = super::link::listen(0)?;
        let address = listener.local_addr()?;
        let net = SocketNet::loopback()?;
        let datagrams = net.address(Door::Link)?;
        let (watched, stop) = (Watched::default(), Arc::new(AtomicBool::new(false)));
        let (status, off) = (watched.clone(), Arc::clone(&stop));
        let body = move || run((listener, net), flash, status, &off);
        let thread = thread::Builder::new().stack_size(STACK_BYTES).spawn(body)?;
        Ok(Self { address, datagrams, watched, stop, thread: Some(thread) })
    }

    /// The target to send to.
    pub fn target(&self) -> String {
        format!("tcp:{}", self.address)
    }

    /// The target to send to by datagrams.
    pub fn datagram_target(&self) -> String {
        format!("udp:{}", self.datagrams)
    }

    /// What it shows.
    pub fn watched(&self) -> &Watched {
        &self.watched
    }

    /// Cuts its power and gives its flash back.
    pub fn power_off(mut self) -> Option<MemoryFlash> {
        self.stop.store(true, Ordering::Relaxed);
        self.thread.take().and_then(|thread| thread.join().ok())
    }
}

impl Drop for LoopbackBox {
    fn drop(&mut self) {
        self.stop.store(true, Ordering::Relaxed);
    }
}

/// A box without keys and LEDs.
struct Bare;

impl Hardware for Bare {
    type Link = DeskLink;
    type Net = SocketNet;
    type Flash = MemoryFlash;
    type Rows = Nowhere;
    type Panel = Watched;
}

fn run(
    (listener, net): (TcpListener, SocketNet),
    flash: MemoryFlash,
    panel: Watched,
    stop: &AtomicBool,
) -> MemoryFlash {
    let link = DeskLink::listening(listener);
    let mut ports = Ports::<Bare> { link, net, flash, rows: Nowhere, panel };
    while !stop.load(Ordering::Relaxed) {
        match power_up(ports, stop) {
            Ok(left) => ports = left,
            Err(flash) => return flash,
        }
    }
    ports.flash
}

/// Runs a box until it is switched off or has to start over.
fn power_up(ports: Ports<Bare>, stop: &AtomicBool) -> Result<Ports<Bare>, MemoryFlash> {
    let (mut memory, mut post, kept) = (Box::new(Memory::new()), Box::new(Post::new()), ports.flash.clone());
    let Ok(mut device) = Device::new((&mut memory, &mut post), Setup::FIRST, ports) else { return Err(kept) };
    let started = Instant::now();
    let now = || underfoot_core::units::Instant::from_micros(started.elapsed().as_micros() as u64);
    while !stop.load(Ordering::Relaxed) && !device.wants_restart(now()) {
        device.poll(now());
        thread::sleep(NAP);
    }
    Ok(device.into_ports())
}
