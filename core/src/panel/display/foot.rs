//! The last line of either display: show code, who has control, health.

use embedded_graphics::draw_target::DrawTarget;

use super::super::face::Face;
use super::lettering::Type;
use super::pen::{Ink, Inks, Pen};
use super::words;

/// Draws the line at `top` of a display that is `wide`, in the pen's pixels.
pub(super) fn draw<D>(face: &Face, pen: &mut Pen<'_, D>, (top, wide): (i32, i32)) -> Result<(), D::Error>
where
    D: DrawTarget,
    D::Color: Inks,
{
    let kind = Type::SMALL;
    let health = words::health(face);
    let is_broken = health.is_some();
    let right = health.unwrap_or_else(|| words::role(face));
    let start = wide - kind.width(&right) - if is_broken { 4 } else { 0 };
    let end = pen.text((words::code(face), kind), (0, top), wide, Ink::Bright)? + 5;
    pen.text((words::control(face), kind), (end, top), start - end - 2, Ink::Quiet)?;
    if is_broken {
        return pen.plate((&right, kind), (start, wide), top, 0);
    }
    pen.text((&right, kind), (start, top), wide, Ink::Quiet)?;
    Ok(())
}
