//! The box's real image over its serial link, with the desk's own code at the other end: versions, a pack, cues, and
//! a power cut. The log is read back too.

use std::fs;
use std::net::{Ipv4Addr, TcpListener};
use std::path::PathBuf;
use std::thread;
use std::time::{Duration, Instant};

use underfoot_core::device::place::{class, what};
use underfoot_core::engine::{Input, Source};
use underfoot_core::link::{Refusal, Report, Request, Versions};
use underfoot_core::occupancy::{Cell, CellClass, class_of};
use underfoot_core::pack::ShowCode;
use underfoot_core::show::{CueId, Mode, Show};
use underfoot_sim::link::{SendError, Session, Step, send};
use underfoot_tests::device::scratch::Scratch;
use underfoot_tests::device::shows::{demo, packed};
use underfoot_tests::device::twin::Twin;
use underfoot_tests::device::{Board, Emulator, Image, Profile, image, log};

/// External RAM of the boards: the box's flash, in a file that outlives a power cut.
const FLASH_BYTES: u64 = 16 * 1024 * 1024;

struct PoweredBox {
    emulator: Emulator,
    target: String,
    log: PathBuf,
}

fn power_up(board: Board, folder: &Scratch) -> PoweredBox {
    let flash = folder.path().join("flash");
    if !flash.exists() {
        fs::File::create(&flash).and_then(|f| f.set_len(FLASH_BYTES)).expect("a file for the flash");
    }
    let port = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).and_then(|l| l.local_addr()).expect("a free port").port();
    let mut command = Emulator::command(&image(Image::Box, board, Profile::Release), folder.path(), 120);
    command.args(["-machine", &format!("mps2-{},memory-backend=ext", board.name())]);
    command.args(["-object", "memory-backend-file,id=ext,size=16M,mem-path=flash,share=on"]);
    command.args(["-serial", &format!("tcp:127.0.0.1:{port},server=on,wait=on,nodelay=on")]);
    command.args(["-serial", "file:log.bin"]);
    let emulator = Emulator::start(command);
    PoweredBox { emulator, target: format!("tcp:127.0.0.1:{port}"), log: folder.path().join("log.bin") }
}

impl PoweredBox {
    /// The emulator opens its port a moment after it starts.
    fn connect(&mut self) -> Session {
        let target = self.target.parse().expect("a target");
        let patience = Instant::now() + Duration::from_secs(20);
        loop {
            match Session::open(&target) {
                Ok(session) => return session,
                Err(error) => assert!(self.emulator.is_running() && Instant::now() < patience, "{error}"),
            }
            thread::sleep(Duration::from_millis(20));
        }
    }
}

fn command(session: &mut Session, request: Request<'_>) -> Report {
    // The lockout after an advance.
    thread::sleep(Duration::from_millis(450));
    session.done(Step::Command, &request).unwrap_or_else(|e| panic!("{request:?}: {e}"));
    // The picture gets whole stretch by stretch, while the box answers.
    let patience = Instant::now() + Duration::from_secs(20);
    loop {
        let report = session.report().expect("a report");
        if report.picture_crc != 0 || report.mode == Mode::Off {
            return report;
        }
        assert!(Instant::now() < patience, "no picture after {request:?}: {report:?}");
    }
}

/// Asks the box for places all over its floor and beyond, and holds each answer against what the desk's core says
/// for the cue and the time that the answer names. Returns how many were not free.
fn places(session: &mut Session, show: &Show, cue: u8) -> usize {
    let mut taken = 0;
    for (x_mm, y_mm) in (-4..=4).flat_map(|i| (-4..=4).map(move |j| (400 * i + 33, 400 * j - 17))) {
        let said = session.place((x_mm, y_mm)).expect("an answer");
        assert_eq!(said.cue, CueId(cue));
        let (at, after_s) = (Cell::place_mm(x_mm, y_mm), said.after_ms as f32 / 1000.0);
        let found = class_of(show, &show.cues[usize::from(cue)], after_s, &at).expect("usable shapes");
        assert_eq!((said.class, said.what), (class(found.class), what(found.cause)), "{x_mm} {y_mm} at {after_s}");
        taken += usize::from(found.class != CellClass::Free);
    }
    taken
}

