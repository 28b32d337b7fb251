//! Poses that keep coming are no lost tracking, whatever the floor does meanwhile; poses that stay away are.

use underfoot_core::engine::Fault;
use underfoot_core::link::{Answer, Request};
use underfoot_core::show::{CueId, Mode};
use underfoot_core::units::Duration;
use underfoot_tests::cut_flash::{CutFlash, SMALL};
use underfoot_tests::device::shows::{demo, packed};
use underfoot_tests::small_box::{Room, SmallBox};
use underfoot_tests::soak::senders::Pan;

/// Lets time pass with word of the on-air light, and with poses of these cameras.
fn keep(small: &mut SmallBox<'_>, lit: bool, pans: &[Pan]) {
    let end = small.now.after(Duration::from_millis(1_500));
    while small.now < end {
        assert_eq!(small.ask(Request::OnAir { lit }), Answer::Done);
        for pan in pans {
            assert_eq!(small.ask(pan.pose(small.now)), Answer::Done);
        }
        small.pass(20);
    }
}

fn told(small: &mut SmallBox<'_>) -> (Mode, bool) {
    let outlook = small.outlook();
    (outlook.mode, outlook.faults & 1 << Fault::Tracking as u16 != 0)
}

#[test]
fn a_break_after_air_lasts_while_poses_come() {
    let mut show = demo("harbour-hour-clean");
    show.control.backup = false;
    let pans = Pan::all(&show);
    let mut room = Room::default();
    let mut small = SmallBox::power_up(&mut room, CutFlash::fresh(SMALL));
    small.connect();
    small.bring(&packed(&show));
    for request in [Request::PackCommit, Request::Arm, Request::Go { to: CueId(0) }] {
        assert_eq!(small.ask(request), Answer::Done, "{request:?}");
    }
    keep(&mut small, true, &pans);
    assert_eq!(told(&mut small), (Mode::Air, false));
    for mode in [Mode::Reset, Mode::Brief, Mode::Standby] {
        keep(&mut small, false, &pans);
        assert_eq!(small.ask(Request::Mode { mode: Some(mode) }), Answer::Done);
        keep(&mut small, false, &pans);
        assert_eq!(told(&mut small), (mode, false));
    }
    keep(&mut small, false, &pans[1..]);
    assert_eq!(told(&mut small), (Mode::Standby, true), "one camera is silent");
    keep(&mut small, false, &pans);
    assert_eq!(told(&mut small), (Mode::Standby, false));
    assert_eq!(small.ask(Request::Off), Answer::Done);
    keep(&mut small, false, &pans);
    assert_eq!(told(&mut small), (Mode::Off, false));
}
