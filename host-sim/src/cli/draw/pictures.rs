//! Painting the planned pictures and writing them.

use std::path::{Path, PathBuf};

use underfoot_core::look::View;
use underfoot_core::show::{CueId, Mode, Show};

use super::{Plan, crew, in_shot, ways};
use crate::cli::Refusal;
use crate::cli::pack::pack_of;
use crate::cli::progress::Progress;
use crate::findings::cue_number;
use crate::project::Project;
use crate::render::frame::{Captions, Label, Line, MONITOR_PX, floor_picture};
use crate::render::png;
use crate::render::{CanvasPixels, Easel, Over, Picture};

/// What a briefing picture has beside the floor's own look.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Brief {
    /// Over the floor's own look.
    pub over: Vec<Over>,
    /// Below the picture.
    pub lines: Vec<Line>,
    /// Beside places on the floor.
    pub labels: Vec<Label>,
}

/// Drive of pictures that people read on a monitor.
const FULL_LEVEL: u8 = 255;

/// Writes every picture of a plan and returns their paths, in their order.
///
/// # Errors
/// [`Refusal`] when a scene is too large or a file cannot be written.
pub fn write(project: &Project, plan: &Plan) -> Result<Vec<PathBuf>, Refusal> {
    make(&plan.folder)?;
    let show = &project.show;
    let code = pack_of(show).map(|(_, code)| code.to_string()).ok();
    let mut easel = Easel::new();
    easel.outline_walk(plan.walk);
    let mut written = Vec::new();
    let progress = Progress::new("drawing", plan.views.len());
    for &(mode, cue) in &plan.views {
        let brief = brief(project, plan, cue)?;
        easel.lay_over(brief.over.clone());
        let (stem, view) = (stem(show, mode, cue), plan.view(project, (mode, cue)));
        for &canvas in &plan.canvases {
            let shown = easel.paint(show, &view, canvas)?;
            let shown = cut(show, shown, plan.block);
            let name = part_name(show, canvas, plan.block);
            for &kind in &plan.kinds {
                let path = plan.folder.join(format!("{stem}-{name}-{}.png", kind.word()));
                png::write(&path, png::of_canvas(&shown, kind))?;
                written.push(path);
            }
        }
        if plan.whole_floor {
            let brief = with_ways(project, cue, brief);
            easel.lay_over(brief.over.clone());
            written.push(whole_floor(project, (&mut easel, &brief), (mode, cue), code.as_deref(), &plan.folder)?);
        }
        progress.step();
    }
    Ok(written)
}

/// What a picture for people shows of a cue, with how people get there; the floor itself does not show that.
pub fn with_ways(project: &Project, cue: Option<CueId>, mut brief: Brief) -> Brief {
    if let Some(cue) = cue.and_then(|id| project.show.cues.get(id.index())) {
        ways::add(project, cue, &mut brief);
    }
    brief
}

/// What a plan asks to show of a cue beside the floor's own look.
fn brief(project: &Project, plan: &Plan, cue: Option<CueId>) -> Result<Brief, Refusal> {
    let mut brief = Brief::default();
    let Some(cue) = cue.and_then(|id| project.show.cues.get(id.index())) else { return Ok(brief) };
    if plan.in_shot {
        in_shot::add(project, cue, &mut brief)?;
    }
    if plan.wedges {
        crew::add(project, cue, &mut brief);
    }
    Ok(brief)
}

/// Writes the load-in picture and a briefing picture of the whole floor for each cue.
///
/// # Errors
/// [`Refusal`] when a scene is too large or a file cannot be written.
pub fn briefing(project: &Project, code: Option<&str>, folder: &Path) -> Result<Vec<PathBuf>, Refusal> {
    make(folder)?;
    let cues = (0..project.show.cues.len()).map(|i| (Mode::Brief, Some(CueId(i as u8))));
    let views: Vec<_> = std::iter::once((Mode::Build, None)).chain(cues).collect();
    let mut easel = Easel::new();
    let progress = Progress::new("drawing", views.len());
    let mut written = Vec::new();
    for view in views {
        let brief = with_ways(project, view.1, Brief::default());
        easel.lay_over(brief.over.clone());
        written.push(whole_floor(project, (&mut easel, &brief), view, code, folder)?);
        progress.step();
    }
    Ok(written)
}

