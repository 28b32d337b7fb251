//! What a box should show, what it does show, and where the two differ.

use std::collections::BTreeMap;

use underfoot_core::device::Memory;
use underfoot_core::device::picture::{self, Canvases};
use underfoot_core::link::message::{ROWS, SPAN_BYTES, SPANS};
use underfoot_core::link::{Answer, Refusal, Request};
use underfoot_core::look::View;
use underfoot_core::look::view_bytes::view_to_bytes;
use underfoot_core::paint::{Rgba, RowTarget, Span};
use underfoot_core::show::Show;

use super::Where;
use crate::link::{SendError, Session, Step};
use crate::render::CanvasPixels;
use crate::sim::Leds;

/// How often a box that paints is asked again for the same spans.
const TRIES: u32 = 400;

/// Rows of canvases, by the canvas's index in the show.
pub(super) type Rows = BTreeMap<u8, CanvasPixels>;

/// Memory to paint with as a box does.
pub(super) struct Painter(Box<Memory>);

impl Painter {
    /// Fresh memory.
    pub(super) fn new() -> Self {
        Self(Box::default())
    }

    /// What a box with this controller's number should show of a view, and the checksum of its rows.
    pub(super) fn paint(&mut self, show: &Show, controller: u8, view: &View) -> Option<(u32, Rows)> {
        let Memory { scene, work, .. } = &mut *self.0;
        let mut leds = Leds::default();
        let canvases = Canvases::RowsOf(controller);
        let crc = picture::paint(show, canvases, view, (scene, work.painter()), &mut leds).ok()?;
        let all = (0..show.canvases.len() as u8).filter_map(|i| Some((i, leds.canvas(i)?))).collect();
        Some((crc, all))
    }
}

/// Why there are no spans.
pub(super) enum NoSpans {
    /// The line, or an answer that makes no sense.
    Line(SendError),
    /// Words for people.
    Words(&'static str),
    /// Something else has to be done first, or nobody wants to know any more.
    Stopped,
}

impl From<SendError> for NoSpans {
    fn from(error: SendError) -> Self {
        Self::Line(error)
    }
}

/// What a box works out for a view, span by span, on the canvases of `like`. `goes_on` is asked again and again, with the
/// rows that are here and those that there are.
pub(super) fn fetch(
    session: &mut Session,
    view: &View,
    like: &Rows,
    mut goes_on: impl FnMut(usize, usize) -> bool,
) -> Result<Rows, NoSpans> {
    let view = view_to_bytes(view);
    let rows = like.values().map(CanvasPixels::height).sum();
    let (mut all, mut here) = (Rows::new(), 0);
    for (&canvas, due) in like {
        let mut pixels = CanvasPixels::sized(due.width(), due.height());
        for row in (0..due.height() as u16).step_by(usize::from(ROWS)) {
            let mut skip = 0;
            loop {
                if !goes_on(here + usize::from(row), rows) {
                    return Err(NoSpans::Stopped);
                }
                let got = spans(session, &Request::Spans { view: &view, canvas, row, skip }, &mut pixels)?;
                if usize::from(got) < SPANS {
                    break;
                }
                skip += got;
            }
        }
        here += due.height();
        all.insert(canvas, pixels);
    }
    Ok(all)
}

/// Asks for some spans until the box is not painting, and lays them; how many there were.
fn spans(session: &mut Session, request: &Request<'_>, pixels: &mut CanvasPixels) -> Result<u16, NoSpans> {
    for _ in 0..TRIES {
        match session.ask(Step::Picture, request)? {
            Answer::Spans(bytes) => {
                let (spans, rest) = bytes.as_slice().as_chunks::<SPAN_BYTES>();
                if !rest.is_empty() {
                    return Err(SendError::Confused(Step::Picture).into());
                }
                spans.iter().for_each(|span| lay(span, pixels));
                return Ok(spans.len() as u16);
            }
            Answer::Refused(Refusal::Busy) => {}
            Answer::Refused(why) => return Err(SendError::Refused(Step::Picture, why).into()),
            _ => return Err(SendError::Confused(Step::Picture).into()),
        }
    }
    Err(NoSpans::Words(
        "it paints all the time and has none left for questions: ask for a mode that stands still, as BRIEF",
    ))
}

fn lay(&[r0, r1, s0, s1, e0, e1, r, g, b, a]: &[u8; SPAN_BYTES], pixels: &mut CanvasPixels) {
    let number = |low, high| u16::from_le_bytes([low, high]);
    let (row, start, end) = (number(r0, r1), number(s0, s1), number(e0, e1));
    let fits = start <= end && usize::from(end) <= pixels.width() && usize::from(row) < pixels.height();
    if fits {
        let Ok(()) = pixels.begin_row(row, start, end);
        let Ok(()) = pixels.span(Span { start, end, color: Rgba { r, g, b, a } });
    }
}

/// True for every pixel that differs; canvases that are missing differ wholly.
pub(super) fn differing(due: &Rows, got: &Rows) -> BTreeMap<u8, Vec<bool>> {
    let of = |(&i, due): (&u8, &CanvasPixels)| {
        let differs = match got.get(&i) {
            Some(got) if got.pixels().len() == due.pixels().len() => {
                due.pixels().iter().zip(got.pixels()).map(|(due, got)| due != got).collect()
            }
            _ => vec![true; due.pixels().len()],
        };
        (i, differs)
    };
    due.iter().map(of).collect()
}

/// Where pixels differ; `None` when none does.
pub(super) fn within(differs: &[bool], width: usize) -> Option<Where> {
    let width = width.max(1);
    let at = || differs.iter().enumerate().filter(|(_, differs)| **differs).map(|(i, _)| [i % width, i / width]);
    let (first, last) = (at().next()?, at().next_back()?);
    let columns = || at().map(|[column, _]| column);
    Some(Where { first, columns: [columns().min()?, columns().max()?], rows: [first[1], last[1]] })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_differs_lies_in_the_least_rectangle() {
        let mut differs = [false; 12];
        assert_eq!(within(&differs, 4), None);
        (differs[5], differs[10]) = (true, true);
        let two = Where { first: [1, 1], columns: [1, 2], rows: [1, 2] };
        assert_eq!(within(&differs, 4), Some(two));
        differs[3] = true;
        assert_eq!(within(&differs, 4), Some(Where { first: [3, 0], columns: [1, 3], rows: [0, 2] }));
    }
}
