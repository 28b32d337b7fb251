//! The box's images against `firmware/budgets.toml`: flash, static RAM, stack and instructions for one picture.

use std::fmt;

use underfoot_core::look::View;
use underfoot_core::show::{CueId, Mode, Show};
use underfoot_firmware::rig::command::Painted;
use underfoot_tests::device::budgets::{Budgets, taken, within};
use underfoot_tests::device::emulator::instructions;
use underfoot_tests::device::shows::{DEMOS, demo, packed};
use underfoot_tests::device::{Board, Image, Profile, Rig, image};

/// RAM of the part that the box is made for, bytes.
const PART_RAM: u64 = 256 * 1024;

#[test]
fn flash_and_static_ram_stay_within_their_budgets() {
    let budget = Budgets::load().box_image;
    for board in Board::ALL {
        let taken = taken(&image(Image::Box, board, Profile::Release));
        within(&format!("{} flash", board.name()), taken.flash, budget.flash);
        within(&format!("{} static RAM", board.name()), taken.ram, budget.ram);
    }
    assert!(budget.ram + budget.stack <= PART_RAM, "{budget:?}");
}

/// The most of something, and the picture that takes it.
#[derive(Clone, Copy, Debug, Default)]
struct Worst {
    count: u64,
    cue: u8,
    mode: Option<Mode>,
}

impl Worst {
    fn note(&mut self, count: u64, (cue, mode): (u8, Mode)) {
        if count > self.count {
            *self = Self { count, cue, mode: Some(mode) };
        }
    }
}

impl fmt::Display for Worst {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} (cue {}, {:?})", self.count, self.cue, self.mode.unwrap_or(Mode::Off))
    }
}

/// Pictures that are counted: every cue of the small stage in each mode that shows it, of the larger floors every
/// second cue's BRIEF, which draws the most.
fn pictures(name: &str, show: &Show) -> Vec<(u8, Mode)> {
    let small = name == DEMOS[0];
    let modes: &[Mode] = if small { &[Mode::Brief, Mode::Standby, Mode::Reset] } else { &[Mode::Brief] };
    let cues = (0..show.cues.len() as u8).step_by(if small { 1 } else { 2 });
    cues.flat_map(|cue| modes.iter().map(move |&mode| (cue, mode))).collect()
}

/// The most that pictures of a demo take: instructions to compose, to paint, for both; and bytes of stack.
#[derive(Clone, Copy, Debug, Default)]
struct Counted {
    compose: Worst,
    paint: Worst,
    whole: Worst,
    stack: u64,
}

/// Counts a demo's pictures.
fn count(rig: &mut Rig, board: Board, name: &str) -> Counted {
    let show = demo(name);
    assert!(rig.take_pack(&packed(&show)), "{name}: the pack is taken");
    let mut all = Counted::default();
    for (i, at) in pictures(name, &show).into_iter().enumerate() {
        let view = View::new(at.1, Some(CueId(at.0)));
        let painted = rig.paint(&view);
        assert!(painted.fits, "{name}: {view:?} does not fit the box");
        let counts = |p: &Painted| (instructions(p.compose_ticks), instructions(p.paint_ticks));
        if i == 0 {
            assert_eq!(counts(&rig.paint(&view)), counts(&painted), "counts repeat exactly");
        }
        let (compose, paint) = counts(&painted);
        all.compose.note(compose, at);
        all.paint.note(paint, at);
        all.whole.note(compose + paint, at);
        all.stack = all.stack.max(u64::from(painted.stack));
    }
    println!("| {} | {name} | {} | {} |", board.name(), all.compose, all.paint);
    all
}

#[test]
fn pictures_of_the_small_stage_stay_within_their_instructions_and_all_within_the_stack() {
    let budgets = Budgets::load();
    println!("| board | demo | most instructions to compose | most instructions to paint |\n|---|---|---|---|");
    let measure = |board: Board| {
        let mut rig = Rig::start(board, Profile::Release, true, 240);
        let counted = DEMOS.map(|name| count(&mut rig, board, name));
        rig.finish();
        counted
    };
    for (board, counted) in Board::on_each(measure) {
        let (name, small) = (board.name(), counted[0]);
        within(&format!("{name} compose"), small.compose.count, budgets.small_stage.compose);
        within(&format!("{name} paint"), small.paint.count, budgets.small_stage.paint);
        let stack = counted.iter().map(|c| c.stack).max().unwrap_or(0);
        within(&format!("{name} stack"), stack, budgets.box_image.stack);
        let (hz, fewest) = match board {
            Board::An386 => (budgets.frames.m4f_hz, budgets.frames.m4f),
            Board::An500 => (budgets.frames.m7_hz, budgets.frames.m7),
        };
        let rate = hz as f64 / small.whole.count as f64;
        println!("{name}: {rate:.2} pictures a second at {hz} Hz, an instruction a cycle: {}", small.whole);
        assert!(rate >= fewest, "{name}: {rate} pictures a second are fewer than {fewest}");
        assert!(rate < 1.1 * fewest, "{name}: {rate} pictures a second: raise {fewest}");
    }
}

#[test]
fn the_counter_counts_instructions() {
    // 25 MHz and 1024 virtual nanoseconds for each instruction: 25.6 ticks. The pairs were measured with a loop whose
    // instructions were counted by hand and by an emulator plug-in.
    assert_eq!(instructions(77_u32), 3);
    assert_eq!(instructions(51_456_u32), 2_010);
    assert_eq!(instructions(5_120_256_u32), 200_010);
}
