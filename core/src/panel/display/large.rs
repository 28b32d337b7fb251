//! The picture of 320 × 240 pixels, in doubled pixels: 160 × 120.

use embedded_graphics::draw_target::DrawTarget;

use super::super::face::Face;
use super::foot;
use super::lettering::Type;
use super::pen::{Ink, Inks, Pen};
use super::words;
use crate::engine::{Gate, Reveal};

const WIDE: i32 = 160;
/// Tops of the lines, doubled pixels.
const HEAD: i32 = 1;
const NOW: i32 = 24;
const RULE: i32 = 38;
const NEXT: i32 = 42;
const NAME: i32 = 74;
const FIRST: i32 = 99;
const LAST: i32 = 112;
/// Width of the pointer, and what stands between it and the number.
const POINTER: i32 = 19;
/// Where what stands right of the number begins, at least.
const ASIDE: i32 = 112;

pub(super) fn draw<D>(face: &Face, pen: &mut Pen<'_, D>) -> Result<(), D::Error>
where
    D: DrawTarget,
    D::Color: Inks,
{
    head(face, pen)?;
    now(face, pen)?;
    pen.fill((0, WIDE), (RULE, RULE + 1), Ink::Quiet)?;
    next(face, pen)?;
    first(face, pen)?;
    foot::draw(face, pen, (LAST, WIDE))
}

/// Cue and mode; in OFF what OFF it is.
fn head<D>(face: &Face, pen: &mut Pen<'_, D>) -> Result<(), D::Error>
where
    D: DrawTarget,
    D::Color: Inks,
{
    let fit = |words: &str, room: i32| {
        if Type::LARGE_HEAD.width(words) <= room { Type::LARGE_HEAD } else { Type::LARGE_HEAD_NARROW }
    };
    let mode = words::mode_with_time(face);
    if face.gate != Gate::Open {
        pen.text((&mode, Type::LARGE_HEAD), (0, HEAD), WIDE, Ink::Bright)?;
        return match words::gate(face.gate) {
            Some(gate) => {
                pen.plate((&gate, Type::LARGE_HEAD), (WIDE - Type::LARGE_HEAD.width(&gate) - 8, WIDE), HEAD, 1)
            }
            None => Ok(()),
        };
    }
    let number = face.now.as_ref().map(|cue| words::number(cue.number)).unwrap_or_default();
    let number_kind = fit(&number, 56);
    let kind = fit(&mode, WIDE - number_kind.width(&number) - 6);
    let start = WIDE - kind.width(&mode);
    pen.text((&number, number_kind), (0, HEAD), start - 6, Ink::Bright)?;
    pen.text((&mode, kind), (start, HEAD), WIDE, Ink::Bright)?;
    Ok(())
}

fn now<D>(face: &Face, pen: &mut Pen<'_, D>) -> Result<(), D::Error>
where
    D: DrawTarget,
    D::Color: Inks,
{
    match (&face.line, face.gate, &face.now) {
        (Some(line), ..) => pen.plate((line, Type::NAME), (0, WIDE), NOW, 0),
        (None, Gate::Open, Some(cue)) => {
            pen.text(("NOW", Type::SMALL), (0, NOW + 3), WIDE, Ink::Quiet)?;
            pen.text((&cue.name, Type::NAME), (24, NOW), WIDE - 24, Ink::Bright)?;
            Ok(())
        }
        _ => {
            pen.text((words::dark(face), Type::NAME), (0, NOW), WIDE, Ink::Bright)?;
            Ok(())
        }
    }
}

/// What GO does: the biggest thing.
fn next<D>(face: &Face, pen: &mut Pen<'_, D>) -> Result<(), D::Error>
where
    D: DrawTarget,
    D::Color: Inks,
{
    let Some(cue) = &face.next else {
        let word = words::no_next(face);
        pen.text((word, Type::HUGE), (0, NEXT), WIDE, Ink::Bright)?;
        if face.code.is_some() {
            pen.text(("this was the last cue", Type::NAME), (0, NAME), WIDE, Ink::Bright)?;
            aside(face, pen)?;
        }
        return Ok(());
    };
    let leads = matches!(face.gate, Gate::Open | Gate::Armed { .. } | Gate::Held);
    pen.pointer((0, NEXT), 30, leads)?;
    let number = words::number(cue.number);
    let kind = [Type::HUGE, Type::HUGE_NARROW].into_iter().find(|k| POINTER + k.width(&number) <= ASIDE - 4);
    pen.text((&number, kind.unwrap_or(Type::HUGE_SLIM)), (POINTER, NEXT), ASIDE - 4 - POINTER, Ink::Bright)?;
    aside(face, pen)?;
    let (one, two) = Type::NAME.wrap(&cue.name, WIDE);
    pen.text((one, Type::NAME), (0, NAME), WIDE, Ink::Bright)?;
    pen.text((two, Type::NAME), (0, NAME + 12), WIDE, Ink::Bright)?;
    Ok(())
}

/// Right of the number: HOLD, and where BACK leads.
fn aside<D>(face: &Face, pen: &mut Pen<'_, D>) -> Result<(), D::Error>
where
    D: DrawTarget,
    D::Color: Inks,
{
    pen.text(("NEXT", Type::SMALL), (ASIDE, NEXT), WIDE - ASIDE, Ink::Quiet)?;
    if face.hold && face.gate == Gate::Open {
        pen.plate(("HOLD", Type::HEAD), (ASIDE, WIDE), NEXT + 10, 1)?;
    }
    if let (Some(back), Gate::Open) = (&face.back, face.gate) {
        let end = pen.text(("BACK ", Type::SMALL), (ASIDE, NEXT + 24), WIDE - ASIDE, Ink::Quiet)?;
        pen.text((&words::number(back.number), Type::SMALL), (end, NEXT + 24), WIDE - end, Ink::Quiet)?;
    }
    Ok(())
}

/// What to press, or the word to graphics.
fn first<D>(face: &Face, pen: &mut Pen<'_, D>) -> Result<(), D::Error>
where
    D: DrawTarget,
    D::Color: Inks,
{
    let kind = Type::NAME;
    if let Some(prompt) = words::prompt(face) {
        return pen.plate((prompt, kind), (0, WIDE), FIRST, 0);
    }
    let reveal = words::reveal(face.reveal);
    if face.reveal == Reveal::NotClear {
        return pen.plate((reveal, kind), (0, WIDE), FIRST, 0);
    }
    let ink = if face.reveal == Reveal::Clear { Ink::Bright } else { Ink::Quiet };
    pen.text((reveal, kind), (0, FIRST), WIDE, ink)?;
    Ok(())
}
