//! Marks against the floor itself: edges, walls, panels, and what stands or lies there.

use underfoot_core::floor::Block;
use underfoot_core::geom::{Convex, StagePoint, segment};
use underfoot_core::props::physical;
use underfoot_core::show::{Edge, Mark, Physical, PhysicalKind, TileFault, TileState};

use super::board::{Board, drawn_points};
use crate::findings::{Figure, Finding, FindingId, Report, Severity, Unit};

/// Nearer than this to a wall a mark is doubled by its reflection, metres (common practice).
const WALL_M: f32 = 0.15;
/// Overlap with furniture up to this is a chair's or sofa's front edge at somebody's heels, metres.
const SEAT_EDGE_M: f32 = 0.05;

pub(super) fn check(board: &Board<'_>, report: &mut Report) {
    for (index, mark) in board.show().marks.iter().enumerate() {
        let mut found = Vec::new();
        on_floor(board, report, mark, &mut found);
        near_wall(board, report, mark, &mut found);
        on_panels(board, mark, &mut found);
        covered(board, mark, &mut found);
        for mut finding in found {
            finding.place = Some(mark.at);
            finding.who = mark.person.map(|p| board.person_name(p)).or(finding.who);
            finding.things.push(mark.name.to_string());
            report.add(board.at_line(finding, "marks", index));
        }
    }
    let marks = board.show().marks.len();
    report.checked.push(format!("{marks} marks on the floor (edges, walls, panels, risers, furniture)"));
}

fn on_floor(board: &Board<'_>, report: &mut Report, mark: &Mark, found: &mut Vec<Finding>) {
    let inside_m = -board.off_floor_m(mark.at);
    let what = format!("mark {} inside the floor", mark.name);
    if let Some(figure) =
        report.measure(FindingId::MarkOffFloor, None, what, Figure::at_least(inside_m, 0.0, Unit::Metres))
    {
        let mut finding =
            finding(FindingId::MarkOffFloor, Severity::Stop, mark, "lies beyond the floor's edge", figure);
        finding.fix = inward(board, mark);
        found.push(finding);
        return;
    }
    let band_m = board.show().floor.edge_band_m;
    let figure = Figure::at_least(board.to_drop_m(mark.at).min(1e3), band_m, Unit::Metres);
    let what = format!("mark {} to the floor's edge", mark.name);
    if let Some(figure) = report.measure(FindingId::MarkInEdgeBand, None, what, figure) {
        let mut finding = finding(FindingId::MarkInEdgeBand, Severity::Fix, mark, "lies in the edge band", figure);
        finding.fix = inward(board, mark);
        found.push(finding);
    }
}

/// The nearest place on the floor and outside its bands.
fn inward(board: &Board<'_>, mark: &Mark) -> Option<String> {
    super::near::nearest_place(mark.at, |p| board.is_inner(p)).map(|p| super::near::move_words(&mark.name, mark.at, p))
}

fn near_wall(board: &Board<'_>, report: &mut Report, mark: &Mark, found: &mut Vec<Finding>) {
    let to = |p: StagePoint| {
        let walls = board.show().walls.iter().filter(|w| w.bottom_m < 0.5).map(|w| (w.from, w.to));
        let sides = board.sides().filter(|s| s.2 == Edge::Wall).map(|(a, b, _)| (a, b));
        walls.chain(sides).map(|(a, b)| segment::distance(p, a, b)).fold(f32::INFINITY, f32::min)
    };
    let nearest_m = drawn_points(mark).into_iter().map(to).fold(f32::INFINITY, f32::min);
    if !nearest_m.is_finite() {
        return;
    }
    let figure = Figure::at_least(nearest_m, WALL_M, Unit::Metres);
    let what = format!("mark {} to the nearest wall", mark.name);
    if let Some(figure) = report.measure(FindingId::MarkNearWall, None, what, figure) {
        let what = "is so near a wall that its reflection doubles it";
        let mut finding = finding(FindingId::MarkNearWall, Severity::Fix, mark, what, figure);
        finding.fix = Some(format!("move it {:.2} m away from the wall", figure.miss()));
        found.push(finding);
    }
}

