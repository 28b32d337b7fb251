//! What the show costs: its lists, its pack and its pictures against their limits.

use underfoot_core::limits;
use underfoot_core::look::View;
use underfoot_core::pack::{self, ShowCode};
use underfoot_core::show::{CueId, Mode};

use super::board::Board;
use crate::findings::{Figure, Finding, FindingId, Report, Severity, Unit};
use crate::render::Easel;

pub(super) fn check(board: &Board<'_>, report: &mut Report) {
    let show = board.show();
    let mut buffer = vec![0; 4 * limits::PACK_BYTES];
    if let Ok(length) = pack::encode(show, &mut buffer) {
        report.code = ShowCode::of_pack(&buffer[..length]).ok().map(|code| code.to_string());
        let figure = Figure::at_most(length as f32, limits::PACK_BYTES as f32, Unit::Bytes);
        if let Some(figure) = report.measure(FindingId::PackTooLarge, None, "pack in the box", figure) {
            let mut finding =
                Finding::new(FindingId::PackTooLarge, Severity::Stop, "pack", "the pack does not fit the box");
            finding.figure = Some(figure);
            finding.fix = Some("take out what no cue uses, or split the show".into());
            report.add(finding);
        }
    }
    for list in pack::usage(show) {
        let figure = Figure::at_most(list.used as f32, list.capacity as f32, Unit::Count);
        report.measure(FindingId::PackTooLarge, None, format!("list {}", list.field), figure);
    }
    scenes(board, report);
    report.checked.push("sizes against the box".into());
}

/// Every cue's fullest picture must fit a scene.
fn scenes(board: &Board<'_>, report: &mut Report) {
    let mut easel = Easel::new();
    for (index, cue) in board.show().cues.iter().enumerate() {
        let view = View::new(Mode::Brief, Some(CueId(index as u8)));
        let Err(full) = easel.compose(board.show(), &view) else { continue };
        let what = format!("the cue draws more than a picture holds ({})", full.list);
        let mut finding = Finding::new(FindingId::SceneTooLarge, Severity::Stop, "scene", what);
        finding.figure = Some(Figure::at_most(full.capacity as f32 + 1.0, full.capacity as f32, Unit::Count));
        finding.cue = Some(cue.number);
        finding.fix = Some("draw fewer things in this cue".into());
        report.add(board.at_line(finding, "cues", index));
    }
}
