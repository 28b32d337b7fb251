//! Faces of the box's display in every state, and pictures of them for people.

use embedded_graphics::Pixel;
use embedded_graphics::draw_target::DrawTarget;
use embedded_graphics::geometry::{OriginDimensions, Point, Size};
use embedded_graphics::pixelcolor::{BinaryColor, PixelColor, Rgb565, RgbColor};
use underfoot_core::engine::{Fault, Faults, Gate, Reveal, Source};
use underfoot_core::panel::{CueTag, Face, Role, display};
use underfoot_core::show::{CueId, Mode};
use underfoot_sim::render::Picture;

/// A display in memory.
#[derive(Clone, Debug)]
pub struct Screen<C> {
    size: Size,
    /// Its pixels, row by row.
    pub pixels: Vec<C>,
}

impl<C: PixelColor> Screen<C> {
    /// A display of one colour.
    pub fn new(size: Size, color: C) -> Self {
        let count = (size.width * size.height) as usize;
        Self { size, pixels: vec![color; count] }
    }
}

impl<C> OriginDimensions for Screen<C> {
    fn size(&self) -> Size {
        self.size
    }
}

impl<C: PixelColor> DrawTarget for Screen<C> {
    type Color = C;
    type Error = std::convert::Infallible;

    fn draw_iter<I: IntoIterator<Item = Pixel<C>>>(&mut self, pixels: I) -> Result<(), Self::Error> {
        for Pixel(Point { x, y }, color) in pixels {
            if x < 0 || y < 0 || x >= self.size.width as i32 || y >= self.size.height as i32 {
                continue;
            }
            let at = (y as u32 * self.size.width + x as u32) as usize;
            self.pixels[at] = color;
        }
        Ok(())
    }
}

/// The face of a lit floor; the others differ from it.
pub fn standby() -> Face {
    Face {
        mode: Mode::Standby,
        mode_left_s: None,
        now: Some(tag(3, 450, "Host crosses")),
        next: Some(tag(4, 500, "Clock rises")),
        back: Some(tag(2, 300, "Welcome")),
        code: Some(*b"4F2A"),
        gate: Gate::Open,
        hold: false,
        reveal: Reveal::Unknown,
        by: Some(Source::Keys),
        faults: Faults::NONE,
        controller: 1,
        role: Role::Alone,
        line: None,
    }
}

/// The tag of a cue.
pub fn tag(id: u8, number: u32, name: &str) -> CueTag {
    CueTag { id: CueId(id), number, name: name.try_into().unwrap_or_default() }
}

/// Every state of the display that people have to tell apart, by name.
pub fn all() -> Vec<(&'static str, Face)> {
    let lit = standby();
    let off = Face { mode: Mode::Off, now: None, back: None, gate: Gate::Off, next: lit.now.clone(), ..lit.clone() };
    let mode = |mode| Face { mode, ..lit.clone() };
    let faults = |list: &[Fault]| list.iter().fold(Faults::NONE, |all, &f| all.with(f, true));
    vec![
        ("standby", lit.clone()),
        ("off", off.clone()),
        ("armed", Face { gate: Gate::Armed { left_s: 8 }, ..off.clone() }),
        ("held", Face { gate: Gate::Held, faults: faults(&[Fault::Power]), ..off.clone() }),
        ("stopped", Face { gate: Gate::Stopped, ..off.clone() }),
        ("no show", Face { next: None, code: None, by: None, ..off.clone() }),
        ("bad show", Face { next: None, code: None, by: None, faults: faults(&[Fault::Show]), ..off.clone() }),
        ("build", mode(Mode::Build)),
        ("brief", mode(Mode::Brief)),
        ("air", Face { reveal: Reveal::Clear, by: Some(Source::Timecode), ..mode(Mode::Air) }),
        ("reset", Face { mode_left_s: Some(85), by: Some(Source::Desk), ..mode(Mode::Reset) }),
        ("worklight", Face { now: Some(tag(3, 1250, "Guest in the middle")), ..mode(Mode::Worklight) }),
        ("hold", Face { hold: true, reveal: Reveal::NotClear, ..mode(Mode::Air) }),
        ("faults", Face { faults: faults(&[Fault::Tracking, Fault::Desk, Fault::Tally]), ..mode(Mode::Air) }),
        ("end", Face { next: None, role: Role::Drives, ..lit.clone() }),
        (
            "long names",
            Face {
                now: Some(tag(3, 10_025, "Presenter walks round the grandfather's")),
                next: Some(tag(4, 10_050, "Presenter turns towards the pendulum, ta")),
                by: Some(Source::Slots),
                mode: Mode::Worklight,
                role: Role::Follows,
                ..lit.clone()
            },
        ),
        ("checked", Face { line: "A moved: 0.12 m short".try_into().ok(), ..lit.clone() }),
        ("accents", Face { next: Some(tag(4, 1200, "Caf\u{e9} fa\u{e7}ade \u{2013} na\u{ef}ve")), ..lit }),
    ]
}

/// The picture of a face on the small display, each pixel `scale` pixels wide.
pub fn mono(face: &Face, scale: usize) -> Picture {
    let mut screen = Screen::new(display::MONO, BinaryColor::Off);
    let _ = display::mono(face, &mut screen);
    picture(&screen, scale, |c| if c.is_on() { [255, 176, 40] } else { [12, 10, 8] })
}

/// The same of the large display.
pub fn color(face: &Face, scale: usize) -> Picture {
    let mut screen = Screen::new(display::COLOR, Rgb565::BLACK);
    let _ = display::color(face, &mut screen);
    picture(&screen, scale, |c| [c.r() << 3 | c.r() >> 2, c.g() << 2 | c.g() >> 4, c.b() << 3 | c.b() >> 2])
}

/// Pictures side by side on grey.
pub fn sheet(pictures: &[Picture], across: usize) -> Picture {
    const GAP: usize = 12;
    let (wide, tall) = pictures.first().map_or((0, 0), |p| (p.width(), p.height()));
    let down = pictures.len().div_ceil(across);
    let mut sheet = Picture::new(across * (wide + GAP) + GAP, down * (tall + GAP) + GAP, [70, 70, 70]);
    for (i, picture) in pictures.iter().enumerate() {
        sheet.lay(picture, GAP + i % across * (wide + GAP), GAP + i / across * (tall + GAP));
    }
    sheet
}

fn picture<C: PixelColor>(screen: &Screen<C>, scale: usize, rgb: impl Fn(C) -> [u8; 3]) -> Picture {
    let (wide, tall) = (screen.size.width as usize, screen.size.height as usize);
    let mut picture = Picture::new(wide * scale, tall * scale, [0; 3]);
    for y in 0..tall * scale {
        for x in 0..wide * scale {
            if let Some(pixel) = picture.at_mut(x, y) {
                *pixel = rgb(screen.pixels[y / scale * wide + x / scale]);
            }
        }
    }
    picture
}
