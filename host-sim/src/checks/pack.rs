//! What the show costs: its lists and its pack against their limits.

use underfoot_core::limits;
use underfoot_core::pack::{self, ShowCode};

use super::board::Board;
use crate::findings::{Figure, Finding, FindingId, Report, Severity, Unit};

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
    report.checked.push("sizes against the box".into());
}
