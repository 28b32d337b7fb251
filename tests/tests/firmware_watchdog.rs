//! What ends a box that hangs or stops: the watchdog, or its own handlers. A debugger breaks the real image while its
//! floor is lit; the floor is dark at once, and the box comes back by itself and says why.

use underfoot_core::checksum::CRC;
use underfoot_core::engine::Gate;
use underfoot_core::link::{Answer, Happened, Request, Start};
use underfoot_core::show::{CueId, Mode};
use underfoot_sim::link::Step;
use underfoot_tests::device::gdb::function;
use underfoot_tests::device::pins::{Record, What};
use underfoot_tests::device::scratch::Scratch;
use underfoot_tests::device::shows::demo;
use underfoot_tests::device::{Board, Image, Powered, Profile, image};

/// `b .`, and `udf #0`: Arm v7-M Architecture Reference Manual, A7.7.12 and A7.7.194.
const BRANCH_TO_ITSELF: [u8; 2] = [0xFE, 0xE7];
const UNDEFINED: [u8; 2] = [0x00, 0xDE];

/// A function that every poll of the box goes through.
fn in_every_poll() -> u32 {
    function(&image(Image::Box, Board::An386, Profile::Release), &["7machine", "6Device", "4work"])
}

/// A box with a lit floor.
fn lit(folder: &Scratch) -> Powered {
    let mut powered = Powered::with(Board::An386, folder, &demo("clock-cabinet"));
    let mut session = powered.connect();
    session.done(Step::Command, &Request::Arm).expect("armed");
    session.done(Step::Command, &Request::Go { to: CueId(0) }).expect("a cue");
    powered.pins().wait(0, |what| what == What::Light(true));
    // What was lit is kept in flash a moment later.
    powered.pins().pass(1_000);
    powered
}

/// Instructions from reset to the main loop that may pass: a small part of the 5 s in which the box has to be back.
const BOOT: u64 = 10_000_000;

/// Puts instructions into every poll of a lit box and returns why it says that it started again. The floor is dark
/// before that, the mode is OFF after it, and one deliberate press brings the cue back.
fn broken_by(instructions: &[u8]) -> Start {
    let folder = Scratch::new();
    let mut powered = lit(&folder);
    let mut debugger = powered.debugger();
    let from = powered.pins().records.len();
    debugger.write(FREE, &location());
    debugger.write(in_every_poll(), instructions);
    debugger.detach();
    powered.pins().wait(from, |what| what == What::Light(false));
    let ready = powered.pins().wait(from, |what| what == What::Ready);
    // The clock starts anew with the box.
    let boot = Record { ticks: u32::MAX, ..ready }.until(&ready);
    assert!(boot < BOOT, "{boot} instructions to the main loop");
    let mut session = powered.connect();
    let Answer::Outlook(outlook) = session.ask(Step::Command, &Request::Outlook).expect("an outlook") else { panic!() };
    assert_eq!((outlook.mode, outlook.now), (Mode::Off, None), "OFF after any restart");
    assert_eq!((outlook.gate, outlook.next), (Gate::Held, Some(CueId(0))), "and back with one press");
    let told = session.ask(Step::Command, &Request::Events { after: 0 }).expect("events");
    let Answer::Events(events) = told else { panic!("{told:?}") };
    let why = events.entries.iter().flatten().find_map(|entry| match entry.what {
        Happened::Started(why) => Some(why),
        _ => None,
    });
    why.expect("why it started")
}

/// Where nobody looks in the external RAM of the board: behind what stands for flash and the display.
const FREE: u32 = 0x2100_0000 + 15 * 1024 * 1024;
const FILE: &str = "some/file.rs";
const LINE: u32 = 4711;

/// A `core::panic::Location` at [`FREE`], with the text behind it: two words for the text, the line, the column.
fn location() -> Vec<u8> {
    let words = [FREE + 16, FILE.len() as u32, LINE, 1];
    [&words.map(u32::to_le_bytes).concat(), FILE.as_bytes()].concat()
}

/// Instructions at `at` that leave for `function` with r0 to r3 all [`FREE`]: whichever of them the location has to be in.
/// Encodings: the same manual, A7.7.43 (LDR of a literal), A7.7.77 (MOV), A7.7.20 (BX).
fn leave_for(function: u32, at: u32) -> Vec<u8> {
    const NOP: u16 = 0xBF00;
    // `ldr r0, [pc, #8]`, `mov r1, r0`, `mov r2, r0`, `mov r3, r0`, `ldr r4, [pc, #4]`, `bx r4`, the two words.
    let code = [0x4802_u16, 0x4601, 0x4602, 0x4603, 0x4C01, 0x4720];
    let first = (at % 4 == 2).then_some(NOP);
    let code = first.into_iter().chain(code).flat_map(u16::to_le_bytes);
    code.chain([FREE, function | 1].into_iter().flat_map(u32::to_le_bytes)).collect()
}

#[test]
fn a_hang_is_ended_by_the_watchdog_with_a_dark_floor() {
    assert_eq!(broken_by(&BRANCH_TO_ITSELF), Start::Watchdog);
}

#[test]
fn a_processor_that_cannot_go_on_says_where() {
    assert_eq!(broken_by(&UNDEFINED), Start::Fault { at: in_every_poll() });
}

#[test]
fn a_program_that_finds_itself_wrong_says_in_which_line() {
    let panics = function(&image(Image::Box, Board::An386, Profile::Release), &["core", "panicking", "panic_fmt"]);
    let file = CRC.checksum(FILE.as_bytes());
    assert_eq!(broken_by(&leave_for(panics, in_every_poll())), Start::Panic { file, line: LINE });
}
