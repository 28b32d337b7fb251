//! Sizes and rhythms of what is drawn.

use underfoot_core::floor::Block;

use super::board::Board;
use crate::findings::{Figure, Finding, FindingId, Report, Severity, Unit};

/// Fewest LED pixels across a line (common practice, brief feature 11).
const LINE_PX: f32 = 3.0;
/// A pulse that is calm, hertz (common practice, brief feature 15).
const CALM_HZ: f32 = 1.0;
/// Dots of a walk line, metres (common practice, brief feature 11).
const DOT_M: (f32, f32) = (0.08, 0.12);

pub(super) fn check(board: &Board<'_>, report: &mut Report) {
    let look = &board.show().look;
    let width = Figure::at_least(look.line_m * 1000.0, board.project.limits.line_m * 1000.0, Unit::Millimetres);
    let missed = report.measure(FindingId::LineThin, None, "width of drawn lines", width);
    let pitch_m = coarsest_m(board);
    let pixels = Figure::at_least(look.line_m / pitch_m, LINE_PX, Unit::Pixels);
    let missed_px = report.measure(FindingId::LineThin, None, "pixels across drawn lines", pixels);
    if let Some(figure) = missed_px.or(missed) {
        let mut finding =
            Finding::new(FindingId::LineThin, Severity::Fix, "look", "drawn lines are too thin to be seen");
        finding.figure = Some(figure);
        finding.fix = Some("set look.line_mm = 50".into());
        report.add(board.at_line(finding, "look", 0));
    }
    pulse(board, report);
    dots(board, report);
    report.checked.push("line width, dots and pulse".into());
}

/// Pitch of the coarsest block that people walk on, metres.
fn coarsest_m(board: &Board<'_>) -> f32 {
    let blocks = board.show().blocks.iter().zip(&board.project.floor_blocks);
    blocks.filter(|(_, walked)| **walked).map(|(b, _)| Block::pitch_m(b)).fold(0.0005, f32::max)
}

fn pulse(board: &Board<'_>, report: &mut Report) {
    let hz = board.show().look.pulse_hz;
    let ceiling = Figure::at_most(hz, board.project.limits.flash_hz, Unit::Hertz);
    let calm = Figure::at_most(hz, CALM_HZ, Unit::Hertz);
    let stop = report.measure(FindingId::PulseFast, None, "stand-by pulse against the ceiling", ceiling);
    let fix = report.measure(FindingId::PulseFast, None, "stand-by pulse against the calm rate", calm);
    let (severity, figure) = match (stop, fix) {
        (Some(figure), _) => (Severity::Stop, figure),
        (None, Some(figure)) => (Severity::Fix, figure),
        (None, None) => return,
    };
    let what = "the stand-by pulse flashes too fast for people and pictures";
    let mut finding = Finding::new(FindingId::PulseFast, severity, "look", what);
    finding.figure = Some(figure);
    finding.fix = Some("set look.pulse_hz = 1".into());
    report.add(board.at_line(finding, "look", 0));
}

fn dots(board: &Board<'_>, report: &mut Report) {
    for (index, line) in board.show().lines.iter().enumerate() {
        let small = Figure::at_least(line.dot_m * 1000.0, DOT_M.0 * 1000.0 - 0.01, Unit::Millimetres);
        let large = Figure::at_most(line.dot_m * 1000.0, DOT_M.1 * 1000.0 + 0.01, Unit::Millimetres);
        let missed = [small, large]
            .map(|figure| report.measure(FindingId::DotSize, None, format!("dots of line {}", line.name), figure));
        if let Some(figure) = missed.into_iter().flatten().next() {
            let what = format!("the dots of line {} are off the size that people find", line.name);
            let mut finding = Finding::new(FindingId::DotSize, Severity::Note, line.name.to_string(), what);
            finding.figure = Some(figure);
            finding.fix = Some("set dot_mm between 80 and 120".into());
            report.add(board.at_line(finding, "lines", index));
        }
    }
}
