//! The box's real image, powered up: its link, its pins, its external RAM.

use std::fs;
use std::net::{Ipv4Addr, SocketAddr, TcpListener, UdpSocket};
use std::path::PathBuf;
use std::thread;
use std::time::{Duration, Instant};

use underfoot_core::device::Setup;
use underfoot_core::link::Versions;
use underfoot_core::ports::LINK_PORT;
use underfoot_core::show::Show;
use underfoot_sim::link::{Session, send};

use super::emulator::{Board, Emulator};
use super::gdb::Gdb;
use super::images::{Image, Profile, image};
use super::log;
use super::pins::{Pins, What};
use super::scratch::Scratch;
use super::shows::packed;

/// External RAM of the boards: flash and display, in a file that outlives a power cut.
const EXTERNAL_BYTES: u64 = 16 * 1024 * 1024;
/// Where the display begins in it, and its bytes; see `firmware/src/drivers/screen.rs`.
const SCREEN: usize = 8 * 1024 * 1024;
const SCREEN_BYTES: usize = 2 * 320 * 240;
/// How long the host waits for anything.
pub const PATIENCE: Duration = Duration::from_secs(60);

/// A box that has power until it is dropped.
#[derive(Debug)]
pub struct Powered {
    emulator: Emulator,
    board: Board,
    folder: PathBuf,
    link: u16,
    debugger: u16,
    /// Its pins.
    pins: Pins,
}

fn free_port() -> u16 {
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).and_then(|l| l.local_addr());
    listener.expect("a free port").port()
}

impl Powered {
    /// Gives the box in `folder` power; its external RAM is as the last one there left it. Instructions take
    /// [`super::pins::NANOS`] each.
    ///
    /// # Panics
    /// When the image does not build or the emulator does not start.
    pub fn up(board: Board, folder: &Scratch) -> Self {
        Self::start(board, folder, &[])
    }

    /// The same with a cable: what is sent to the address that comes with it gets to the box's door for desks.
    ///
    /// # Panics
    /// As [`Powered::up`].
    pub fn cabled(board: Board, folder: &Scratch) -> (Self, SocketAddr) {
        let door = UdpSocket::bind((Ipv4Addr::LOCALHOST, 0)).and_then(|socket| socket.local_addr()).expect("a port");
        let ip = Ipv4Addr::from(Setup::FIRST.address.ip);
        let nic = format!("user,model=lan9118,net=10.62.0.0/16,hostfwd=udp:{door}-{ip}:{LINK_PORT}");
        (Self::start(board, folder, &["-nic", &nic]), door)
    }

    fn start(board: Board, folder: &Scratch, cable: &[&str]) -> Self {
        let external = folder.path().join("external");
        if !external.exists() {
            let made = fs::File::create(&external).and_then(|file| file.set_len(EXTERNAL_BYTES));
            made.expect("a file for the external RAM");
        }
        let [link, pins, debugger] = [free_port(), free_port(), free_port()];
        let mut command = Emulator::command(&image(Image::Box, board, Profile::Release), folder.path(), 300);
        command.args(["-machine", &format!("mps2-{},memory-backend=ext", board.name())]);
        command.args(["-object", "memory-backend-file,id=ext,size=16M,mem-path=external,share=on"]);
        command.args(["-serial", &format!("tcp:127.0.0.1:{link},server=on,wait=off,nodelay=on")]);
        command.args(["-serial", "file:log.bin"]);
        command.args(["-serial", &format!("tcp:127.0.0.1:{pins},server=on,wait=on,nodelay=on")]);
        command.args(["-gdb", &format!("tcp:127.0.0.1:{debugger}")]);
        command.args(cable);
        Emulator::pace_instructions(&mut command);
        let mut emulator = Emulator::start(command);
        let pins = until(&mut emulator, || Pins::open(pins).ok());
        Self { emulator, board, folder: folder.path().to_owned(), link, debugger, pins }
    }

    /// Gives a box in a fresh `folder` power and a show.
    ///
    /// # Panics
    /// As [`Powered::up`], and when the box refuses the show.
    pub fn with(board: Board, folder: &Scratch, show: &Show) -> Self {
        let mut powered = Self::up(board, folder);
        powered.pins.wait(0, |what| what == What::Ready);
        send(&packed(show), &powered.target(), &mut |_, _| {}).expect("a box that takes the pack");
        powered
    }

    /// The target of its link.
    pub fn target(&self) -> String {
        format!("tcp:127.0.0.1:{}", self.link)
    }

    /// A desk's session, with versions exchanged.
    ///
    /// # Panics
    /// When the box does not answer.
    pub fn connect(&mut self) -> Session {
        let target = self.target().parse().expect("a target");
        let mut session = until(&mut self.emulator, || Session::open(&target).ok());
        session.hello(Versions::OURS).expect("a version");
        session
    }

    /// Its pins.
    pub fn pins(&mut self) -> &mut Pins {
        &mut self.pins
    }

    /// A debugger that has stopped it.
    ///
    /// # Panics
    /// When the emulator is gone.
    pub fn debugger(&mut self) -> Gdb {
        let port = self.debugger;
        until(&mut self.emulator, || Gdb::attach(port).ok())
    }

    /// What the display shows: 320 × 240 pixels, 5-6-5 bits.
    ///
    /// # Panics
    /// When the external RAM is gone.
    pub fn screen(&self) -> Vec<u16> {
        let bytes = fs::read(self.folder.join("external")).expect("the external RAM");
        let pixels = bytes[SCREEN..SCREEN + SCREEN_BYTES].chunks_exact(2);
        pixels.map(|pixel| u16::from_le_bytes([pixel[0], pixel[1]])).collect()
    }

    /// The lines of its log so far.
    ///
    /// # Panics
    /// When there is no log.
    pub fn log(&self) -> Vec<String> {
        let bytes = fs::read(self.folder.join("log.bin")).expect("the log");
        log::lines(&image(Image::Box, self.board, Profile::Release), &bytes)
    }
}

/// Tries until it works.
fn until<T>(emulator: &mut Emulator, mut tried: impl FnMut() -> Option<T>) -> T {
    let end = Instant::now() + PATIENCE;
    loop {
        if let Some(found) = tried() {
            return found;
        }
        assert!(emulator.is_running() && Instant::now() < end, "the box does not come up");
        thread::sleep(Duration::from_millis(20));
    }
}
