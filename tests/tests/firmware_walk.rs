//! Planned walk lines on the device: the same pack and the same question give the same bytes on the host, on an emulated
//! Cortex-M4F and on an emulated Cortex-M7; and what planning takes, against `firmware/budgets.toml`.

use std::collections::BTreeSet;

use underfoot_core::geom::{StagePoint, StageVector};
use underfoot_core::show::{PartShape, Show};
use underfoot_firmware::rig::walk::{NO_PROP, WalkAsk, WalkRoom};
use underfoot_tests::device::budgets::Budgets;
use underfoot_tests::device::crowd::crowd;
use underfoot_tests::device::emulator::instructions;
use underfoot_tests::device::questions::{nudged, walk_here, walks};
use underfoot_tests::device::shows::{ALL_DEMOS, DEMOS, demo, packed};
use underfoot_tests::device::{Board, Profile, Rig};
use underfoot_tests::dice::Dice;

struct Case {
    show: Box<Show>,
    walks: Vec<(WalkAsk, Vec<u8>)>,
}

/// Random nudges of every line.
const NUDGES: usize = 6;

/// The crowded floor with a ring round the start of its first line that has no gap, or one that is too narrow.
fn shut(gap_m: f32) -> Box<Show> {
    let mut show = crowd();
    let at = StagePoint::default();
    show.parts[0].shape = PartShape::Ring { at, inner_m: 1.5, outer_m: 1.7, gap_deg: 60.0, gap_m };
    show.props[0].at = show.line_points[0].at;
    show
}

/// All lines of all demos and of a crowded floor as they are, and with props nudged.
fn cases() -> Vec<Case> {
    let (mut dice, mut room) = (Dice::new(0x3A1C), Box::new(WalkRoom::new()));
    let shows = ALL_DEMOS.into_iter().map(demo).chain([crowd(), shut(0.0), shut(0.7)]);
    let case = |mut show: Box<Show>| {
        let planned = walks(&show);
        let moved = planned.iter().flat_map(|&ask| (0..NUDGES).map(move |_| ask));
        let moved: Vec<WalkAsk> = moved.map(|ask| nudged(&mut dice, &show, ask)).collect();
        let asks = planned.into_iter().chain(moved);
        let walks = asks.map(|ask| (ask, walk_here(&mut show, ask, &mut room))).collect();
        Case { show, walks }
    };
    shows.map(case).collect()
}

fn worth_comparing(cases: &[Case]) {
    let answers = || cases.iter().flat_map(|case| &case.walks).map(|(_, answer)| answer);
    let different = answers().collect::<BTreeSet<_>>().len();
    let of_kind = |kind: u8| answers().filter(|answer| answer[0] == kind).count();
    let kinds: Vec<usize> = (0..5).map(of_kind).collect();
    println!("{} answers, {different} of them different; of each kind {kinds:?}", answers().count());
    assert!(different > 60 && kinds[1] > 60 && kinds[2] > 6 && kinds[0] == 0, "{different} {kinds:?}");
    // A route that bends has more points than its two ends.
    assert!(answers().filter(|answer| answer[0] == 1 && answer[1] > 2).count() > 40);
}

fn compare(board: Board, cases: &[Case]) {
    let mut rig = Rig::start(board, Profile::Release, false, 400);
    for case in cases {
        assert!(rig.take_pack(&packed(&case.show)), "{board:?} takes the pack");
        for (ask, answer) in &case.walks {
            assert_eq!(&rig.walk(*ask).answer, answer, "{board:?}: {ask:?} of {}", case.show.title);
        }
    }
    rig.finish();
}

#[test]
fn the_questions_are_worth_comparing() {
    worth_comparing(&cases());
}

#[test]
fn host_m4f_and_m7_plan_the_same_ways() {
    let cases = cases();
    worth_comparing(&cases);
    Board::on_each(|board| compare(board, &cases));
}

#[test]
fn another_question_has_another_answer() {
    let mut show = demo(DEMOS[0]);
    let mut rig = Rig::start(Board::An386, Profile::Release, false, 200);
    assert!(rig.take_pack(&packed(&show)));
    let (ask, mut room) = (re_plan(&show), Box::new(WalkRoom::new()));
    let there = rig.walk(ask).answer;
    assert_ne!(there, rig.walk(WalkAsk { nudge: StageVector::default(), ..ask }).answer);
    assert_eq!(there, rig.walk(ask).answer, "the show is put back");
    assert_eq!(there, walk_here(&mut show, ask, &mut room));
    assert_eq!(rig.walk(WalkAsk { cue: 200, ..ask }).answer, [0]);
    rig.finish();
}

/// The small stage's line from A to C, with WATCH, which it has to go round, nudged.
fn re_plan(show: &Show) -> WalkAsk {
    let line = show.lines.iter().position(|line| line.name == "A-C").expect("a line") as u8;
    let prop = show.props.iter().position(|prop| prop.name == "WATCH").expect("a prop") as u8;
    let ask = walks(show).into_iter().find(|ask| ask.line == line).expect("a cue");
    WalkAsk { prop, nudge: StageVector::new(0.05, 0.05), ..ask }
}

fn within(what: &str, measured: u64, budget: u64) {
    println!("{what}: {measured} of {budget}");
    assert!(measured <= budget, "{what}: {measured} is over the budget of {budget}");
    // A budget that has become much too wide guards nothing.
    assert!(measured > budget / 4, "{what}: {measured} is far below the budget of {budget}: lower it");
}

/// Instructions of the small stage's line and of the crowd's slowest, and the stack.
fn measure(board: Board) -> (u64, u64, u32) {
    let mut rig = Rig::start(board, Profile::Release, true, 400);
    let small = demo(DEMOS[0]);
    assert!(rig.take_pack(&packed(&small)), "the pack is taken");
    let ask = re_plan(&small);
    let there = rig.walk(ask);
    assert_eq!(there.answer[0], 1, "there is a way");
    let count = instructions(there.ticks);
    assert_eq!(instructions(rig.walk(ask).ticks), count, "counts repeat exactly");
    let crowd = crowd();
    assert!(rig.take_pack(&packed(&crowd)), "the pack is taken");
    let (mut most, mut stack) = (0, there.stack);
    for ask in walks(&crowd).into_iter().map(|ask| WalkAsk { prop: 9, nudge: StageVector::new(0.1, -0.1), ..ask }) {
        let there = rig.walk(ask);
        println!(
            "{}: line {}: {} instructions, {:?}",
            board.name(),
            ask.line,
            instructions(there.ticks),
            &there.answer[..2]
        );
        most = most.max(instructions(there.ticks));
        stack = stack.max(there.stack);
    }
    rig.finish();
    (count, most, stack)
}

#[test]
fn planning_stays_within_its_instructions_and_stack() {
    let budget = Budgets::load().walk;
    for (board, (small, crowd, stack)) in Board::on_each(measure) {
        within(&format!("{} re-plan", board.name()), small, budget.re_plan);
        within(&format!("{} re-plan, crowded", board.name()), crowd, budget.re_plan_crowded);
        within(&format!("{} stack of planning", board.name()), stack.into(), budget.stack);
    }
}

#[test]
fn a_question_without_a_prop_moves_nothing() {
    let mut show = demo(DEMOS[0]);
    let before = show.clone();
    for ask in walks(&show) {
        walk_here(&mut show, WalkAsk { prop: NO_PROP, ..ask }, &mut WalkRoom::new());
    }
    assert_eq!(before, show);
}