/// Dead and missing panels, and places where there is no panel at all.
fn on_panels(board: &Board<'_>, mark: &Mark, found: &mut Vec<Finding>) {
    let show = board.show();
    let floor_blocks =
        || show.blocks.iter().zip(&board.project.floor_blocks).enumerate().filter(|(_, (_, walked))| **walked);
    let points = drawn_points(mark);
    for fault in &show.tile_faults {
        let Some(block) = show.blocks.get(usize::from(fault.block)) else { continue };
        let share = points.iter().filter(|p| on_tile(block, fault, **p)).count() as f32 / points.len() as f32;
        if share > 0.0 {
            let state = if fault.state == TileState::Dead { "dead" } else { "missing" };
            let about = format!("{} tile c{} r{}", block.name, fault.column + 1, fault.row + 1);
            let what = format!("mark {} lies with {:.0} % on a {state} panel", mark.name, share * 100.0);
            let mut finding = Finding::new(FindingId::MarkOnDeadTile, Severity::Fix, about, what);
            finding.fix = off_tiles(board, mark);
            found.push(finding);
        }
    }
    let dark = points.iter().filter(|p| board.off_floor_m(**p) <= 0.0);
    let dark = dark.filter(|p| !floor_blocks().any(|(_, (block, _))| block.contains(**p))).count();
    if dark > 0 {
        let what = format!("mark {} lies partly where no panel shows it", mark.name);
        let mut finding = Finding::new(FindingId::MarkUnlit, Severity::Fix, "floor", what);
        finding.fix = Some("tape it, or move it onto panels".into());
        found.push(finding);
    }
}

/// The nearest place within 0.25 m at which the whole mark is off every dead panel.
fn off_tiles(board: &Board<'_>, mark: &Mark) -> Option<String> {
    let clear = |p: StagePoint| {
        let moved = Mark { at: p, ..mark.clone() };
        let mut again = Vec::new();
        on_faulty(board, &moved, &mut again);
        again.is_empty() && board.is_inner(p)
    };
    let near = super::near::nearest_place(mark.at, clear).filter(|p| p.distance(mark.at) <= 0.5);
    Some(near.map_or("tape the mark, or swap the panel".into(), |p| super::near::move_words(&mark.name, mark.at, p)))
}

/// The drawn points that lie on faulty panels.
fn on_faulty(board: &Board<'_>, mark: &Mark, found: &mut Vec<StagePoint>) {
    for fault in &board.show().tile_faults {
        let Some(block) = board.show().blocks.get(usize::from(fault.block)) else { continue };
        found.extend(drawn_points(mark).into_iter().filter(|p| on_tile(block, fault, *p)));
    }
}

fn on_tile(block: &Block, fault: &TileFault, p: StagePoint) -> bool {
    block.pixel_of(p).is_some_and(|at| {
        let column = (at.x as u16 - block.x_px) / block.panel_width_px.max(1);
        let row = (at.y as u16 - block.y_px) / block.panel_height_px.max(1);
        column == u16::from(fault.column) && row == u16::from(fault.row)
    })
}

/// Risers, rugs and furniture on a mark.
fn covered(board: &Board<'_>, mark: &Mark, found: &mut Vec<Finding>) {
    for thing in &board.show().physicals {
        let Ok(area) = physical::rectangle(thing) else { continue };
        if let Some((severity, what, fix)) = cover(board, mark, thing, &area) {
            let mut finding = Finding::new(FindingId::MarkCovered, severity, thing.name.to_string(), what);
            finding.fix = Some(fix);
            found.push(finding);
        }
    }
}

fn cover(board: &Board<'_>, mark: &Mark, over: &Physical, area: &Convex) -> Option<(Severity, String, String)> {
    let (name, thing) = (&mark.name, &over.name);
    let inside_m = -area.signed_distance(mark.at);
    if physical::stops_people(over.kind) {
        let what = || format!("mark {name} lies {inside_m:.2} m inside {thing}");
        return (inside_m > SEAT_EDGE_M).then(|| (Severity::Stop, what(), format!("move mark {name} or {thing}")));
    }
    if !physical::hides_floor(over.kind) {
        return None;
    }
    let points = drawn_points(mark);
    let covered = points.iter().filter(|p| area.signed_distance(**p) <= 0.0).count();
    if covered == 0 {
        return None;
    }
    if over.kind == PhysicalKind::Rug {
        return Some((Severity::Fix, format!("{thing} covers mark {name}"), format!("tape mark {name} on {thing}")));
    }
    let has_panels =
        board.show().blocks.iter().any(|b| (b.height_m - over.height_m).abs() < 0.02 && b.contains(mark.at));
    if covered < points.len() && inside_m.abs() < 0.25 {
        let what = format!("the edge of {thing} cuts mark {name}");
        return Some((Severity::Stop, what, format!("move mark {name} 0.30 m away from the edge of {thing}")));
    }
    let what = format!("{thing} hides the panels under mark {name}");
    (!has_panels).then(|| (Severity::Note, what, format!("tape mark {name} on {thing}")))
}

fn finding(id: FindingId, severity: Severity, mark: &Mark, what: &str, figure: Figure) -> Finding {
    let mut finding = Finding::new(id, severity, "floor", format!("mark {} {what}", mark.name));
    finding.figure = Some(figure);
    finding
}
