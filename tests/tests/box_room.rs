//! `check` says that a picture does not fit the box exactly where the box's own code refuses to paint it.

use underfoot_core::device::Memory;
use underfoot_core::device::picture::{self, Canvases, PictureError};
use underfoot_core::look::View;
use underfoot_core::paint::PaintError;
use underfoot_core::ports::Nowhere;
use underfoot_core::show::{CueId, Mode};
use underfoot_sim::checks::check;
use underfoot_sim::cli::show_source;
use underfoot_sim::findings::{FindingId, parse_day};
use underfoot_sim::project::Project;

fn demo(name: &str) -> Project {
    show_source::load(name).unwrap_or_else(|refusal| panic!("{refusal}"))
}

/// Numbers of the cues that the box cannot paint in BRIEF or in their own mode.
fn refused(project: &Project, memory: &mut Memory) -> Vec<u32> {
    let cannot = |view: &View, memory: &mut Memory| {
        let room = (&mut memory.scene, memory.work.painter());
        match picture::paint(&project.show, Canvases::All, view, room, &mut Nowhere) {
            Ok(_) => false,
            Err(PictureError::Scene(_) | PictureError::Paint(PaintError::Full { .. })) => true,
            Err(other) => panic!("{other:?}"),
        }
    };
    let cues = project.show.cues.iter().enumerate();
    cues.filter(|(i, cue)| {
        let mut modes = [Mode::Brief, cue.mode].into_iter();
        modes.any(|mode| cannot(&View::new(mode, Some(CueId(*i as u8))), memory))
    })
    .map(|(_, cue)| cue.number)
    .collect()
}

fn found(project: &Project) -> Vec<u32> {
    let report = check(project, parse_day("2026-06-01").expect("a day"));
    let of_scene = report.findings.iter().filter(|f| f.id == FindingId::SceneTooLarge);
    of_scene
        .map(|f| {
            if let Some(figure) = f.figure {
                assert!(figure.value > figure.limit, "{}: {figure}", f.what);
            }
            f.cue.expect("a cue")
        })
        .collect()
}

#[test]
fn the_demos_fit_the_box() {
    let mut memory = Box::new(Memory::new());
    for (name, _) in underfoot_sim::demos::DEMOS {
        let project = demo(name);
        assert_eq!(refused(&project, &mut memory), Vec::<u32>::new(), "{name}");
        assert_eq!(found(&project), Vec::<u32>::new(), "{name}");
    }
}

/// The arena with all its canvases' blocks on one: more than the box draws at once.
#[test]
fn an_arena_on_one_canvas_does_not() {
    let mut project = demo("lantern-field");
    project.show.canvases.truncate(1);
    for block in &mut project.show.blocks {
        block.canvas = 0;
    }
    let refused = refused(&project, &mut Box::new(Memory::new()));
    assert!(!refused.is_empty(), "the arena has become small: take a larger show");
    assert_eq!(found(&project), refused);
}
