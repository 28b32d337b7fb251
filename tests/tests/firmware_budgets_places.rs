//! What answers about places take on the device, against `firmware/budgets.toml`: instructions of the live answer for a
//! full show and of the small stage's zones, and the stack of both.

use underfoot_core::device::memory::BoxWork;
use underfoot_core::show::{CueId, Show};
use underfoot_core::zones::ZoneStore;
use underfoot_tests::device::budgets::{Budgets, within};
use underfoot_tests::device::emulator::instructions;
use underfoot_tests::device::live_scene::{all_covered_by_the_last, all_seen, cameras};
use underfoot_tests::device::questions::{hidden_here, zones};
use underfoot_tests::device::shows::{DEMOS, demo, packed};
use underfoot_tests::device::{Board, Profile, Rig};

/// Instructions of one update with nobody hidden and with everybody hidden by the last part; the stack.
fn live(rig: &mut Rig, board: Board) -> ([u64; 2], u32) {
    let scenes: [(&str, Box<Show>, u64); 2] =
        [("none covered", all_seen(), 0), ("all covered by the last part", all_covered_by_the_last(), (1 << 24) - 1)];
    let (mut counts, mut stack) = ([0; 2], 0);
    for (slot, (what, show, due)) in counts.iter_mut().zip(scenes) {
        assert!(rig.take_pack(&packed(&show)), "the pack is taken");
        let there = rig.hidden(0, &cameras());
        assert_eq!((there.marks, hidden_here(&show, CueId(0), &cameras())), (due, due), "{what}");
        let count = instructions(there.ticks);
        assert_eq!(instructions(rig.hidden(0, &cameras()).ticks), count, "counts repeat exactly");
        println!("{}: {what}: {count}", board.name());
        *slot = count;
        stack = stack.max(there.stack);
    }
    (counts, stack)
}

/// Instructions of the small stage's slowest zone; the stack.
fn zone(rig: &mut Rig, board: Board) -> (u64, u32) {
    let show = demo(DEMOS[0]);
    assert!(rig.take_pack(&packed(&show)), "the pack is taken");
    let (mut most, mut stack) = (0, 0);
    for ask in zones(&show) {
        let there = rig.zone(ask);
        println!("{}: {ask:?}: {} instructions, {} bytes", board.name(), instructions(there.ticks), there.answer.len());
        most = most.max(instructions(there.ticks));
        stack = stack.max(there.stack);
    }
    (most, stack)
}

#[test]
fn the_live_answer_and_zones_stay_within_their_instructions_and_stack() {
    let budget = Budgets::load().places;
    let measure = |board: Board| {
        let mut rig = Rig::start(board, Profile::Release, true, 400);
        let answers = (live(&mut rig, board), zone(&mut rig, board));
        rig.finish();
        answers
    };
    for (board, (live, zone)) in Board::on_each(measure) {
        let [none, all] = live.0;
        within(&format!("{} live update", board.name()), none, budget.update);
        within(&format!("{} live update, all covered", board.name()), all, budget.update_all_covered);
        within(&format!("{} zone", board.name()), zone.0, budget.zone);
        // The live answer comes first: the stack's depth never shrinks.
        within(&format!("{} stack of live updates", board.name()), live.1.into(), budget.update_stack);
        within(&format!("{} stack of zones", board.name()), zone.1.into(), budget.zone_stack);
    }
}

#[test]
fn the_scenes_are_what_they_say() {
    assert_eq!(hidden_here(&all_seen(), CueId(0), &cameras()), 0);
    assert_eq!(hidden_here(&all_covered_by_the_last(), CueId(0), &cameras()), (1 << 24) - 1);
}

/// The box has no memory of its own for zones: it can lend its painter's while it does not paint.
#[test]
fn a_zones_store_fits_the_painters_memory() {
    assert!(size_of::<ZoneStore>() <= size_of::<BoxWork>());
}