pub(super) fn make(folder: &Path) -> Result<(), Refusal> {
    std::fs::create_dir_all(folder).map_err(|e| Refusal(format!("cannot make {}: {e}", folder.display())))
}

fn whole_floor(
    project: &Project,
    (easel, brief): (&mut Easel, &Brief),
    (mode, cue): (Mode, Option<CueId>),
    code: Option<&str>,
    folder: &Path,
) -> Result<PathBuf, Refusal> {
    let picture = floor_for_people(project, (easel, brief), (mode, cue), code, MONITOR_PX)?;
    let path = folder.join(format!("{}-floor.png", stem(&project.show, mode, cue)));
    png::write(&path, png::of_picture(&picture))?;
    Ok(path)
}

/// The show at full drive.
pub(super) fn bright(show: &Show) -> Box<Show> {
    let mut bright = Box::new(show.clone());
    (bright.look.brief_level, bright.look.air_level) = (FULL_LEVEL, FULL_LEVEL);
    bright
}

/// The whole floor in one picture, framed and captioned. A monitor is not a floor: what people read there is
/// at full drive, whatever the show's levels are.
///
/// # Errors
/// [`Refusal`] when the scene is too large.
pub fn floor_for_people(
    project: &Project,
    (easel, brief): (&mut Easel, &Brief),
    (mode, cue): (Mode, Option<CueId>),
    code: Option<&str>,
    long_side_px: u16,
) -> Result<Picture, Refusal> {
    let bright = bright(&project.show);
    let view = View::new(mode, cue);
    let canvases: Result<Vec<CanvasPixels>, _> =
        (0..bright.canvases.len()).map(|i| easel.paint(&bright, &view, i)).collect();
    let captions =
        Captions { lines: brief.lines.clone(), labels: brief.labels.clone(), ..captions(&bright, mode, cue, code) };
    Ok(floor_picture(&bright, &canvases?, &captions, long_side_px))
}

fn captions(show: &Show, mode: Mode, cue: Option<CueId>, code: Option<&str>) -> Captions {
    let cue = cue.and_then(|id| show.cues.get(id.index()));
    let cue = cue.map_or("load-in: letters must read upright from downstage".into(), |c| {
        format!("cue {} {}", cue_number(c.number), c.name)
    });
    let mode = format!("{mode:?}").to_uppercase();
    let head = format!("{} · {} · {mode}", show.title, code.unwrap_or("----"));
    Captions { head, cue, ..Captions::default() }
}

/// First part of a file's name; names sort in running order.
pub(super) fn stem(show: &Show, mode: Mode, cue: Option<CueId>) -> String {
    match cue.and_then(|id| show.cues.get(id.index())) {
        Some(cue) => format!("cue{:03}.{:02}", cue.number / 100, cue.number % 100),
        None => format!("{mode:?}").to_lowercase(),
    }
}

/// A name as a part of a file's name.
pub(super) fn word(name: &str) -> String {
    name.chars().map(|c| if c.is_alphanumeric() || c == '-' { c.to_ascii_lowercase() } else { '_' }).collect()
}

fn part_name(show: &Show, canvas: usize, block: Option<usize>) -> String {
    let canvas: String = show.canvases.get(canvas).map(|c| word(&c.name)).unwrap_or_default();
    match block.and_then(|b| show.blocks.get(b)) {
        Some(block) => format!("{canvas}-{}", word(&block.name)),
        None => canvas,
    }
}

fn cut(show: &Show, canvas: CanvasPixels, block: Option<usize>) -> CanvasPixels {
    let Some(block) = block.and_then(|b| show.blocks.get(b)) else { return canvas };
    canvas.cut(block.x_px.into(), block.y_px.into(), block.width_px.into(), block.height_px.into())
}
