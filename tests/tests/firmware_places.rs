//! Bit identity of zones and of the live answer: the same pack and the same question give the same bytes on the host,
//! on an emulated Cortex-M4F and on an emulated Cortex-M7.

use std::collections::BTreeSet;

use underfoot_core::show::{CueId, Show};
use underfoot_firmware::rig::live::{CameraAsk, UNANSWERED};
use underfoot_firmware::rig::zone::{ZoneAsk, ZoneRoom};
use underfoot_tests::device::questions::{hidden_here, random_poses, zone_here, zones};
use underfoot_tests::device::shows::{DEMOS, demo, packed};
use underfoot_tests::device::{Board, Profile, Rig};
use underfoot_tests::dice::Dice;

struct Case {
    show: Box<Show>,
    zones: Vec<(ZoneAsk, Vec<u8>)>,
    live: Vec<(CueId, Vec<CameraAsk>, u64)>,
}

/// All zones of the small stage and some of the others, and random poses over all.
fn cases() -> Vec<Case> {
    let (mut dice, mut room) = (Dice::new(0x20E5), Box::new(ZoneRoom::new()));
    let mut all = Vec::new();
    for name in DEMOS {
        let show = demo(name);
        let mut asks = zones(&show);
        if name != DEMOS[0] {
            asks = (0..SOME).map(|_| asks[dice.below(asks.len())]).collect();
        }
        let zones = asks.into_iter().map(|ask| (ask, zone_here(&show, ask, &mut room))).collect();
        let live = (0..POSES).map(|_| random_poses(&mut dice, &show));
        let live = live.map(|(cue, cameras)| (cue, cameras.clone(), hidden_here(&show, cue, &cameras))).collect();
        all.push(Case { show, zones, live });
    }
    all
}

/// Zones of each larger demo.
const SOME: usize = 2;
/// Live answers of each demo.
const POSES: usize = 100;

fn compare(board: Board, cases: &[Case]) {
    let mut rig = Rig::start(board, Profile::Release, false, 400);
    for case in cases {
        assert!(rig.take_pack(&packed(&case.show)), "{board:?} takes the pack");
        for (ask, answer) in &case.zones {
            assert_eq!(&rig.zone(*ask).answer, answer, "{board:?}: {ask:?} of {}", case.show.title);
        }
        for (cue, cameras, marks) in &case.live {
            let there = rig.hidden(cue.0, cameras).marks;
            assert_eq!(there, *marks, "{board:?}: {cue:?} of {} from {cameras:?}", case.show.title);
        }
    }
    rig.finish();
}

#[test]
fn the_questions_are_worth_comparing() {
    worth_comparing(&cases());
}

fn worth_comparing(cases: &[Case]) {
    let answers: BTreeSet<_> = cases.iter().flat_map(|c| &c.zones).map(|(_, answer)| answer).collect();
    let kinds: Vec<u8> = answers.iter().map(|answer| answer[0]).collect();
    println!(
        "zones {} of which {} are different; kinds {kinds:?}",
        cases.iter().map(|c| c.zones.len()).sum::<usize>(),
        answers.len()
    );
    assert!(answers.len() >= 6 && kinds.contains(&1) && !kinds.contains(&0), "{kinds:?}");
    let live: Vec<u64> = cases.iter().flat_map(|c| &c.live).map(|(_, _, marks)| *marks).collect();
    let some = live.iter().filter(|&&marks| marks != 0).count();
    let kinds = live.iter().collect::<BTreeSet<_>>().len();
    println!("{} live answers of {kinds} kinds, {some} with marks hidden", live.len());
    assert!(
        !live.contains(&UNANSWERED) && some * 5 > live.len() && some * 10 < live.len() * 9 && kinds > 10,
        "{some} {kinds}"
    );
}

#[test]
fn host_m4f_and_m7_trace_the_same_zones_and_hide_the_same_marks() {
    let cases = cases();
    worth_comparing(&cases);
    Board::on_each(|board| compare(board, &cases));
}

#[test]
fn another_question_has_another_answer() {
    let cases = cases();
    let mut rig = Rig::start(Board::An386, Profile::Release, false, 200);
    assert!(rig.take_pack(&packed(&cases[0].show)));
    let ask = cases[0].zones[0].0;
    let other = ZoneAsk { mark: (ask.mark + 1) % cases[0].show.marks.len() as u8, ..ask };
    assert_ne!(rig.zone(ask).answer, rig.zone(other).answer);
    assert_eq!(rig.zone(ZoneAsk { cue: 200, ..ask }).answer, [0]);
    assert_eq!(rig.hidden(200, &cases[0].live[0].1).marks, UNANSWERED);
    rig.finish();
}
