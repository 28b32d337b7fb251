//! A box that hears another one of its show: what it takes over, keeps through a power cut, and passes on.

use std::vec::Vec;

use super::{World, flash, packed};
use crate::crew::{Beat, Change, Seat, Stamped, Stand};
use crate::engine::Shared;
use crate::link::{Answer, Piece, Refusal, Request};
use crate::ports::{Door, Station};
use crate::show::{CueId, MarkId, Mode, Show};
use crate::test_support::mock_flash::MockFlash;
use crate::test_support::samples;
use crate::units::Duration;

/// The other box of the pair, which is in charge.
const MATE: Seat = Seat { controller: 1, backup: true };

fn show() -> Show {
    let mut show = samples::small();
    show.control.backup = true;
    show
}

/// A main box with a show that has just got power again; its backup is in charge.
fn after_power(flash: MockFlash) -> World {
    let mut world = World::connected(flash);
    pass(&mut world, 5);
    world
}

fn stored() -> MockFlash {
    let mut world = World::connected(flash());
    assert_eq!(world.upload(&packed(&show())), Answer::Done);
    world.device.into_ports().flash
}

fn pass(world: &mut World, polls: u64) {
    for _ in 0..polls {
        world.now = world.now.after(Duration::from_millis(1));
        world.device.poll(world.now);
    }
}

fn beat(world: &World, sequence: u32, changes: &[Stamped]) -> Beat {
    let stand = Stand { in_charge: true, seasoned: true, epoch: 9 };
    let state =
        Shared { mode: Mode::Brief, running: true, cue: Some(CueId(1)), since_us: 5_000_000, ..Shared::POWER_UP };
    let pack = world.device.works.pack_crc.expect("a show");
    let changes = changes.iter().copied().collect();
    Beat { seat: MATE, pack, sequence, decides: stand, drives: stand, state, changes, ..Beat::default() }
}

fn hear(world: &mut World, beat: &Beat) {
    let mut bytes = [0; crate::crew::BEAT_BYTES];
    let len = beat.write(&mut bytes).unwrap();
    let from = Station { address: [10, 62, 0, 2], port: crate::ports::CREW_PORT };
    let letter = (Door::Crew, from, bytes[..len].to_vec());
    world.device.works.net.incoming.borrow_mut().push_back(letter);
    pass(world, 1);
}

/// Changes in the beats since the last time this was asked.
fn told(world: &World) -> Vec<Change> {
    let sent: Vec<_> = world.device.works.net.outgoing.borrow_mut().drain(..).collect();
    let beats = sent.iter().filter(|(door, ..)| *door == Door::Crew).map(|(.., bytes)| Beat::read(bytes).unwrap());
    beats.flat_map(|beat| beat.changes.into_iter().map(|word| word.change).collect::<Vec<_>>()).collect()
}

#[test]
fn a_cue_that_began_before_this_box_got_power_is_as_old_here_as_there() {
    let mut world = after_power(stored());
    let mate = beat(&world, 1, &[]);
    hear(&mut world, &mate);
    let state = world.device.state();
    assert_eq!(state.shown(), Some(CueId(1)));
    let age = BoxTime::time(world.now).since(state.since).as_micros();
    assert!((5_000_000..5_010_000).contains(&age), "{age} us");
}

type BoxTime = super::BoxUnderTest;

#[test]
fn a_box_that_gets_power_later_darkens_nobody() {
    let mut world = after_power(stored());
    pass(&mut world, 1_500);
    assert!(world.device.crew().decides(), "nobody else is there");
    assert_eq!(world.ask(Request::Arm), Answer::Done);
    assert_eq!(world.go(0), Answer::Done);
    let mut mate = crate::crew::Crew::new(MATE);
    let roster = crate::crew::Roster::of(&world.device.works.memory.show);
    mate.begin(MATE, world.device.works.pack_crc.map(|pack| (pack, roster)), world.now);
    for _ in 0..5 {
        let said = mate.beat(Shared::POWER_UP, world.now).expect("a beat is due");
        hear(&mut world, &said);
        pass(&mut world, 50);
    }
    assert_eq!(world.device.state().shown(), Some(CueId(0)));
}

#[test]
fn what_another_box_decided_outlives_a_power_cut_here() {
    let mut world = after_power(stored());
    assert_eq!(world.device.works.held(), None);
    let mate = beat(&world, 1, &[]);
    hear(&mut world, &mate);
    pass(&mut world, 1);
    let world = after_power(world.device.into_ports().flash);
    assert_eq!(world.device.works.held(), Some(CueId(1)));
    assert!(world.device.state().held, "one GO restores it");
}

