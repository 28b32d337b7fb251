//! The real image at the end of a line that drops, flips, doubles and reorders bytes by a seed: it only costs time.

use std::thread;
use std::time::Duration;

use underfoot_core::link::{Request, Versions};
use underfoot_core::pack::ShowCode;
use underfoot_core::show::CueId;
use underfoot_sim::link::{Session, Step, send};
use underfoot_sim::sim::{Rates, Relay};
use underfoot_tests::device::Board;
use underfoot_tests::device::cut_box::Bench;
use underfoot_tests::device::shows::{demo, packed};

/// Share of all bytes that are harmed, each way: a report of some thirty bytes every third or fourth time.
const NOISE: f64 = 0.01;

#[test]
fn a_bad_line_to_the_emulated_box_skips_and_doubles_nothing() {
    let bench = Bench::new(Board::An386);
    let mut powered = bench.power_up();
    drop(powered.connect());
    let pack = packed(&demo("clock-cabinet"));
    let address = powered.target().trim_start_matches("tcp:").parse().expect("an address");
    let clean = Relay::start(address, Rates::NONE, 1).expect("a relay");
    let sent = send(&pack, &clean.target(), &mut |_, _| {}).expect("a box that takes the pack");
    assert_eq!(sent.code, ShowCode::of_pack(&pack).expect("a pack"));
    drop(clean);

    let line = Relay::start(address, Rates::noise(NOISE), 2).expect("a relay");
    let mut session = Session::open(&line.target().parse().expect("a target")).expect("a line");
    session.hello(Versions::OURS).expect("a version");
    session.done(Step::Command, &Request::Arm).expect("armed");
    for cue in 0..7 {
        thread::sleep(Duration::from_millis(410));
        session.done(Step::Command, &Request::Go { to: CueId(cue) }).unwrap_or_else(|e| panic!("cue {cue}: {e}"));
        for _ in 0..12 {
            assert_eq!(session.report().expect("a report").now, Some(CueId(cue)), "nothing skipped, nothing doubled");
        }
    }
    let (seen, report) = (line.seen(), session.report().expect("a report"));
    println!(
        "{} of {} bytes harmed; {} frames dropped by the box, {} requests repeated",
        seen.up.total() + seen.down.total(),
        seen.up.taken + seen.down.taken,
        report.bad_frames,
        session.repeats()
    );
    assert!(seen.up.total() > 3 && seen.down.total() > 3 && session.repeats() > 3, "bad enough to matter: {seen:?}");
}
