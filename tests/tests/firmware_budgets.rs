//! The box's images against `firmware/budgets.toml`: flash, static RAM, stack and instructions for one picture.

use underfoot_core::look::View;
use underfoot_core::show::{CueId, Mode};
use underfoot_tests::device::budgets::{Budgets, taken};
use underfoot_tests::device::emulator::instructions;
use underfoot_tests::device::shows::{DEMOS, demo, packed};
use underfoot_tests::device::{Board, Image, Profile, Rig, image};

fn within(what: &str, measured: u64, budget: u64) {
    println!("{what}: {measured} of {budget}");
    assert!(measured <= budget, "{what}: {measured} is over the budget of {budget}");
    // A budget that has become much too wide guards nothing.
    assert!(measured > budget / 4, "{what}: {measured} is far below the budget of {budget}: lower it");
}

#[test]
fn flash_and_static_ram_stay_within_their_budgets() {
    let budget = Budgets::load().box_image;
    for board in Board::ALL {
        let taken = taken(&image(Image::Box, board, Profile::Release));
        within(&format!("{} flash", board.name()), taken.flash, budget.flash);
        within(&format!("{} static RAM", board.name()), taken.ram, budget.ram);
    }
}

#[test]
fn pictures_of_the_small_stage_stay_within_their_instructions_and_all_within_the_stack() {
    let budgets = Budgets::load();
    for board in Board::ALL {
        let mut rig = Rig::start(board, Profile::Release, true, 240);
        let mut stack = 0;
        for name in DEMOS {
            let show = demo(name);
            assert!(rig.take_pack(&packed(&show)));
            let (mut compose, mut paint) = (0, 0);
            for cue in 0..show.cues.len() as u8 {
                for mode in [Mode::Brief, Mode::Standby, Mode::Reset] {
                    let view = View::new(mode, Some(CueId(cue)));
                    let first = rig.paint(&view);
                    let again = rig.paint(&view);
                    assert_eq!(
                        instructions(again.paint_ticks),
                        instructions(first.paint_ticks),
                        "counts repeat exactly"
                    );
                    if !first.fits {
                        println!("{name} cue {cue} {mode:?} does not fit the box");
                        assert!(name != DEMOS[0]);
                        continue;
                    }
                    compose = compose.max(instructions(first.compose_ticks));
                    paint = paint.max(instructions(first.paint_ticks));
                    stack = stack.max(u64::from(first.stack));
                }
            }
            println!("{} {name}: compose {compose}, paint {paint} instructions", board.name());
            if name == DEMOS[0] {
                within("compose", compose, budgets.small_stage.compose);
                within("paint", paint, budgets.small_stage.paint);
            }
        }
        within(&format!("{} stack", board.name()), stack, budgets.box_image.stack);
        rig.finish();
    }
}

#[test]
fn the_counter_counts_instructions() {
    // 25 MHz and 1024 virtual nanoseconds for each instruction: 25.6 ticks. The pairs were measured with a loop whose
    // instructions were counted by hand and by an emulator plug-in.
    assert_eq!(instructions(77), 3);
    assert_eq!(instructions(51_456), 2_010);
    assert_eq!(instructions(5_120_256), 200_010);
}
