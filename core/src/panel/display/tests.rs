use std::vec;
use std::vec::Vec;

use embedded_graphics::Pixel;
use embedded_graphics::geometry::{OriginDimensions, Point};
use embedded_graphics::pixelcolor::PixelColor;

use super::lettering::Type;
use super::*;
use crate::engine::{Fault, Faults, Gate, Reveal, Source};
use crate::panel::{CueTag, Role};
use crate::show::{CueId, Mode};

/// A display that counts how often each of its pixels is drawn after a clear.
struct Counting<C> {
    size: Size,
    pixels: Vec<C>,
    touched: Vec<u32>,
    outside: u32,
}

impl<C: PixelColor> Counting<C> {
    fn new(size: Size, color: C) -> Self {
        let count = (size.width * size.height) as usize;
        Self { size, pixels: vec![color; count], touched: vec![0; count], outside: 0 }
    }
}

impl<C> OriginDimensions for Counting<C> {
    fn size(&self) -> Size {
        self.size
    }
}

impl<C: PixelColor> DrawTarget for Counting<C> {
    type Color = C;
    type Error = core::convert::Infallible;

    fn draw_iter<I: IntoIterator<Item = Pixel<C>>>(&mut self, pixels: I) -> Result<(), Self::Error> {
        for Pixel(Point { x, y }, color) in pixels {
            if x < 0 || y < 0 || x >= self.size.width as i32 || y >= self.size.height as i32 {
                self.outside += 1;
                continue;
            }
            let at = (y as u32 * self.size.width + x as u32) as usize;
            self.pixels[at] = color;
            self.touched[at] += 1;
        }
        Ok(())
    }

    fn clear(&mut self, color: C) -> Result<(), Self::Error> {
        self.pixels.fill(color);
        self.touched.fill(0);
        Ok(())
    }
}

const MODES: [Mode; 7] = [Mode::Build, Mode::Brief, Mode::Standby, Mode::Air, Mode::Reset, Mode::Off, Mode::Worklight];
const GATES: [Gate; 6] =
    [Gate::Open, Gate::Off, Gate::Armed { left_s: 10 }, Gate::Armed { left_s: 1 }, Gate::Held, Gate::Stopped];
const NUMBERS: [u32; 8] = [0, 100, 450, 1250, 10_025, 99_999, 999_999, u32::MAX];
const NAMES: [&str; 6] = [
    "",
    "Go",
    "Presenter walks on",
    "Wwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwww",
    "A very, very long name of forty letters.",
    "\u{c4}\u{d6}\u{dc} \u{159}\u{17e}\u{142}\u{2019}\u{2013} \u{3b1}\u{3b2}\u{3b3}",
];
const SOURCES: [Option<Source>; 6] =
    [None, Some(Source::Keys), Some(Source::Desk), Some(Source::Slots), Some(Source::Timecode), Some(Source::Crew)];

/// Faces one after another: every value of every field beside every value of its neighbour somewhere.
fn faces() -> impl Iterator<Item = Face> {
    let tag = |i: usize| {
        let name = NAMES[i / 3 % NAMES.len()].try_into().unwrap();
        (!i.is_multiple_of(5)).then(|| CueTag { id: CueId(0), number: NUMBERS[i % NUMBERS.len()], name })
    };
    (0..3_000usize).map(move |i| {
        // A step with no factor in common with any list, so that all combinations come in turn.
        let pick =
            |n: usize, of: usize| ((i.wrapping_mul(2_654_435_761).wrapping_add(i >> n) >> n) & 0xFFFF) % of.max(1);
        let gate = GATES[i % GATES.len()];
        let mode = if gate == Gate::Open { MODES[i / 6 % MODES.len()] } else { Mode::Off };
        Face {
            mode,
            mode_left_s: (mode == Mode::Reset).then_some([0, 59, 3_599, u16::MAX][pick(3, 4) % 4]),
            now: if gate == Gate::Open { tag(i / 7) } else { None },
            next: tag(i / 11),
            back: tag(i / 13),
            code: (!i.is_multiple_of(17)).then_some(*b"WM4K"),
            gate,
            hold: i / 2 % 2 == 0,
            reveal: [Reveal::Clear, Reveal::NotClear, Reveal::Unknown][i % 3],
            by: SOURCES[i / 5 % SOURCES.len()],
            faults: Faults::from_bits((i.wrapping_mul(40_503) >> 3) as u16 * u16::from(i % 3 > 0)),
            controller: [0, 1, 2, u8::MAX][i / 3 % 4],
            role: [Role::Alone, Role::Drives, Role::Follows][i / 4 % 3],
            line: (i % 23 == 0).then(|| "A moved 1.25 m: 0.12 sho".try_into().unwrap()),
        }
    })
}

