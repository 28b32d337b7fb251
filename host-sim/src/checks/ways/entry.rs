//! Lines that begin or end at an entry, and the way in which people may go through it.

use underfoot_core::geom::StagePoint;
use underfoot_core::show::{Entry, Passage};

use super::going::Going;
use crate::checks::board::Board;
use crate::findings::{FindingId, Report, Severity};

/// An end of a line so near to the floor's edge leads over it, metres.
const EDGE_M: f32 = 0.05;

pub(super) fn check(board: &Board<'_>, report: &mut Report, going: &Going) {
    let ends = [(going.points.first(), Passage::In), (going.points.last(), Passage::Out)];
    for (at, way) in ends.into_iter().filter_map(|(point, way)| Some((point?.at, way))) {
        let Some((index, entry)) = entry_at(board, at).filter(|(_, entry)| !lets(entry, way)) else { continue };
        let (comes, only) = if way == Passage::In { ("comes in", "out") } else { ("goes out", "in") };
        let what = format!("{} {comes} through {}, which only lets people {only}", going.way_name(), entry.name);
        let subject = (FindingId::EntryWrongWay, Severity::Fix, entry.name.to_string(), what);
        let mut finding = going.finding(board, subject, at);
        finding.fix = Some(other(board, index, way).map_or_else(
            || format!("set passage = \"both\" of {}", entry.name),
            |name| format!("use {name}, or set passage = \"both\" of {}", entry.name),
        ));
        report.add(finding);
    }
}

/// The entry at an end that lies on the floor's edge or beyond.
fn entry_at<'b>(board: &Board<'b>, at: StagePoint) -> Option<(usize, &'b Entry)> {
    let at_edge = board.off_floor_m(at) >= -EDGE_M;
    let mut entries = board.show().entries.iter().enumerate();
    entries.find(|(_, e)| at_edge && at.distance(e.at) <= e.width_m / 2.0 + EDGE_M)
}

fn lets(entry: &Entry, way: Passage) -> bool {
    entry.passage == Passage::Both || entry.passage == way
}

/// Another entry that lets people go this way.
fn other(board: &Board<'_>, than: usize, way: Passage) -> Option<String> {
    let mut entries = board.show().entries.iter().enumerate();
    entries.find(|(i, e)| *i != than && lets(e, way)).map(|(_, e)| e.name.to_string())
}
