//! Bit identity: the same pack and the same view give the same rows on the host, on an emulated Cortex-M4F and on an
//! emulated Cortex-M7. The emulator's arithmetic is IEEE 754's own, so equality says that the core leaves nothing to
//! the platform.

use underfoot_core::device::Memory;
use underfoot_core::look::View;
use underfoot_core::show::{CueId, Mode, Show};
use underfoot_tests::device::shows::{DEMOS, demo, packed};
use underfoot_tests::device::{Board, Profile, Rig, host_rows};
use underfoot_tests::dice::Dice;
use underfoot_tests::floor_views;

/// Cue states over all demos.
const STATES: usize = 200;
/// Cue states that the images with all checks and hardly any optimising paint: they are several times slower.
const SLOW_STATES: usize = 40;

struct Case {
    show: Box<Show>,
    views: Vec<View>,
    /// Checksums of the host's rows.
    crcs: Vec<u32>,
}

fn cases(states: usize) -> Vec<Case> {
    let (mut dice, mut memory) = (Dice::new(0xF100_0002), Box::new(Memory::new()));
    let mut all = Vec::new();
    for (i, name) in DEMOS.iter().enumerate() {
        let show = demo(name);
        let count = (states + DEMOS.len() - 1 - i) / DEMOS.len();
        let mut case = Case { show, views: Vec::new(), crcs: Vec::new() };
        for _ in 0..count {
            let view = floor_views::any(&mut dice, &case.show);
            let rows = host_rows::rows(&case.show, &view, &mut memory);
            let (_, crc) = rows.unwrap_or_else(|| panic!("{name}: the box has not the memory for {view:?}"));
            case.crcs.push(crc);
            case.views.push(view);
        }
        all.push(case);
    }
    assert_eq!(all.iter().flat_map(|c| &c.crcs).count(), states);
    all
}

fn compare(board: Board, profile: Profile, cases: &[Case]) {
    let mut rig = Rig::start(board, profile, false, 240);
    for case in cases {
        assert!(rig.take_pack(&packed(&case.show)), "{board:?} takes the pack");
        for (view, &crc) in case.views.iter().zip(&case.crcs) {
            let painted = rig.paint(view);
            assert!(painted.fits, "{board:?} {profile:?}: {view:?} fits here and not there");
            if crc != painted.crc {
                first_difference(&mut rig, case, view, board, profile);
            }
        }
    }
    rig.finish();
}

fn first_difference(rig: &mut Rig, case: &Case, view: &View, board: Board, profile: Profile) -> ! {
    let theirs = rig.dump(view);
    let ours = host_rows::rows(&case.show, view, &mut Memory::new()).map(|(rows, _)| rows).unwrap_or_default();
    let at = ours.iter().zip(&theirs).position(|(a, b)| a != b);
    let row = at.map(|i| (&ours[i], &theirs[i]));
    panic!("{board:?} {profile:?}: {view:?} of {} differs, first at (host, device) {row:#?}", case.show.title);
}

#[test]
fn the_states_are_worth_comparing() {
    let cases = cases(STATES);
    let mut distinct: Vec<u32> = cases.iter().flat_map(|c| c.crcs.iter().copied()).collect();
    distinct.sort_unstable();
    distinct.dedup();
    assert!(distinct.len() > STATES / 2, "only {} different pictures", distinct.len());
    let modes = [Mode::Brief, Mode::Standby, Mode::Air, Mode::Build, Mode::Worklight];
    assert!(modes.iter().all(|m| cases.iter().flat_map(|c| &c.views).any(|v| v.mode == *m)));
}

#[test]
fn host_m4f_and_m7_paint_the_same_rows_in_release() {
    let cases = cases(STATES);
    Board::on_each(|board| compare(board, Profile::Release, &cases));
}

#[test]
fn host_and_m4f_paint_the_same_forty_pictures_in_debug() {
    compare(Board::An386, Profile::Debug, &cases(SLOW_STATES));
}

#[test]
fn host_and_m7_paint_the_same_forty_pictures_in_debug() {
    compare(Board::An500, Profile::Debug, &cases(SLOW_STATES));
}

#[test]
fn a_difference_would_be_found_and_shown() {
    let cases = cases(3);
    let mut rig = Rig::start(Board::An386, Profile::Release, false, 60);
    assert!(rig.take_pack(&packed(&cases[0].show)));
    let view = View::new(Mode::Brief, Some(CueId(1)));
    let other = View { level: 200, ..view };
    assert_ne!(rig.paint(&view).crc, rig.paint(&other).crc);
    let ours = host_rows::rows(&cases[0].show, &view, &mut Memory::new()).expect("a view that fits").0;
    assert_eq!(rig.dump(&view), ours);
    assert_ne!(rig.dump(&other), ours);
    assert!(!rig.take_pack(b"UFPK is no pack"));
    rig.finish();
}
