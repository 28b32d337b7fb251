//! The panel of the box's real image: keys and contacts at its pins, and what people see and feel of it. The display's
//! picture is held, pixel by pixel, to the one that a desk draws of the face that has to be there.

use embedded_graphics::pixelcolor::{IntoStorage, Rgb565, RgbColor};
use underfoot_core::engine::{Fault, Faults, Gate, Reveal, Source};
use underfoot_core::pack::ShowCode;
use underfoot_core::panel::{CueTag, Face, Key, Role, display};
use underfoot_core::show::{CueId, Mode, Show};
use underfoot_tests::device::pins::{LAMP, RELAY, STOP, What};
use underfoot_tests::device::scratch::Scratch;
use underfoot_tests::device::shows::{demo, packed};
use underfoot_tests::device::{Board, Powered};
use underfoot_tests::faces::Screen;

/// A long press and a short one, and longer than GO is locked after an advance, milliseconds.
const LONG_MS: u64 = 700;
const SHORT_MS: u64 = 100;
const LOCKED_MS: u64 = 500;

/// A box in hand, and the show in it.
struct Hand {
    powered: Powered,
    show: Show,
    code: [u8; 4],
}

impl Hand {
    fn new(folder: &Scratch) -> Self {
        let show = *demo("clock-cabinet");
        let pack = packed(&show);
        let crc = pack.last_chunk().map_or(0, |bytes| u32::from_le_bytes(*bytes));
        Self { powered: Powered::with(Board::An386, folder, &show), code: ShowCode::of_crc(crc).bytes(), show }
    }

    /// The face of OFF that leads to `next`.
    fn off(&self, next: u8) -> Face {
        Face {
            mode: Mode::Off,
            mode_left_s: None,
            now: None,
            next: CueTag::of(&self.show, CueId(next)),
            back: None,
            code: Some(self.code),
            gate: Gate::Off,
            hold: false,
            reveal: Reveal::Unknown,
            by: None,
            faults: Faults::NONE,
            controller: 1,
            role: Role::Alone,
            line: None,
        }
    }

    /// The face of a cue in the middle of the show, lit by a key.
    fn lit(&self, cue: u8) -> Face {
        let tag = |id| CueTag::of(&self.show, CueId(id));
        let (mode, by) = (self.show.cues[usize::from(cue)].mode, Some(Source::Keys));
        let back = cue.checked_sub(1).and_then(tag);
        Face { mode, now: tag(cue), next: tag(cue + 1), back, gate: Gate::Open, by, ..self.off(cue) }
    }

    /// Waits until the display shows `face`, and nothing else.
    fn sees(&mut self, face: &Face) {
        let mut screen = Screen::new(display::COLOR, Rgb565::BLACK);
        let Ok(()) = display::color(face, &mut screen);
        let drawn: Vec<u16> = screen.pixels.into_iter().map(IntoStorage::into_storage).collect();
        for _ in 0..40 {
            if self.powered.screen() == drawn {
                return;
            }
            self.powered.pins().pass(25);
        }
        let differ = self.powered.screen().iter().zip(&drawn).filter(|(there, here)| there != here).count();
        panic!("{differ} pixels of the display are not those of {face:#?}\n{:#?}", self.powered.log());
    }

    fn press(&mut self, key: Key, milliseconds: u64) {
        self.powered.pins().press(key, milliseconds);
    }

    /// The levels of the outputs, as told last.
    fn outputs(&mut self) -> u8 {
        let pins = self.powered.pins();
        pins.pass(SHORT_MS);
        let levels = pins.records.iter().rev().find_map(|record| match record.what {
            What::Levels(levels) => Some(levels),
            _ => None,
        });
        levels.unwrap_or(0)
    }

    fn is_light(&mut self) -> bool {
        let last = self.powered.pins().records.iter().rev().find_map(|record| match record.what {
            What::Light(light) => Some(light),
            _ => None,
        });
        last.unwrap_or(false)
    }

    /// Out of OFF, in two steps.
    fn light(&mut self) {
        self.press(Key::Hold, LONG_MS);
        self.press(Key::Go, SHORT_MS);
    }

    /// Longer than GO is locked.
    fn rest(&mut self) {
        self.powered.pins().pass(LOCKED_MS);
    }
}

#[test]
fn keys_move_the_box_and_the_display_says_so() {
    let folder = Scratch::new();
    let mut hand = Hand::new(&folder);
    hand.sees(&hand.off(0));
    assert_eq!(hand.outputs(), 0, "lamp dark, relay open");

    hand.press(Key::Go, SHORT_MS);
    assert!(!hand.is_light(), "one step does not leave OFF");
    hand.light();
    hand.sees(&hand.lit(0));
    assert_eq!(hand.outputs() & (LAMP | RELAY), LAMP, "a steady lamp");
    assert!(hand.is_light());

    hand.rest();
    hand.press(Key::Go, SHORT_MS);
    hand.sees(&hand.lit(1));
    hand.rest();
    hand.press(Key::Back, SHORT_MS);
    hand.sees(&hand.lit(1));
    hand.press(Key::Back, LONG_MS);
    hand.sees(&hand.lit(0));
    hand.press(Key::Hold, SHORT_MS);
    hand.sees(&Face { hold: true, ..hand.lit(0) });
    hand.press(Key::Hold, SHORT_MS);
    hand.sees(&hand.lit(0));

    hand.powered.pins().touch(Key::Clear.bit());
    hand.sees(&Face { reveal: Reveal::Clear, ..hand.lit(0) });
    assert_eq!(hand.outputs() & RELAY, RELAY, "the relay is closed while the key is down");
    hand.powered.pins().touch(0);
    hand.sees(&hand.lit(0));
    assert_eq!(hand.outputs() & RELAY, 0);

    hand.press(Key::Off, SHORT_MS);
    assert!(!hand.is_light());
    assert_eq!(hand.outputs() & LAMP, 0);
}

#[test]
fn a_stop_contact_keeps_the_floor_dark_and_a_power_cut_needs_one_long_press() {
    let folder = Scratch::new();
    let mut hand = Hand::new(&folder);
    hand.light();
    hand.rest();
    hand.powered.pins().touch(STOP);
    hand.rest();
    assert!(!hand.is_light());
    hand.sees(&Face { gate: Gate::Stopped, by: Some(Source::Keys), ..hand.off(0) });
    for key in [Key::Hold, Key::Go] {
        hand.powered.pins().touch(STOP | key.bit());
        hand.powered.pins().pass(LONG_MS);
        hand.powered.pins().touch(STOP);
        hand.powered.pins().pass(SHORT_MS);
    }
    assert!(!hand.is_light(), "nothing leaves OFF");
    hand.powered.pins().touch(0);
    hand.rest();
    assert!(!hand.is_light(), "an open contact lights nothing");
    hand.light();
    assert!(hand.is_light());
    hand.rest();
    hand.press(Key::Go, SHORT_MS);
    hand.sees(&hand.lit(1));
    hand.rest();

    let Hand { powered, show, code } = hand;
    drop(powered);
    let mut hand = Hand { powered: Powered::up(Board::An386, &folder), show, code };
    hand.powered.pins().wait(0, |what| what == What::Ready);
    let faults = Faults::NONE.with(Fault::Power, true);
    hand.sees(&Face { gate: Gate::Held, faults, ..hand.off(1) });
    hand.press(Key::Go, SHORT_MS);
    assert!(!hand.is_light(), "a short press restores nothing");
    hand.press(Key::Go, LONG_MS);
    hand.powered.pins().wait(0, |what| what == What::Light(true));
    hand.sees(&hand.lit(1));
}
