//! The box's real image on a network: the desk's own code by datagrams, and lighting desks that are others' work.

use std::net::SocketAddr;
use std::thread;
use std::time::{Duration, Instant};

use sacn::source::SacnSource;
use underfoot_core::engine::{Input, Source};
use underfoot_core::link::Request;
use underfoot_core::show::{CueId, Mode, Show};
use underfoot_sim::link::{Session, Step, send};
use underfoot_tests::device::Board;
use underfoot_tests::device::networked::{Networked, greet, wait};
use underfoot_tests::device::shows::{demo, packed};
use underfoot_tests::device::twin::Twin;
use underfoot_tests::lighting::{self, go, kill};

const UNIVERSE: u16 = 7;

fn command(session: &mut Session, request: Request<'_>) {
    // The lockout after an advance.
    thread::sleep(Duration::from_millis(450));
    session.done(Step::Command, &request).unwrap_or_else(|e| panic!("{request:?}: {e}"));
}

/// A lighting desk by the Rust crate `sacn`.
fn play_rust(to: SocketAddr, steps: &[lighting::Step]) {
    let mut source = SacnSource::with_ip("Desk", "127.0.0.1:0".parse().expect("an address")).expect("a source");
    source.set_is_sending_discovery(false);
    source.register_universe(UNIVERSE).expect("a universe");
    for (levels, milliseconds) in steps {
        let end = Instant::now() + Duration::from_millis((*milliseconds).into());
        let mut data = [0; 513];
        // A start code of 0 comes first.
        data[1..11].copy_from_slice(levels);
        while Instant::now() < end {
            source.send(&[UNIVERSE], &data, None, Some(to), None).expect("a packet sent");
            thread::sleep(Duration::from_millis(25));
        }
    }
}

/// A lighting desk by the Python module `sacn`.
fn play_python(to: SocketAddr, steps: &[lighting::Step]) {
    let output = lighting::python(&to.ip().to_string(), UNIVERSE, steps).output().expect("Python runs");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
}

/// Takes the box by `play` from the cue on its floor to the next, and to OFF.
fn lighting_desk(name: &str, session: &mut Session, show: &Show, play: impl FnOnce(&[lighting::Step]) + Send) {
    let next = session.report().expect("a report").next.expect("a next cue");
    let steps = [go(show.cues[usize::from(next.0)].number), kill()].concat();
    thread::scope(|scope| {
        scope.spawn(|| play(&steps));
        let report = wait(session, name, |report| report.now == Some(next));
        assert_ne!(report.mode, Mode::Off);
        wait(session, name, |report| report.mode == Mode::Off);
    });
}

fn drive(board: Board, number: u8) {
    let mut show = demo("clock-cabinet");
    show.control.slots_universe = UNIVERSE;
    let pack = packed(&show);
    let (device, router) = Networked::behind_router(board, number);
    let mut session = greet(router.link);
    assert_eq!(session.report().expect("a report").pack_crc, None);

    let started = Instant::now();
    let sent = send(&pack, &format!("udp:{}", router.link), &mut |_, _| {}).expect("a box that takes the pack");
    eprintln!("{board:?}: {} bytes in {:?}, {} repeated", sent.bytes, started.elapsed(), sent.repeats);
    let (mut twin, from) = (Twin::new(&show), Source::Desk);
    command(&mut session, Request::Arm);
    twin.enter(Input::Arm { from });
    for cue in 0..3 {
        command(&mut session, Request::Go { to: CueId(cue) });
        twin.enter(Input::Go { to: CueId(cue), from });
        assert_eq!(twin.lights_up(&mut session).now, Some(CueId(cue)));
    }
    let beyond = session.place((-1_600, 0)).expect("an answer");
    assert_eq!(beyond.cue, CueId(2));

    command(&mut session, Request::Back { to: CueId(1) });
    lighting_desk("the Rust desk", &mut session, &show, |steps| play_rust(router.sacn, steps));
    // A source counts as lost 2.5 s after its last packet (ANSI E1.31-2018, appendix A); until then the next one waits.
    thread::sleep(Duration::from_millis(2_600));
    command(&mut session, Request::Arm);
    let next = session.report().expect("a report").next.expect("a next cue");
    command(&mut session, Request::Go { to: next });
    lighting_desk("the Python desk", &mut session, &show, |steps| play_python(router.sacn, steps));

    let log = device.log();
    let starts = log.iter().filter(|line| line.contains("underfoot box on")).count();
    assert_eq!(starts, 1, "{log:#?}");
}

#[test]
fn both_boxes_do_their_job_over_a_network() {
    Board::on_each(|board| drive(board, 1 + u8::from(board == Board::An500)));
}
