//! What a conversation's bytes go through: TCP, a serial line, or datagrams.

use std::io::{self, ErrorKind, Read, Write};
use std::net::{TcpStream, ToSocketAddrs, UdpSocket};
use std::time::Duration;

use underfoot_core::link::desk::Patience;

use super::Target;

/// How long one look at the line waits.
const LOOK: Duration = Duration::from_millis(20);
/// How long a box's machine may take to answer a call; the system's own patience is minutes.
const CALL: Duration = Duration::from_secs(5);
/// Bit rate of serial lines.
const BAUD: u32 = 921_600;

/// A line that gives up reading after [`LOOK`].
pub(super) trait Line: Read + Write + Send {}
impl<T: Read + Write + Send> Line for T {}

/// Opens the line to `target`, with the patience that it needs.
pub(super) fn open(target: &Target) -> io::Result<(Box<dyn Line>, Patience)> {
    Ok(match target {
        Target::Tcp(address) => (Box::new(open_tcp(address)?), Patience::PIPE),
        Target::Serial(path) => (Box::new(serialport::new(path, BAUD).timeout(LOOK).open_native()?), Patience::PIPE),
        Target::Udp(address) => (Box::new(Datagrams::open(address)?), Patience::DATAGRAMS),
    })
}

fn open_tcp(address: &str) -> io::Result<TcpStream> {
    let mut last = io::Error::new(ErrorKind::NotFound, "no address of that name");
    let mut connect = |far| TcpStream::connect_timeout(&far, CALL).map_err(|error| last = error).ok();
    let Some(stream) = address.to_socket_addrs()?.find_map(&mut connect) else { return Err(last) };
    stream.set_nodelay(true)?;
    stream.set_read_timeout(Some(LOOK))?;
    Ok(stream)
}

/// A socket whose every write is one datagram: the desk writes whole frames.
struct Datagrams(UdpSocket);

impl Datagrams {
    fn open(address: &str) -> io::Result<Self> {
        let far = address.to_socket_addrs()?.find(std::net::SocketAddr::is_ipv4);
        let far = far.ok_or_else(|| io::Error::new(ErrorKind::NotFound, "no IPv4 address of that name"))?;
        let socket = UdpSocket::bind((std::net::Ipv4Addr::UNSPECIFIED, 0))?;
        socket.connect(far)?;
        socket.set_read_timeout(Some(LOOK))?;
        Ok(Self(socket))
    }
}

impl Read for Datagrams {
    fn read(&mut self, bytes: &mut [u8]) -> io::Result<usize> {
        match self.0.recv(bytes) {
            // An empty datagram is not the end of anything, and a box that is not there yet may come.
            Ok(0) => Err(ErrorKind::WouldBlock.into()),
            Err(e) if e.kind() == ErrorKind::ConnectionRefused => {
                std::thread::sleep(LOOK);
                Err(ErrorKind::WouldBlock.into())
            }
            other => other,
        }
    }
}

impl Write for Datagrams {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        match self.0.send(bytes) {
            // What was refused was an earlier one; this one is lost, and will be sent again.
            Err(e) if e.kind() == ErrorKind::ConnectionRefused => Ok(bytes.len()),
            other => other,
        }
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}