/// A pixel that is drawn twice belongs to two things; one outside to something that does not fit.
#[test]
fn nothing_lies_over_another_thing_and_nothing_leaves_the_display() {
    let mut small = Counting::new(MONO, BinaryColor::Off);
    let mut large = Counting::new(COLOR, Rgb565::new(0, 0, 0));
    for face in faces() {
        mono(&face, &mut small).unwrap();
        assert!(small.outside == 0 && small.touched.iter().all(|&n| n <= 1), "{face:?}");
        color(&face, &mut large).unwrap();
        assert!(large.outside == 0 && large.touched.iter().all(|&n| n <= 1), "{face:?}");
    }
}

#[test]
fn every_word_of_ours_fits_whole_and_has_its_letters() {
    let mut seen = 0;
    for face in faces() {
        let mode = words::mode_with_time(&face);
        let mut fits = |words: &str, kind: Type, width: i32| {
            seen += 1;
            assert!(kind.cut(words, width).1, "{words} in {width}");
            assert!(words.chars().all(|c| kind.has(c)), "{words}");
        };
        if face.mode_left_s != Some(u16::MAX) {
            fits(&mode, Type::HEAD, 128);
            fits(&mode, Type::LARGE_HEAD_NARROW, 160);
        }
        if let Some(gate) = words::gate(face.gate) {
            fits(&gate, Type::HEAD, 128 - 8 - Type::HEAD.width("OFF") - 4);
            fits(&gate, Type::LARGE_HEAD, 160 - 8 - Type::LARGE_HEAD.width("OFF") - 4);
        }
        for words in [words::dark(&face), words::prompt(&face).unwrap_or("")] {
            fits(words, Type::SMALL, 128);
            fits(words, Type::NAME, 160);
        }
        // HOLD stands on the same line.
        fits(words::reveal(face.reveal), Type::SMALL, 128 - 26 - 4);
        fits(words::reveal(face.reveal), Type::NAME, 160);
        let right = words::health(&face).unwrap_or_else(|| words::role(&face));
        let left = Type::SMALL.width(words::code(&face)) + 5;
        fits(words::control(&face), Type::SMALL, 128 - left - 2 - Type::SMALL.width(&right) - 4);
        fits(words::no_next(&face), Type::HUGE, 168);
    }
    assert!(seen > 20_000);
}

/// 5 mm on a display of 128 × 64 with 0.43 mm from pixel to pixel (2.4 inch, common practice), and on one of 320 × 240 with
/// 0.153 mm (2.4 inch, common practice). Measured on what is drawn, not on what the type says of itself.
#[test]
fn cue_numbers_and_modes_are_at_least_5_mm_high() {
    fn height<C: PixelColor>(
        screen: &Counting<C>,
        dark: C,
        rows: core::ops::Range<usize>,
        columns: core::ops::Range<usize>,
    ) -> usize {
        let wide = screen.size.width as usize;
        let lit = |row: &usize| columns.clone().any(|x| screen.pixels[row * wide + x] != dark);
        let first = rows.clone().find(lit).unwrap();
        rows.rev().find(lit).unwrap() + 1 - first
    }
    let tag = |number| CueTag { id: CueId(0), number, name: "".try_into().unwrap() };
    let mut checked = 0;
    for (mode, number) in MODES.into_iter().flat_map(|mode| NUMBERS[..6].iter().map(move |&n| (mode, n))) {
        let open = faces().find(|face| face.gate == Gate::Open && face.line.is_none()).unwrap();
        let face =
            Face { mode, now: Some(tag(number)), next: Some(tag(number)), mode_left_s: None, hold: false, ..open };
        let mut small = Counting::new(MONO, BinaryColor::Off);
        mono(&face, &mut small).unwrap();
        let off = BinaryColor::Off;
        for px in [
            height(&small, off, 0..14, 0..40),
            height(&small, off, 0..14, 90..128),
            height(&small, off, 24..48, 13..40),
        ] {
            assert!(px as f32 * 0.43 >= 5.0, "{mode:?} {number}: {px} pixels");
        }
        let mut large = Counting::new(COLOR, Rgb565::new(0, 0, 0));
        color(&face, &mut large).unwrap();
        let black = Rgb565::new(0, 0, 0);
        for px in [
            height(&large, black, 0..46, 0..60),
            height(&large, black, 0..46, 240..320),
            height(&large, black, 80..146, 38..90),
        ] {
            assert!(px as f32 * 0.153 >= 5.0, "{mode:?} {number}: {px} pixels");
        }
        checked += 1;
    }
    assert_eq!(checked, 42);
}

