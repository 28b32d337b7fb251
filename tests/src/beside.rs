//! Boxes to stand beside the rehearse page: the box's own code over a loopback port, lines that spoil what it answers, and
//! things that are no such box.

use std::collections::BTreeMap;
use std::io::{self, Read, Write};
use std::net::{Ipv4Addr, TcpListener, TcpStream};
use std::ops::RangeInclusive;
use std::path::Path;
use std::sync::{Arc, Mutex};
use std::thread;
use std::time::Duration;

use underfoot_core::link::frame::{self, MAX_WIRE_BYTES};
use underfoot_core::link::message::SPAN_BYTES;
use underfoot_core::link::version::Versions;
use underfoot_core::link::{Answer, Bytes, Decoder};
use underfoot_sim::link::send;
use underfoot_sim::project::{self, Project};
use underfoot_sim::sim::{LoopbackBox, MemoryFlash, PACK_FLASH};

use crate::device::shows::packed;

/// A demo show with what belongs to it.
///
/// # Panics
/// When it does not load.
pub fn project(name: &str) -> Project {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("../host-sim/demos/{name}.toml"));
    project::load(&path).expect("a demo that loads")
}

/// A box without a show.
///
/// # Panics
/// When there is no port to be had.
pub fn empty() -> LoopbackBox {
    LoopbackBox::start(MemoryFlash::new(PACK_FLASH)).expect("a loopback port")
}

/// A box that has a demo.
///
/// # Panics
/// When it does not take it.
pub fn with(name: &str) -> LoopbackBox {
    let device = empty();
    let pack = packed(&project(name).show);
    send(&pack, &device.target(), &mut |_, _| {}).expect("a box that takes it");
    device
}

/// A line that spoils one span of some rows, as if those rows were lit in another colour.
#[derive(Clone, Debug)]
pub struct Spoiled {
    rows: RangeInclusive<u16>,
    /// By row: first column and length of what is spoiled.
    spans: Arc<Mutex<BTreeMap<u16, (u16, u16)>>>,
    /// How long every answer with spans is held up.
    pause: Duration,
}

impl Spoiled {
    /// Spoils the first opaque span that comes of each of these rows.
    pub fn of(rows: RangeInclusive<u16>) -> Self {
        Self { rows, spans: Arc::default(), pause: Duration::ZERO }
    }

    /// The same over a slow line.
    pub fn slowly(self, pause: Duration) -> Self {
        Self { pause, ..self }
    }

    /// A relay to `target` that spoils; where desks call it.
    ///
    /// # Panics
    /// When there is no port to be had.
    pub fn relay(&self, target: &str) -> String {
        let (listener, address) = listen();
        let (spoiled, target) = (self.clone(), target.trim_start_matches("tcp:").to_owned());
        thread::spawn(move || {
            for desk in listener.incoming().flatten() {
                // Without its box the line is closed.
                let Ok(device) = TcpStream::connect(&target) else { continue };
                let (mut from_desk, mut to_device) = (desk.try_clone().unwrap(), device.try_clone().unwrap());
                thread::spawn(move || io::copy(&mut from_desk, &mut to_device));
                let spoiled = spoiled.clone();
                thread::spawn(move || spoiled.pass(device, desk));
            }
        });
        address
    }

    /// Pixels that were spoiled.
    ///
    /// # Panics
    /// When a thread that spoiled died.
    pub fn pixels(&self) -> usize {
        self.spans.lock().unwrap().values().map(|(_, len)| usize::from(*len)).sum()
    }

    fn pass(&self, mut device: TcpStream, mut desk: TcpStream) {
        let (mut decoder, mut bytes) = (Decoder::new(), [0; 256]);
        while let Ok(len @ 1..) = device.read(&mut bytes) {
            for &byte in &bytes[..len] {
                let Some(Ok(frame)) = decoder.push(byte) else { continue };
                let (sequence, mut answer) = (frame.sequence, postcard::from_bytes(frame.message).expect("an answer"));
                self.spoil(&mut answer);
                if desk.write_all(&wire(sequence, &answer)).is_err() {
                    return;
                }
            }
        }
        let _ = desk.shutdown(std::net::Shutdown::Both);
    }

    /// A box sums its rows as it lights them.
    fn spoil(&self, answer: &mut Answer) {
        match answer {
            Answer::Picture { crc, .. } if *crc != 0 => *crc ^= 1,
            Answer::Spans(spans) => {
                thread::sleep(self.pause);
                let mut bytes = spans.as_slice().to_vec();
                bytes.chunks_exact_mut(SPAN_BYTES).for_each(|span| self.spoil_span(span));
                *spans = Bytes::of(&bytes).expect("as many");
            }
            _ => {}
        }
    }

    fn spoil_span(&self, span: &mut [u8]) {
        let number = |i: usize| u16::from_le_bytes([span[i], span[i + 1]]);
        let (row, here) = (number(0), (number(2), number(4) - number(2)));
        if self.rows.contains(&row) && span[9] == 255 && *self.spans.lock().unwrap().entry(row).or_insert(here) == here
        {
            span[6] ^= 0x40;
        }
    }
}

/// Something that takes calls and speaks these versions of the link and nothing else; without any it is silent.
///
/// # Panics
/// When there is no port to be had.
pub fn speaks(versions: Option<Versions>) -> String {
    let (listener, address) = listen();
    thread::spawn(move || {
        for mut desk in listener.incoming().flatten() {
            thread::spawn(move || {
                let (mut decoder, mut bytes) = (Decoder::new(), [0; 256]);
                while let Ok(len @ 1..) = desk.read(&mut bytes) {
                    for &byte in &bytes[..len] {
                        let (Some(Ok(frame)), Some(versions)) = (decoder.push(byte), versions) else { continue };
                        let _ = desk.write_all(&wire(frame.sequence, &Answer::Hello(versions)));
                    }
                }
            });
        }
    });
    address
}

fn listen() -> (TcpListener, String) {
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).expect("a port");
    let address = format!("tcp:{}", listener.local_addr().expect("its address"));
    (listener, address)
}

fn wire(sequence: u8, answer: &Answer) -> Vec<u8> {
    let mut wire = [0; MAX_WIRE_BYTES];
    let len = frame::write(sequence, answer, &mut wire).expect("room");
    wire[..len].to_vec()
}
