//! What the pictures of each cue need, canvas by canvas, against the memory that the box has for them.

use underfoot_core::device::memory::{BoxScene, BoxWork};
use underfoot_core::device::picture;
use underfoot_core::limits;
use underfoot_core::look::{View, compose};
use underfoot_core::paint::PaintError;
use underfoot_core::ports::Nowhere;
use underfoot_core::show::{Cue, CueId, Mode};

use super::alternate::alternately;
use super::board::Board;
use crate::findings::{Figure, Finding, FindingId, Report, Severity, Unit};
use crate::render::{Easel, Need, TooMuch};

/// The box's memory.
#[derive(Default)]
struct BoxMemory {
    scene: Box<BoxScene>,
    work: Box<BoxWork>,
}

/// A need with the canvas that has it.
type OnCanvas = (usize, Need);

/// Every cue's pictures must fit the box.
pub(super) fn check(board: &Board<'_>, report: &mut Report) {
    let cues = &board.show().cues;
    let all = alternately(cues.len(), |mine| {
        let (mut easel, mut memory) = (Easel::new(), BoxMemory::default());
        let mine = mine.filter_map(|index| Some((index, cues.get(index)?)));
        mine.map(|(index, cue)| one_cue(board, (&mut easel, &mut memory), index, cue)).collect()
    });
    for one in all {
        report.measures.extend(one.measures);
        report.findings.extend(one.findings);
    }
}

fn one_cue(board: &Board<'_>, (easel, memory): (&mut Easel, &mut BoxMemory), index: usize, cue: &Cue) -> Report {
    let mut report = Report::default();
    if board.is_stopped() {
        return report;
    }
    let views = modes(cue).map(|mode| View::new(mode, Some(CueId(index as u8))));
    let fault = match needs(board, easel, &views) {
        Err(full) => Some((format!("the cue draws more than {full}"), None)),
        Ok(needs) => in_scene(board, &mut report, cue, &needs)
            .or_else(|| views.iter().find_map(|view| in_painter(board, memory, view))),
    };
    if let Some((what, figure)) = fault {
        let mut finding = Finding::new(FindingId::SceneTooLarge, Severity::Stop, "scene", what);
        finding.figure = figure;
        finding.cue = Some(cue.number);
        finding.fix = Some("draw fewer things in this cue, or divide the floor into more canvases".into());
        report.add(board.at_line(finding, "cues", index));
    }
    report
}

/// The fullest mode, and the cue's own.
fn modes(cue: &Cue) -> [Mode; 2] {
    [Mode::Brief, cue.mode]
}

/// What each canvas needs in each view; an error where even the desk cannot tell.
fn needs(board: &Board<'_>, easel: &mut Easel, views: &[View]) -> Result<Vec<OnCanvas>, TooMuch> {
    let canvases = 0..board.show().canvases.len();
    let pairs = canvases.flat_map(|canvas| views.iter().map(move |view| (canvas, view)));
    pairs.map(|(canvas, view)| easel.need(board.show(), view, canvas).map(|need| (canvas, need))).collect()
}

type Fault = (String, Option<Figure>);

/// The scene's lists: the largest need of each is measured; the fault is the one that misses most.
fn in_scene(board: &Board<'_>, report: &mut Report, cue: &Cue, needs: &[OnCanvas]) -> Option<Fault> {
    type Count = fn(&Need) -> usize;
    let lists: [(&str, usize, Count); 3] = [
        ("points", limits::BOX_POINTS, |need| need.points),
        ("contours", limits::BOX_CONTOURS, |need| need.contours),
        ("shapes", limits::BOX_SHAPES, |need| need.shapes),
    ];
    let mut worst: Option<Fault> = None;
    for (list, capacity, of) in lists {
        let Some((canvas, need)) = needs.iter().max_by_key(|(_, need)| of(need)) else { continue };
        let figure = Figure::at_most(of(need) as f32, capacity as f32, Unit::Count);
        let what = format!("{list} drawn on canvas {}", canvas_name(board, *canvas));
        let Some(figure) = report.measure(FindingId::SceneTooLarge, Some(cue.number), what.clone(), figure) else {
            continue;
        };
        let share = |f: Figure| f.value / f.limit;
        if worst.as_ref().and_then(|w| w.1).is_none_or(|w| share(figure) > share(w)) {
            worst = Some((format!("the cue needs more than the box holds, {what}"), Some(figure)));
        }
    }
    worst
}

/// The painter's lists, by painting canvas by canvas as the box does. It stops where a list is full, so that the need is
/// not known.
fn in_painter(board: &Board<'_>, memory: &mut BoxMemory, view: &View) -> Option<Fault> {
    let show = board.show();
    (0..).zip(&show.canvases).find_map(|(canvas, _)| {
        let mut scene = memory.scene.scene();
        compose(show, &view.on_canvas(canvas), &mut scene).ok()?;
        match picture::paint_canvas(show, canvas, (&scene, &mut *memory.work), &mut Nowhere) {
            Err(PaintError::Full { list, capacity }) => {
                Some((format!("the cue needs more than the {capacity} {list} that the box holds"), None))
            }
            _ => None,
        }
    })
}

fn canvas_name(board: &Board<'_>, canvas: usize) -> String {
    board.show().canvases.get(canvas).map(|c| c.name.to_string()).unwrap_or_default()
}
