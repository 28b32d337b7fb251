//! The checks: each file looks at one subject, measures, and adds what is out of its limit.
//!
//! The geometry is the core's. What a check proposes as a fix, it has tried: a move is printed only
//! when the same check passes with it.

mod alternate;
mod board;
mod cast;
mod change;
mod clear;
mod look;
mod marks;
mod names;
mod near;
mod pack;
mod pictures;
mod reveal;
mod room;
mod scenes;
mod survey;
mod watch;
mod ways;

use std::sync::atomic::{AtomicBool, Ordering};

use crate::findings::{Day, Report};
use crate::project::Project;

use board::Board;
use watch::Watch;

pub use watch::ALL_STEPS;
pub use ways::{Step, Whereabouts, all_there_s, whereabouts};

/// Looks at everything that can be looked at, and reports it with waivers applied.
pub fn check(project: &Project, today: Day) -> Report {
    check_watched(project, today, &|_| {})
}

/// The same; `reach` is told how many of [`ALL_STEPS`] are done.
pub fn check_watched(project: &Project, today: Day, reach: &(dyn Fn(usize) + Sync)) -> Report {
    check_board(&Board::new(project), today, Watch::new(reach))
}

/// How much a check does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Effort {
    /// Measures and finds; what would have to be tried out to be a fix is left out.
    Figures,
    /// Tries fixes, too: the findings are the same.
    Fixes,
}

/// The same as [`check`] with so much effort, given up once `stop` is set; `None` then.
pub fn check_until(project: &Project, today: Day, effort: Effort, stop: &AtomicBool) -> Option<Report> {
    let report = check_board(&Board::until(project, effort, stop), today, Watch::new(&|_| {}));
    (!stop.load(Ordering::Relaxed)).then_some(report)
}

fn check_board(board: &Board<'_>, today: Day, watch: Watch<'_>) -> Report {
    let project = board.project;
    let mut report = Report {
        title: project.show.title.to_string(),
        source: project.path.display().to_string(),
        ..Report::default()
    };
    survey::check(board, &mut report);
    marks::check(board, &mut report);
    let met = ways::check(board, &mut report);
    near::check(board, &mut report, &met);
    room::check(board, &mut report);
    reveal::check(board, &mut report);
    pictures::check(board, &mut report, watch);
    look::check(board, &mut report);
    names::check(board, &mut report);
    pack::check(board, &mut report);
    scenes::check(board, &mut report);
    report.settle(&project.waivers, today);
    report
}

/// Looks at marks and ways alone, as far as nobody's picture is asked: what a box looks at again when something was moved
/// by hand, and more. Nothing is waived.
pub fn check_room(project: &Project) -> Report {
    let board = Board::new(project);
    let mut report = Report::default();
    marks::check(&board, &mut report);
    let met = ways::check(&board, &mut report);
    near::check(&board, &mut report, &met);
    room::check(&board, &mut report);
    report
}
