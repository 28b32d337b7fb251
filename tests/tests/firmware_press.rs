//! From a key to the floor, on the real image: keys go down at the box's pins while it paints, and the emulator counts
//! instructions until the row port has the row, against `firmware/budgets.toml`. An instruction counts as one cycle of
//! the slower part, which it is not: memory that waits makes it longer, two at once make it shorter.

use underfoot_core::panel::Key;
use underfoot_tests::device::budgets::{Budgets, within};
use underfoot_tests::device::log::deepest_stack;
use underfoot_tests::device::pins::{HAPTIC, NANOS, Pins, Record, What};
use underfoot_tests::device::scratch::Scratch;
use underfoot_tests::device::shows::{DEMOS, demo};
use underfoot_tests::device::{Board, Powered};

/// A key counts when it has been down for 30 ms.
const SETTLES_MS: u64 = 30;
/// Looks at the keys are at most so far apart: two milliseconds, and what `firmware_keys` allows beside.
const LOOKS_MS: u64 = 3;
/// What somebody who presses OFF may wait for darkness, milliseconds.
const DARK_MS: u64 = 100;
/// A press that is long: 0.6 s after it settled.
const LONG_MS: u64 = 700;
/// Longer than GO is locked after an advance.
const LOCKED_MS: u64 = 500;
/// A press that is not long.
const SHORT_MS: u64 = 100;
/// OFF is pressed so often, each time later in a picture, milliseconds.
const PRESSES: u64 = 6;
const LATER_MS: u64 = 11;

/// What was measured on a board, instructions.
#[derive(Clone, Copy, Debug)]
struct Measured {
    first_row: u64,
    next_row: u64,
    look: u64,
    poll: u64,
    dark: u64,
    stack: u64,
}

/// Instructions from a key that has settled to something later.
fn settled(down: Record, later: Record) -> u64 {
    down.until(&later).saturating_sub(SETTLES_MS * 1_000_000 / NANOS)
}

/// Out of OFF by the keys: the two steps.
fn light(pins: &mut Pins) -> (Record, Record) {
    pins.press(Key::Hold, LONG_MS);
    let from = pins.records.len();
    let down = pins.touch(Key::Go.bit());
    let row = pins.wait(from, |what| what == What::Light(true));
    pins.touch(0);
    (down, row)
}

/// GO while pictures are painted: until the first row with light of a picture that began after the press was taken.
fn go_on(pins: &mut Pins) -> u64 {
    pins.pass(LOCKED_MS);
    let from = pins.records.len();
    let down = pins.touch(Key::Go.bit());
    pins.wait(from, |what| matches!(what, What::Levels(levels) if levels & HAPTIC != 0));
    let taken = pins.records.iter().skip(from).position(|r| matches!(r.what, What::Levels(l) if l & HAPTIC != 0));
    let row = pins.wait(from + taken.expect("a tick that was felt"), |what| what == What::Row);
    pins.touch(0);
    settled(down, row)
}

/// OFF some milliseconds after the first row of a picture.
fn off(pins: &mut Pins, after_ms: u64) -> u64 {
    pins.pass(after_ms);
    let from = pins.records.len();
    let down = pins.touch(Key::Off.bit());
    let dark = pins.wait(from, |what| what == What::Light(false));
    pins.pass(SHORT_MS);
    pins.touch(0);
    // The next key is not to go down while this one may still bounce.
    pins.pass(SHORT_MS);
    settled(down, dark)
}

fn measure(board: Board) -> Measured {
    let folder = Scratch::new();
    drop(Powered::with(board, &folder, &demo(DEMOS[0])));
    // With the show in its flash: looks are far apart while a show is sent, too.
    let mut powered = Powered::up(board, &folder);
    let pins = powered.pins();
    pins.wait(0, |what| what == What::Ready);
    pins.pass(SHORT_MS);
    let (down, row) = light(pins);
    let first_row = settled(down, row);
    let next_row = (0..4).map(|_| go_on(pins)).max().unwrap_or(0);
    pins.press(Key::Off, SHORT_MS);
    let dark = (0..PRESSES).map(|i| {
        light(pins);
        off(pins, i * LATER_MS)
    });
    let dark = dark.max().unwrap_or(0);
    let (look, poll) = (pins.longest(What::Longest), pins.longest(What::Poll));
    pins.pass(1_100);
    Measured { first_row, next_row, look, poll, dark, stack: deepest_stack(&powered.log()) }
}

#[test]
fn keys_are_answered_in_time() {
    let budgets = Budgets::load();
    let (press, clock) = (budgets.press, budgets.frames.m4f_hz);
    for (board, measured) in Board::on_each(measure) {
        let name = board.name();
        println!("{name}: {measured:?}");
        within(&format!("{name}: first row after GO on a dark floor"), measured.first_row, press.first_row);
        within(&format!("{name}: first row after GO in the middle of a picture"), measured.next_row, press.next_row);
        within(&format!("{name}: between two looks at the keys"), measured.look, press.look);
        within(&format!("{name}: between two polls"), measured.poll, press.poll);
        within(&format!("{name}: darkness after OFF in the middle of a picture"), measured.dark, press.dark);
        within(&format!("{name}: stack"), measured.stack, budgets.box_image.stack);
    }
    let milliseconds = |instructions: u64| (instructions * 1_000).div_ceil(clock);
    // A press may just miss a look, and settle just after a poll has taken the looks before it.
    let worst = SETTLES_MS + 2 * LOOKS_MS + milliseconds(press.dark.max(press.poll));
    // A poll that answers poses does little else, and draws nothing.
    assert!(budgets.places.update_all_covered + press.first_row < press.poll, "the longest poll draws the display");
    println!("OFF to dark: at most {worst} ms at {clock} Hz");
    assert!(worst <= DARK_MS, "{worst} ms");
    let rate = demo(DEMOS[0]).frame_rate;
    let rate = f64::from(rate.num) / f64::from(rate.den);
    let most = [clock, budgets.frames.m7_hz].map(|hz| press.next_row as f64 * rate / hz as f64);
    println!("GO to the first row: {most:.2?} frames of {rate} a second");
    assert!(most[0] <= 3.0 && most[1] <= 1.0, "{most:?}");
}
