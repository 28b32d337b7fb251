//! A simulated box behind a loopback TCP port, one desk at a time.

use std::convert::Infallible;
use std::io::{self, ErrorKind, Read, Write};
use std::net::{Ipv4Addr, SocketAddr, TcpListener, TcpStream};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread::{self, JoinHandle};
use std::time::{Duration, Instant};

use underfoot_core::device::{Device, Hardware, Memory, Ports, Post, Setup};
use underfoot_core::ports::{Door, Geometry, LinkPort, Nowhere};

use super::{MemoryFlash, SocketNet, Watched};

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
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, 0))?;
        listener.set_nonblocking(true)?;
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
    type Link = TcpLink;
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
    let link = TcpLink { listener, desk: None };
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

/// The newest desk that called.
struct TcpLink {
    listener: TcpListener,
    desk: Option<TcpStream>,
}

impl TcpLink {
    /// A line that would wait, or has gone, moves no bytes.
    fn moved(&mut self, result: io::Result<usize>) -> usize {
        match result {
            Ok(len) => len,
            Err(e) if matches!(e.kind(), ErrorKind::WouldBlock | ErrorKind::Interrupted) => 0,
            Err(_) => {
                self.desk = None;
                0
            }
        }
    }
}

impl LinkPort for TcpLink {
    type Error = Infallible;

    fn read(&mut self, bytes: &mut [u8]) -> Result<usize, Infallible> {
        if let Ok((stream, _)) = self.listener.accept() {
            let ready = stream.set_nonblocking(true).and_then(|()| stream.set_nodelay(true));
            self.desk = ready.is_ok().then_some(stream);
        }
        let Some(desk) = &mut self.desk else { return Ok(0) };
        let result = desk.read(bytes);
        Ok(self.moved(result))
    }

    fn write(&mut self, bytes: &[u8]) -> Result<usize, Infallible> {
        // Without a desk the answer goes nowhere, as on a serial line.
        let Some(desk) = &mut self.desk else { return Ok(bytes.len()) };
        let result = desk.write(bytes);
        Ok(self.moved(result))
    }
}
