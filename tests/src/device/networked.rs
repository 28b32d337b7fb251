//! A box in the emulator with a cable in its Ethernet socket.

use std::fs;
use std::io;
use std::net::{Ipv4Addr, SocketAddr, UdpSocket};
use std::path::PathBuf;
use std::thread;
use std::time::{Duration, Instant};

use underfoot_core::device::Setup;
use underfoot_core::link::{Report, Versions};
use underfoot_core::ports::{LINK_PORT, SACN_PORT};
use underfoot_sim::link::Session;

use super::scratch::Scratch;
use super::{Board, Emulator, Image, Profile, image};
use crate::ether::{self, Seen};

/// External RAM of the boards, which stands for flash.
const FLASH_BYTES: u64 = 16 * 1024 * 1024;
/// Emulators end by themselves after this.
const SECONDS: u32 = 120;

/// Ethernet address of a box on a bench.
pub const MAC: [u8; 6] = [0x02, 0x55, 0, 0, 0x62, 1];

/// A box with power and a cable.
#[derive(Debug)]
pub struct Networked {
    /// The emulator.
    pub emulator: Emulator,
    board: Board,
    folder: Scratch,
}

/// What the other end of a cable is, where the machine's own programs reach the box through the emulator's router.
#[derive(Clone, Copy, Debug)]
pub struct Router {
    /// Goes to the box's door for desks.
    pub link: SocketAddr,
    /// Goes to the box's door for sACN. The port is sACN's own, so the address is one of its own.
    pub sacn: SocketAddr,
}

/// What the other end of a cable is, where whole frames come out as datagrams.
#[derive(Debug)]
pub struct Bench(UdpSocket);

impl Networked {
    /// A box behind a router. `number` tells apart the boxes of one test run.
    ///
    /// # Panics
    /// When there is no emulator, or no port is free.
    pub fn behind_router(board: Board, number: u8) -> (Self, Router) {
        let [.., low] = std::process::id().to_be_bytes();
        let link = free((Ipv4Addr::LOCALHOST, 0).into());
        let sacn = SocketAddr::from((Ipv4Addr::new(127, 62, low, number), SACN_PORT));
        let ip = Ipv4Addr::from(Setup::FIRST.address.ip);
        let forward = |from: SocketAddr, to: u16| format!(",hostfwd=udp:{from}-{ip}:{to}");
        let net = "user,model=lan9118,net=10.62.0.0/16";
        let nic = format!("{net}{}{}", forward(link, LINK_PORT), forward(sacn, SACN_PORT));
        (Self::power_up(board, &["-nic", &nic]), Router { link, sacn })
    }

    /// A box whose cable is in the test's own hands.
    ///
    /// # Panics
    /// When there is no emulator, or no port is free.
    pub fn on_bench(board: Board) -> (Self, Bench) {
        let ours = UdpSocket::bind((Ipv4Addr::LOCALHOST, 0)).expect("a free port");
        let theirs = free((Ipv4Addr::LOCALHOST, 0).into()).port();
        let our_port = ours.local_addr().expect("a bound socket").port();
        ours.connect((Ipv4Addr::LOCALHOST, theirs)).expect("a port");
        let end = |name: &str, port: u16| format!("{name}.type=inet,{name}.host=127.0.0.1,{name}.port={port}");
        let netdev = format!("dgram,id=n,{},{}", end("local", theirs), end("remote", our_port));
        let mac = MAC.map(|byte| format!("{byte:02x}")).join(":");
        let nic = format!("nic,netdev=n,model=lan9118,macaddr={mac}");
        (Self::power_up(board, &["-netdev", &netdev, "-net", &nic]), Bench(ours))
    }

    fn power_up(board: Board, cable: &[&str]) -> Self {
        let folder = Scratch::new();
        let flash = folder.path().join("flash");
        fs::File::create(&flash).and_then(|f| f.set_len(FLASH_BYTES)).expect("a file for the flash");
        let mut command = Emulator::command(&image(Image::Box, board, Profile::Release), folder.path(), SECONDS);
        command.args(["-machine", &format!("mps2-{},memory-backend=ext", board.name())]);
        command.args(["-object", "memory-backend-file,id=ext,size=16M,mem-path=flash,share=on"]);
        command.args(["-serial", "null", "-serial", "file:log.bin"]).args(cable).stderr(std::process::Stdio::null());
        Self { emulator: Emulator::start(command), board, folder }
    }

    /// The lines of its log so far.
    ///
    /// # Panics
    /// When the log cannot be read.
    pub fn log(&self) -> Vec<String> {
        let bytes = fs::read(self.log_file()).expect("the log");
        super::log::lines(&image(Image::Box, self.board, Profile::Release), &bytes)
    }

    fn log_file(&self) -> PathBuf {
        self.folder.path().join("log.bin")
    }
}

/// A conversation with the box at `link`, which may still be starting.
///
/// # Panics
/// When it does not answer in time.
pub fn greet(link: SocketAddr) -> Session {
    let target = format!("udp:{link}").parse().expect("a target");
    let patience = Instant::now() + Duration::from_secs(30);
    loop {
        let mut session = Session::open(&target).expect("a socket");
        match session.hello(Versions::OURS) {
            Ok(_) => return session,
            Err(error) => assert!(Instant::now() < patience, "{error}"),
        }
    }
}

/// The report once it is as `wanted`; painting a picture takes the box a while.
///
/// # Panics
/// When it is not within 20 seconds; `what` says what was waited for.
pub fn wait(session: &mut Session, what: &str, wanted: impl Fn(&Report) -> bool) -> Report {
    let patience = Instant::now() + Duration::from_secs(20);
    loop {
        let report = session.report().expect("a box that answers");
        if wanted(&report) {
            return report;
        }
        assert!(Instant::now() < patience, "{what}: {report:?}");
        thread::sleep(Duration::from_millis(10));
    }
}

impl Bench {
    /// Puts a frame on the wire.
    ///
    /// # Errors
    /// The system's; a box that is not there yet refuses.
    pub fn give(&self, frame: &[u8]) -> io::Result<usize> {
        self.0.send(frame)
    }

    /// The first thing within `patience` that `wanted` makes something of; every other frame is passed by.
    pub fn wait<T>(&self, patience: Duration, mut wanted: impl FnMut(Seen) -> Option<T>) -> Option<T> {
        let (end, mut frame) = (Instant::now() + patience, [0; 2048]);
        loop {
            let left = end.saturating_duration_since(Instant::now());
            if left.is_zero() || self.0.set_read_timeout(Some(left)).is_err() {
                return None;
            }
            let Ok(len) = self.0.recv(&mut frame) else { continue };
            if let Some(found) = wanted(ether::read(&frame[..len])) {
                return Some(found);
            }
        }
    }
}

/// An address with a port that nobody has now.
fn free(address: SocketAddr) -> SocketAddr {
    UdpSocket::bind(address).and_then(|socket| socket.local_addr()).expect("a free port")
}
