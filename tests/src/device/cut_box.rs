//! An emulated box whose power the test cuts whenever it likes: its flash is a file that outlives it.

use std::net::{Ipv4Addr, TcpListener};
use std::path::PathBuf;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};
use std::{fs, thread};

use underfoot_core::link::{Answer, Outlook, Request, Versions};
use underfoot_sim::link::{Session, Step};

use super::emulator::Board;
use super::images::{Image, Profile, image};
use super::scratch::Scratch;

/// External RAM of the boards: the box's flash.
const FLASH_BYTES: u64 = 16 * 1024 * 1024;

/// A place for one box: its flash, and a port for its line.
#[derive(Debug)]
pub struct Bench {
    folder: Scratch,
    board: Board,
    port: u16,
}

/// A box that has power. Dropping it cuts the power: nothing in it gets to run once more.
#[derive(Debug)]
pub struct Powered {
    child: Child,
    target: String,
    since: Instant,
}

impl Bench {
    /// A bench with flash that nobody has written yet.
    ///
    /// # Panics
    /// When there is no file or no port to be had.
    pub fn new(board: Board) -> Self {
        let folder = Scratch::new();
        let flash = folder.path().join("flash");
        fs::File::create(flash).and_then(|f| f.set_len(FLASH_BYTES)).expect("a file for the flash");
        let free = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).and_then(|l| l.local_addr());
        Self { folder, board, port: free.expect("a free port").port() }
    }

    /// The file of the flash.
    pub fn flash(&self) -> PathBuf {
        self.folder.path().join("flash")
    }

    /// Where the emulator writes what it is told to, and where its monitor listens.
    pub fn file(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// Gives the box power.
    ///
    /// # Panics
    /// When there is no emulator.
    pub fn power_up(&self) -> Powered {
        let mut command = Command::new("qemu-system-arm");
        command.args(["-display", "none", "-monitor", "unix:monitor,server=on,wait=off"]);
        command.args(["-semihosting-config", "enable=on,target=native"]);
        command.args(["-machine", &format!("mps2-{},memory-backend=ext", self.board.name())]);
        command.args(["-object", "memory-backend-file,id=ext,size=16M,mem-path=flash,share=on"]);
        command.args(["-serial", &format!("tcp:127.0.0.1:{},server=on,wait=on,nodelay=on", self.port)]);
        command.args(["-serial", "file:log.bin", "-kernel"]).arg(image(Image::Box, self.board, Profile::Release));
        command.current_dir(self.folder.path()).stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
        let child = command.spawn().expect("qemu-system-arm");
        Powered { child, target: format!("tcp:127.0.0.1:{}", self.port), since: Instant::now() }
    }
}

impl Powered {
    /// The target of its line.
    pub fn target(&self) -> &str {
        &self.target
    }

    /// Time since it got power.
    pub fn age(&self) -> Duration {
        self.since.elapsed()
    }

    /// Opens its line and says hello; the emulator opens its port a moment after it starts.
    ///
    /// # Panics
    /// When it does not answer within twenty seconds.
    pub fn connect(&mut self) -> Session {
        let target = self.target.parse().expect("a target");
        loop {
            if let Ok(mut session) = Session::open(&target) {
                session.hello(Versions::OURS).expect("a box that answers");
                return session;
            }
            let ended = self.child.try_wait().expect("an emulator");
            assert!(ended.is_none() && self.age() < Duration::from_secs(20), "no line to the emulator: {ended:?}");
            thread::sleep(Duration::from_millis(5));
        }
    }

    /// Cuts the power at once.
    pub fn cut(mut self) {
        self.kill();
    }

    fn kill(&mut self) {
        // SIGKILL: the process runs no further instruction, and its shared memory stays as it is.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Drop for Powered {
    fn drop(&mut self) {
        self.kill();
    }
}

/// What a box's display says.
///
/// # Panics
/// When it does not say.
pub fn outlook(session: &mut Session) -> Outlook {
    match session.ask(Step::Report, &Request::Outlook) {
        Ok(Answer::Outlook(outlook)) => outlook,
        other => panic!("{other:?}"),
    }
}
