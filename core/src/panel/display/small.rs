//! The picture of 128 × 64 pixels.

use embedded_graphics::draw_target::DrawTarget;

use super::super::face::Face;
use super::foot;
use super::lettering::Type;
use super::pen::{Ink, Inks, Pen};
use super::words;
use crate::engine::{Gate, Reveal};

const WIDE: i32 = 128;
/// Tops of the lines, pixels.
const HEAD: i32 = 1;
const NOW: i32 = 14;
const NEXT: i32 = 24;
const FIRST: i32 = 48;
const LAST: i32 = 56;
/// Width of the pointer, and what stands between it and the number.
const POINTER: i32 = 13;
/// Widest number in wide digits.
const WIDE_NUMBER: i32 = 58;

pub(super) fn draw<D>(face: &Face, pen: &mut Pen<'_, D>) -> Result<(), D::Error>
where
    D: DrawTarget,
    D::Color: Inks,
{
    head(face, pen)?;
    now(face, pen)?;
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
    let kind = Type::HEAD;
    let right = words::mode_with_time(face);
    if face.gate == Gate::Open {
        let end = WIDE - kind.width(&right);
        if let Some(cue) = &face.now {
            pen.text((&words::number(cue.number), kind), (0, HEAD), end - 4, Ink::Bright)?;
        }
        pen.text((&right, kind), (end, HEAD), WIDE, Ink::Bright)?;
        return Ok(());
    }
    pen.text((&right, kind), (0, HEAD), WIDE, Ink::Bright)?;
    match words::gate(face.gate) {
        Some(gate) => pen.plate((&gate, kind), (WIDE - kind.width(&gate) - 8, WIDE), HEAD, 1),
        None => Ok(()),
    }
}

fn now<D>(face: &Face, pen: &mut Pen<'_, D>) -> Result<(), D::Error>
where
    D: DrawTarget,
    D::Color: Inks,
{
    let kind = Type::SMALL;
    let end = match (&face.line, face.gate, &face.now) {
        (Some(line), ..) => return pen.plate((line, kind), (0, WIDE), NOW, 0),
        (None, Gate::Open, Some(cue)) => {
            let end = pen.text(("NOW ", kind), (0, NOW), WIDE, Ink::Quiet)?;
            pen.text((&cue.name, kind), (end, NOW), WIDE - end, Ink::Bright)?
        }
        _ => pen.text((words::dark(face), kind), (0, NOW), WIDE, Ink::Bright)?,
    };
    debug_assert!(end <= WIDE);
    Ok(())
}

/// What GO does: the biggest thing.
fn next<D>(face: &Face, pen: &mut Pen<'_, D>) -> Result<(), D::Error>
where
    D: DrawTarget,
    D::Color: Inks,
{
    let Some(cue) = &face.next else {
        let word = words::no_next(face);
        let end = pen.text((word, Type::BIG), (0, NEXT + 2), WIDE, Ink::Bright)?;
        if face.code.is_some() {
            pen.text(("last cue", Type::NAME), (end + 6, NEXT + 6), WIDE - end - 6, Ink::Bright)?;
        }
        return Ok(());
    };
    let leads = matches!(face.gate, Gate::Open | Gate::Armed { .. } | Gate::Held);
    pen.pointer((0, NEXT + 2), 20, leads)?;
    let number = words::number(cue.number);
    let kind = if Type::BIG.width(&number) <= WIDE_NUMBER { Type::BIG } else { Type::BIG_NARROW };
    let end = pen.text((&number, kind), (POINTER, NEXT + 2), WIDE - POINTER, Ink::Bright)? + 3;
    let (one, two) = Type::NAME.wrap(&cue.name, WIDE - end);
    let top = if two.is_empty() { NEXT + 6 } else { NEXT };
    pen.text((one, Type::NAME), (end, top), WIDE - end, Ink::Bright)?;
    pen.text((two, Type::NAME), (end, top + 12), WIDE - end, Ink::Bright)?;
    Ok(())
}

/// What to press, or HOLD and the word to graphics.
fn first<D>(face: &Face, pen: &mut Pen<'_, D>) -> Result<(), D::Error>
where
    D: DrawTarget,
    D::Color: Inks,
{
    let kind = Type::SMALL;
    if let Some(prompt) = words::prompt(face) {
        return pen.plate((prompt, kind), (0, WIDE), FIRST, 0);
    }
    if face.hold {
        pen.plate(("HOLD", kind), (0, 26), FIRST, 0)?;
    }
    let reveal = words::reveal(face.reveal);
    let start = WIDE - kind.width(reveal);
    if face.reveal == Reveal::NotClear {
        return pen.plate((reveal, kind), (start - 4, WIDE), FIRST, 0);
    }
    pen.text((reveal, kind), (start, FIRST), WIDE, Ink::Quiet)?;
    Ok(())
}
