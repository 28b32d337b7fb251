//! What a box should show, what it does show, and where the two differ.

use std::collections::BTreeMap;
use std::fmt;

use underfoot_core::device::Memory;
use underfoot_core::device::picture::{self, Canvases};
use underfoot_core::link::message::{ROWS, SPAN_BYTES, SPANS};
use underfoot_core::link::{Answer, Refusal, Request};
use underfoot_core::look::View;
use underfoot_core::look::view_bytes::view_to_bytes;
use underfoot_core::paint::{Rgba, RowTarget, Span};
use underfoot_core::show::Show;

use crate::link::{SendError, Session, Step};
use crate::render::CanvasPixels;
use crate::sim::Leds;

/// How often a box that paints is asked again for the same spans.
const TRIES: u32 = 400;

/// Canvases by their index in the show.
pub(super) type Canvas = BTreeMap<u8, CanvasPixels>;

/// Memory to paint with as a box does.
pub(super) struct Painter(Box<Memory>);

impl Painter {
    /// Fresh memory.
    pub(super) fn new() -> Self {
        Self(Box::default())
    }

    /// What a box with this controller's number should show of a view, and the checksum of its rows.
    pub(super) fn paint(&mut self, show: &Show, controller: u8, view: &View) -> Option<(u32, Canvas)> {
        let Memory { scene, work, .. } = &mut *self.0;
        let mut leds = Leds::default();
        let canvases = Canvases::RowsOf(controller);
        let crc = picture::paint(show, canvases, view, (scene, work.painter()), &mut leds).ok()?;
        let all = (0..show.canvases.len() as u8).filter_map(|i| Some((i, leds.canvas(i)?))).collect();
        Some((crc, all))
    }
}

/// A box that gives no spans.
#[derive(Debug)]
pub(super) struct NoSpans(String);

impl fmt::Display for NoSpans {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl From<SendError> for NoSpans {
    fn from(error: SendError) -> Self {
        Self(error.to_string())
    }
}

/// What a box works out for a view, span by span, on the canvases of `like`.
pub(super) fn fetch(session: &mut Session, view: &View, like: &Canvas) -> Result<Canvas, NoSpans> {
    let view = view_to_bytes(view);
    let mut all = Canvas::new();
    for (&canvas, due) in like {
        let mut pixels = CanvasPixels::sized(due.width(), due.height());
        for row in (0..due.height() as u16).step_by(usize::from(ROWS)) {
            let mut skip = 0;
            loop {
                let got = spans(session, &Request::Spans { view: &view, canvas, row, skip }, &mut pixels)?;
                if usize::from(got) < SPANS {
                    break;
                }
                skip += got;
            }
        }
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
                    return Err(NoSpans("the box's spans end in the middle".into()));
                }
                spans.iter().for_each(|span| lay(span, pixels));
                return Ok(spans.len() as u16);
            }
            Answer::Refused(Refusal::Busy) => {}
            other => return Err(NoSpans(format!("the box gives no spans: {other:?}"))),
        }
    }
    Err(NoSpans("the box paints all the time and has none left for questions".into()))
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
pub(super) fn differing(due: &Canvas, got: &Canvas) -> BTreeMap<u8, Vec<bool>> {
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