fn drive(board: Board) {
    let (show, folder) = (demo("clock-cabinet"), Scratch::new());
    let (mut twin, from) = (Twin::new(&show), Source::Desk);
    let pack = packed(&show);
    let mut powered = power_up(board, &folder);

    let mut session = powered.connect();
    assert!(matches!(session.report(), Err(SendError::Refused(_, Refusal::HelloFirst))));
    assert_eq!(session.hello(Versions::OURS).expect("a version"), 3);
    let fresh = session.report().expect("a report");
    assert_eq!((fresh.mode, fresh.pack_crc, fresh.next), (Mode::Off, None, None));
    drop(session);

    let sent = send(&pack, &powered.target, &mut |_, _| {}).expect("a box that takes the pack");
    assert_eq!(sent.code, ShowCode::of_pack(&pack).unwrap());

    let mut session = powered.connect();
    session.hello(Versions::OURS).expect("a version");
    let early = session.done(Step::Command, &Request::Go { to: CueId(0) });
    assert!(matches!(early, Err(SendError::Refused(_, Refusal::NotArmed))));
    command(&mut session, Request::Arm);
    twin.enter(Input::Arm { from });
    assert!(matches!(session.place((0, 0)), Err(SendError::Refused(_, Refusal::NoCue))));
    for cue in 0..4 {
        let report = command(&mut session, Request::Go { to: CueId(cue) });
        assert_eq!((report.now, report.mode), (Some(CueId(cue)), show.cues[usize::from(cue)].mode));
        twin.enter(Input::Go { to: CueId(cue), from });
        assert_eq!(twin.lights_up(&mut session).paint_faults, 0);
    }
    // A prop swings in the fourth cue: what is soon there changes with the time that the box counts.
    assert!(places(&mut session, &show, 3) > 20);
    let report = command(&mut session, Request::Back { to: CueId(2) });
    assert_eq!(report.now, Some(CueId(2)));
    twin.enter(Input::Back { to: CueId(2), from });
    twin.lights_up(&mut session);
    let report = command(&mut session, Request::Off);
    assert_eq!((report.mode, report.now, report.picture_crc), (Mode::Off, None, 0));
    command(&mut session, Request::Arm);
    assert_eq!(command(&mut session, Request::Go { to: CueId(2) }).now, Some(CueId(2)));

    // The power goes while the floor is lit.
    let log_file = powered.log.clone();
    drop((session, powered));
    let first_log = fs::read(&log_file).expect("the log");
    let mut powered = power_up(board, &folder);
    let mut session = powered.connect();
    session.hello(Versions::OURS).expect("a version");
    let report = session.report().expect("a report");
    assert_eq!((report.mode, report.now, report.frames), (Mode::Off, None, 0));
    assert_eq!(report.pack_crc, sent.report.pack_crc, "the show is still there");
    drop((session, powered));

    let elf = image(Image::Box, board, Profile::Release);
    let (first, second) = (log::lines(&elf, &first_log), log::lines(&elf, &fs::read(&log_file).expect("the log")));
    let has = |lines: &[String], text: &str| lines.iter().any(|l| l.contains(text));
    assert!(has(&first, &format!("underfoot box on mps2-{}", board.name())), "{first:#?}");
    assert!(has(&first, "NoShow") && has(&first, "ShowReady") && has(&first, "mode: Brief"), "{first:#?}");
    assert!(has(&second, "ShowReady") && !has(&second, "NoShow"), "{second:#?}");
}

#[test]
fn the_cortex_m4f_box_does_its_job_over_its_link() {
    drive(Board::An386);
}

#[test]
fn the_cortex_m7_box_does_its_job_over_its_link() {
    drive(Board::An500);
}