#[test]
fn what_people_change_at_another_box_is_changed_here() {
    let mut world = after_power(stored());
    let at = world.device.works.memory.show.marks[0].at;
    let tile = Change::Tile { block: 0, column: 0, row: 0, dead: true };
    let moved = Change::Mark { id: 0, dx_mm: 100, dy_mm: -50 };
    let nowhere = Change::Prop { id: 255, dx_mm: i16::MIN, dy_mm: i16::MIN };
    let words = [(3, nowhere), (2, moved), (1, tile)].map(|(stamp, change)| Stamped { stamp, change });
    let dead = world.device.works.memory.show.tile_faults.len();
    for sequence in 1..3 {
        let mate = beat(&world, sequence, &words);
        hear(&mut world, &mate);
        let show = &world.device.works.memory.show;
        assert_eq!(show.tile_faults.len(), dead + 1);
        let to = show.marks[0].at;
        assert!((to.x - at.x - 0.1).abs() < 1e-3 && (to.y - at.y + 0.05).abs() < 1e-3, "{at:?} {to:?}");
    }
    // Back where it was, to the last bit.
    let back = [Stamped { stamp: 4, change: Change::Mark { id: 0, dx_mm: 0, dy_mm: 0 } }];
    let mate = beat(&world, 3, &back);
    hear(&mut world, &mate);
    assert_eq!(world.device.works.memory.show.marks[0].at, at);
}

#[test]
fn what_people_change_here_is_told_to_the_others_and_taken_back_too() {
    let mut world = after_power(stored());
    let piece = Piece::Mark(MarkId(0));
    told(&world);
    assert!(matches!(world.ask(Request::Nudge { what: piece, dx_mm: 30, dy_mm: 0 }), Answer::Nudged(_)));
    assert!(matches!(world.ask(Request::Tile { block: 0, column: 0, row: 0, dead: true }), Answer::Tiled(_)));
    let words = told(&world);
    assert!(words.contains(&Change::Mark { id: 0, dx_mm: 30, dy_mm: 0 }));
    assert!(words.contains(&Change::Tile { block: 0, column: 0, row: 0, dead: true }));
    assert!(matches!(world.ask(Request::PutBack { what: None }), Answer::Nudged(_)));
    pass(&mut world, 60);
    let words = told(&world);
    assert!(words.contains(&Change::Mark { id: 0, dx_mm: 0, dy_mm: 0 }));
    assert!(!words.contains(&Change::Mark { id: 0, dx_mm: 30, dy_mm: 0 }));
}

#[test]
fn the_farthest_step_that_a_message_can_say_is_refused_like_any_too_far() {
    let mut world = after_power(stored());
    let step = Request::Nudge { what: Piece::Mark(MarkId(0)), dx_mm: i16::MIN, dy_mm: i16::MIN };
    assert!(matches!(world.ask(step), Answer::Refused(Refusal::TooFar { .. })));
}

/// Whether the display says that the desk is missed.
fn misses_desk(world: &World) -> bool {
    let shown = world.panel.shown.borrow();
    shown.last().is_some_and(|face| face.faults.has(crate::engine::Fault::Desk))
}

#[test]
fn a_desk_that_talks_to_another_box_is_not_missed_here() {
    let mut world = after_power(stored());
    let by_desk = |world: &World, sequence: u32, desk: bool| {
        let mut mate = beat(world, sequence, &[]);
        (mate.state.by, mate.desk) = (Some(crate::engine::Source::Desk), desk);
        mate
    };
    for (desk, missed) in [(true, false), (false, true), (true, false)] {
        for _ in 0..70 {
            let mate = by_desk(&world, world.now.as_millis() as u32, desk);
            hear(&mut world, &mate);
            pass(&mut world, 49);
        }
        assert_eq!(misses_desk(&world), missed, "3.5 s of a box that hears a desk: {desk}");
    }
}

#[test]
fn a_box_says_for_a_quarter_of_a_second_that_a_desk_talked_to_it() {
    let mut world = after_power(stored());
    let says = |world: &World| {
        let sent: Vec<_> = world.device.works.net.outgoing.borrow_mut().drain(..).collect();
        let beats = sent.iter().filter(|(door, ..)| *door == Door::Crew);
        beats.map(|(.., bytes)| Beat::read(bytes).unwrap().desk).collect::<Vec<_>>()
    };
    pass(&mut world, 500);
    says(&world);
    assert!(matches!(world.ask(Request::Report), Answer::Report(_)));
    pass(&mut world, 200);
    let said = says(&world);
    assert!(said.len() >= 3 && said.iter().skip(1).all(|desk| *desk), "{said:?}");
    pass(&mut world, 100);
    says(&world);
    // What the other box says of its desk is not passed on as this one's own.
    for sequence in 0..20 {
        let mate = Beat { desk: true, ..beat(&world, sequence, &[]) };
        hear(&mut world, &mate);
        pass(&mut world, 24);
    }
    let said = says(&world);
    assert!(said.len() >= 5 && said.iter().all(|desk| !desk), "{said:?}");
}