#[test]
fn long_names_are_cut_after_a_letter_and_short_ones_never() {
    let kind = Type::NAME;
    assert_eq!(kind.cut("Clock rises", 66), ("Clock rises", true));
    assert_eq!(kind.cut("Clock rises", 65), ("Clock ris", false));
    assert_eq!(kind.cut("Clock, rises", 48), ("Clock", false), "no comma before the points");
    assert_eq!(kind.wrap("Presenter walks on", 60), ("Presenter", "walks on"));
    assert_eq!(kind.wrap("Presenterwalkson", 60), ("Presenterw", "alkson"));
    assert_eq!(kind.wrap("On", 60), ("On", ""));
}

#[test]
fn numbers_are_said_as_crew_say_them() {
    let said: Vec<_> = [0, 100, 450, 425, 1205, 10_000].into_iter().map(words::number).collect();
    assert_eq!(said, ["0", "1", "4.5", "4.25", "12.05", "100"]);
}

#[test]
fn faults_are_named_and_counted() {
    let all = |faults: &[Fault]| faults.iter().fold(Faults::NONE, |all, &fault| all.with(fault, true));
    let face = |faults| Face { faults, ..faces().next().unwrap() };
    assert_eq!(words::health(&face(Faults::NONE)), None);
    assert_eq!(words::health(&face(all(&[Fault::Desk]))).unwrap(), "! DESK");
    assert_eq!(words::health(&face(all(&[Fault::Desk, Fault::Tally, Fault::Port]))).unwrap(), "! TALLY +2");
}

/// States that people have to tell apart differ in more than a few pixels, on a display with no shades.
#[test]
fn states_look_different() {
    let open = faces().find(|face| face.gate == Gate::Open && face.next.is_some() && face.code.is_some()).unwrap();
    let off = Face { gate: Gate::Off, mode: Mode::Off, now: None, ..open.clone() };
    let states = [
        Face { hold: false, reveal: Reveal::Unknown, faults: Faults::NONE, ..open.clone() },
        Face { hold: true, reveal: Reveal::Unknown, faults: Faults::NONE, ..open.clone() },
        Face { hold: false, reveal: Reveal::NotClear, faults: Faults::NONE, ..open.clone() },
        Face { hold: false, reveal: Reveal::Clear, faults: Faults::NONE, ..open.clone() },
        Face { hold: false, reveal: Reveal::Unknown, faults: Faults::NONE.with(Fault::Tally, true), ..open },
        Face { gate: Gate::Armed { left_s: 9 }, ..off.clone() },
        Face { gate: Gate::Held, ..off.clone() },
        Face { gate: Gate::Stopped, ..off.clone() },
        Face { code: None, next: None, ..off.clone() },
        off,
    ];
    let drawn: Vec<_> = states
        .iter()
        .map(|face| {
            let mut screen = Counting::new(MONO, BinaryColor::Off);
            mono(face, &mut screen).unwrap();
            screen.pixels
        })
        .collect();
    for (i, one) in drawn.iter().enumerate() {
        for other in &drawn[..i] {
            let different = one.iter().zip(other).filter(|(a, b)| a != b).count();
            assert!(different >= 40, "state {i}: {different}");
        }
    }
}
