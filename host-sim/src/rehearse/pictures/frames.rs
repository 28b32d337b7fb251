//! The floor of a cue's transition as numbered pictures in one file, for whoever cuts them into a video.

use underfoot_core::look::View;

use super::asked::{Asked, Unserved};
use super::studio::Answer;
use super::{export, floor};
use crate::rehearse::plan::script::lasts_s;
use crate::render::Easel;
use crate::render::png::{self, Kind};
use crate::render::stored_zip::StoredZip;

/// Longest transition, seconds.
const LONGEST_S: f32 = 60.0;
/// Most pictures of each canvas.
const MOST: usize = 3_000;
/// What is new in a picture has come after so many seconds.
const COMES_S: f32 = 0.5;

/// One picture of each canvas for each frame, from the cue's start to the frame at which everything has ended.
pub(super) fn zipped(asked: &Asked, easel: &mut Easel) -> Result<Answer, Unserved> {
    asked.only(&["cue", "fps", "mode"])?;
    let ((id, _), mode) = (asked.must_cue()?, asked.mode()?);
    let (count, fps) = count(asked)?;
    let mut zip = StoredZip::default();
    let canvases = &asked.project().show.canvases;
    let mut last: Vec<Option<(View, Vec<u8>)>> = vec![None; canvases.len()];
    for frame in 0..count {
        let view = floor::at(asked.project(), id, frame as f32 / fps, mode);
        for (i, canvas) in canvases.iter().enumerate() {
            let folder = if canvases.len() > 1 { format!("{}/", canvas.name) } else { String::new() };
            let bytes = painted(asked, easel, (&view, i), &mut last)?;
            zip.add(&format!("{folder}frame-{frame:05}.png"), bytes).map_err(Unserved::failed)?;
        }
    }
    Ok(export::named(asked, Answer::shown("application/zip", zip.finish()), "frames.zip"))
}

/// Frames, and how many there are in a second.
fn count(asked: &Asked) -> Result<(usize, f32), Unserved> {
    let (project, (id, cue)) = (asked.project(), asked.must_cue()?);
    let rate = project.show.frame_rate;
    let own = rate.num as f32 / rate.den as f32;
    let fps: f32 = asked.number("fps", 1.0..=120.0, "pictures in a second")?.unwrap_or(own);
    let lasts_s = lasts_s(project, id.index(), cue);
    if lasts_s > LONGEST_S {
        let words = format!("the cue is at work for {lasts_s:.1} s: frames are made of up to {LONGEST_S} s");
        return Err(Unserved::failed(words));
    }
    // New things come in half a second even where nothing moves.
    let count = (lasts_s.max(COMES_S) * fps).ceil() as usize + 1;
    if count > MOST {
        let fits = (MOST - 1) as f32 / lasts_s.max(COMES_S);
        return Err(Unserved::bad(format!("fps {fps} makes {count} frames, {MOST} at most: take {fits:.0} or fewer")));
    }
    Ok((count, fps))
}

/// One canvas as PNG; what has not changed since the last frame is not painted again.
fn painted<'l>(
    asked: &Asked,
    easel: &mut Easel,
    (view, canvas): (&View, usize),
    last: &'l mut [Option<(View, Vec<u8>)>],
) -> Result<&'l [u8], Unserved> {
    let Some(slot) = last.get_mut(canvas) else { return Ok(&[]) };
    if slot.as_ref().is_none_or(|(old, _)| old != view) {
        let pixels = easel.paint(&asked.project().show, view, canvas).map_err(Unserved::failed)?;
        *slot = Some((*view, png::quick_canvas(&pixels, Kind::Black).map_err(Unserved::failed)?));
    }
    Ok(slot.as_ref().map_or(&[], |(_, bytes)| bytes))
}
