//! A picture in stretches on the device: the host's rows, and how long a stretch may keep the keys waiting, against
//! `firmware/budgets.toml`. Instructions are counted by the emulator, each as one: they are not cycles.

use underfoot_core::device::{Memory, STRETCH};
use underfoot_core::look::View;
use underfoot_core::show::{CueId, Mode};
use underfoot_firmware::rig::command::Stretches;
use underfoot_tests::device::budgets::{Budgets, within};
use underfoot_tests::device::emulator::instructions;
use underfoot_tests::device::shows::{DEMOS, demo, packed};
use underfoot_tests::device::{Board, Profile, Rig, host_rows};

/// The most of each number, over pictures.
fn most(all: &[Stretches], number: impl Fn(&Stretches) -> u32) -> u64 {
    instructions(all.iter().map(number).max().unwrap_or(0))
}

fn paint(rig: &mut Rig, name: &str, cues: &[u8], memory: &mut Memory) -> Vec<Stretches> {
    let show = demo(name);
    assert!(rig.take_pack(&packed(&show)), "{name}: the pack is taken");
    let painted = cues.iter().map(|&cue| {
        let view = View::new(Mode::Brief, Some(CueId(cue)));
        let (_, crc, stretches) =
            host_rows::rows_in_stretches(&show, &view, memory, STRETCH).expect("a view that fits");
        let (there, whole) = (rig.stretches(&view, STRETCH), rig.stretches(&view, u32::MAX));
        assert_eq!(
            (there.crc, there.stretches as usize),
            (crc, stretches),
            "{name} cue {cue}: the host's rows and rests"
        );
        let spread = f64::from(there.total_ticks) / f64::from(whole.total_ticks) - 1.0;
        println!("{name} cue {cue}: {stretches} stretches, {:.2} % over one, {there:?}", 100.0 * spread);
        assert!(spread < 0.03, "{name} cue {cue}: resting costs {spread}");
        there
    });
    painted.collect()
}

#[test]
fn no_stretch_keeps_the_keys_waiting() {
    let budget = Budgets::load().stretches;
    let (mut rig, mut memory) = (Rig::start(Board::An386, Profile::Release, true, 240), Box::new(Memory::new()));
    let small = paint(&mut rig, DEMOS[0], &[1, 3], &mut memory);
    let large = paint(&mut rig, DEMOS[2], &[2], &mut memory);
    rig.finish();
    let all = [small.clone(), large].concat();
    within("a stretch of rows", most(&all, |s| s.rows_ticks), budget.rows);
    within("a stretch that lists edges", most(&all, |s| s.edges_ticks), budget.edges);
    within("a stretch that composes", most(&all, |s| s.compose_ticks), budget.compose);
    within("from a settled key to the first row with light", most(&small, |s| s.lit_ticks), budget.first_row);
}
