//! The ends of a simulated box's serial link: a loopback TCP port, and a wire in memory.

use std::cell::RefCell;
use std::collections::VecDeque;
use std::convert::Infallible;
use std::io::{self, ErrorKind, Read, Write};
use std::net::{Ipv4Addr, TcpListener, TcpStream};
use std::rc::Rc;

use underfoot_core::ports::LinkPort;

/// Listens on a loopback port and never waits; port 0 takes a free one.
///
/// # Errors
/// When the port is taken.
pub fn listen(port: u16) -> io::Result<TcpListener> {
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port))?;
    listener.set_nonblocking(true)?;
    Ok(listener)
}

/// A wire to a desk in the same program. Clones are the same wire.
#[derive(Clone, Debug, Default)]
pub struct Wire(Rc<RefCell<[VecDeque<u8>; 2]>>);

impl Wire {
    /// Sends bytes to the box.
    pub fn send(&self, bytes: &[u8]) {
        self.0.borrow_mut()[0].extend(bytes);
    }

    /// The bytes that came from the box.
    pub fn take(&self) -> Vec<u8> {
        self.0.borrow_mut()[1].drain(..).collect()
    }
}

/// The link of a box: nobody, whoever called last over TCP, or a wire.
#[derive(Debug)]
pub struct DeskLink(End);

#[derive(Debug)]
enum End {
    Caller(Caller),
    Wire(Wire),
}

impl DeskLink {
    /// A link that takes calls.
    pub fn listening(listener: TcpListener) -> Self {
        Self(End::Caller(Caller { listener, desk: None }))
    }

    /// A link over a wire.
    pub fn wired(wire: Wire) -> Self {
        Self(End::Wire(wire))
    }
}

impl LinkPort for DeskLink {
    type Error = Infallible;

    fn read(&mut self, bytes: &mut [u8]) -> Result<usize, Infallible> {
        match &mut self.0 {
            End::Caller(caller) => Ok(caller.read(bytes)),
            End::Wire(wire) => {
                let mut ends = wire.0.borrow_mut();
                let len = ends[0].len().min(bytes.len());
                bytes.iter_mut().zip(ends[0].drain(..len)).for_each(|(slot, byte)| *slot = byte);
                Ok(len)
            }
        }
    }

    fn write(&mut self, bytes: &[u8]) -> Result<usize, Infallible> {
        match &mut self.0 {
            End::Caller(caller) => Ok(caller.write(bytes)),
            End::Wire(wire) => {
                wire.0.borrow_mut()[1].extend(bytes);
                Ok(bytes.len())
            }
        }
    }
}

/// The newest desk that called.
#[derive(Debug)]
struct Caller {
    listener: TcpListener,
    desk: Option<TcpStream>,
}

impl Caller {
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

impl Caller {
    fn read(&mut self, bytes: &mut [u8]) -> usize {
        if let Ok((stream, _)) = self.listener.accept() {
            let ready = stream.set_nonblocking(true).and_then(|()| stream.set_nodelay(true));
            self.desk = ready.is_ok().then_some(stream);
        }
        let Some(desk) = &mut self.desk else { return 0 };
        let result = desk.read(bytes);
        self.moved(result)
    }

    fn write(&mut self, bytes: &[u8]) -> usize {
        // Without a desk the answer goes nowhere, as on a serial line.
        let Some(desk) = &mut self.desk else { return bytes.len() };
        let result = desk.write(bytes);
        self.moved(result)
    }
}
