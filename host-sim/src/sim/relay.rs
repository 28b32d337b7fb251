//! A harmful stretch of line between a desk and a box, in real time: TCP in, TCP out.

use std::io::{self, ErrorKind, Read, Write};
use std::net::{Ipv4Addr, SocketAddr, TcpListener, TcpStream};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread::{self, JoinHandle};
use std::time::{Duration, Instant};

use super::faults::{Harm, Mood, Rates};

/// How long a look waits that found nothing.
const NAP: Duration = Duration::from_micros(200);

/// A relay in a thread; dropping it closes the line.
#[derive(Debug)]
pub struct Relay {
    address: SocketAddr,
    stop: Arc<AtomicBool>,
    seen: Arc<Mutex<Seen>>,
    thread: Option<JoinHandle<()>>,
}

/// What a relay did.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Seen {
    /// Lines that desks opened.
    pub lines: u32,
    /// Lines that the relay broke.
    pub cuts: u32,
    /// Harm to bytes from desks.
    pub up: Harm,
    /// Harm to bytes from the box.
    pub down: Harm,
}

impl Relay {
    /// Listens on a free loopback port, and passes what desks and the box at `target` say to each other.
    ///
    /// # Errors
    /// When there is no port to be had.
    pub fn start(target: SocketAddr, rates: Rates, seed: u64) -> io::Result<Self> {
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, 0))?;
        listener.set_nonblocking(true)?;
        let (address, stop, seen) =
            (listener.local_addr()?, Arc::<AtomicBool>::default(), Arc::<Mutex<Seen>>::default());
        let (off, told) = (Arc::clone(&stop), Arc::clone(&seen));
        let body = move || serve(&listener, target, &rates, seed, (&off, &told));
        Ok(Self { address, stop, seen, thread: Some(thread::spawn(body)) })
    }

    /// The target to send to.
    pub fn target(&self) -> String {
        format!("tcp:{}", self.address)
    }

    /// What it did so far.
    pub fn seen(&self) -> Seen {
        *self.seen.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Drop for Relay {
    fn drop(&mut self) {
        self.stop.store(true, Ordering::Relaxed);
        if let Some(thread) = self.thread.take() {
            let _ = thread.join();
        }
    }
}

fn serve(
    listener: &TcpListener,
    target: SocketAddr,
    rates: &Rates,
    mut seed: u64,
    (stop, seen): (&AtomicBool, &Mutex<Seen>),
) {
    let seen = || seen.lock().unwrap_or_else(PoisonError::into_inner);
    while !stop.load(Ordering::Relaxed) {
        let Ok((desk, _)) = listener.accept() else {
            thread::sleep(NAP);
            continue;
        };
        seed = seed.wrapping_add(2);
        seen().lines += 1;
        let before = *seen();
        let mut moods = [Mood::new(rates.clone(), seed), Mood::new(rates.clone(), seed.wrapping_add(1))];
        let tell = |moods: &[Mood; 2]| {
            let mut seen = seen();
            (seen.up, seen.down) = (sum(before.up, moods[0].harm()), sum(before.down, moods[1].harm()));
        };
        let ended = TcpStream::connect(target).and_then(|device| pass([&desk, &device], &mut moods, stop, tell));
        let was_cut = ended.is_ok() && moods.iter().any(Mood::is_broken);
        seen().cuts += u32::from(was_cut);
    }
}

/// Passes bytes until an end closes its line or it breaks.
fn pass(ends: [&TcpStream; 2], moods: &mut [Mood; 2], stop: &AtomicBool, tell: impl Fn(&[Mood; 2])) -> io::Result<()> {
    for end in ends {
        end.set_nonblocking(true)?;
        end.set_nodelay(true)?;
    }
    let started = Instant::now();
    let mut bytes = [0; 256];
    while !stop.load(Ordering::Relaxed) {
        let now = underfoot_core::units::Instant::from_micros(started.elapsed().as_micros() as u64);
        let mut moved = false;
        for (from, to, mood) in [(0, 1, 0), (1, 0, 1)] {
            let got = look(ends[from], &mut bytes)?;
            moods[mood].put(now, &bytes[..got]);
            let due: Vec<u8> = std::iter::from_fn(|| moods[mood].take(now)).collect();
            write_all(ends[to], &due)?;
            moved |= got > 0 || !due.is_empty();
        }
        tell(moods);
        if moods.iter().any(Mood::is_broken) {
            return Ok(());
        }
        if !moved {
            thread::sleep(NAP);
        }
    }
    Ok(())
}

/// Bytes that have come; an end that closed is an error.
fn look(mut end: &TcpStream, bytes: &mut [u8]) -> io::Result<usize> {
    match end.read(bytes) {
        Ok(0) => Err(ErrorKind::UnexpectedEof.into()),
        Ok(got) => Ok(got),
        Err(e) if matches!(e.kind(), ErrorKind::WouldBlock | ErrorKind::Interrupted) => Ok(0),
        Err(e) => Err(e),
    }
}

fn write_all(mut end: &TcpStream, mut bytes: &[u8]) -> io::Result<()> {
    while !bytes.is_empty() {
        match end.write(bytes) {
            Ok(0) => return Err(ErrorKind::WriteZero.into()),
            Ok(sent) => bytes = &bytes[sent..],
            Err(e) if matches!(e.kind(), ErrorKind::WouldBlock | ErrorKind::Interrupted) => thread::sleep(NAP),
            Err(e) => return Err(e),
        }
    }
    Ok(())
}

const fn sum(a: Harm, b: Harm) -> Harm {
    Harm {
        taken: a.taken + b.taken,
        dropped: a.dropped + b.dropped,
        flipped: a.flipped + b.flipped,
        repeated: a.repeated + b.repeated,
        reordered: a.reordered + b.reordered,
    }
}
