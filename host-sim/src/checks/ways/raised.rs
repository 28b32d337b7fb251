//! Ways over the raised sides of risers and ramps.

use underfoot_core::props::Limit;
use underfoot_core::walk::{Narrowest, narrowest};

use super::beside::{Ground, endless};
use super::going::Going;
use crate::checks::board::Board;
use crate::findings::{Figure, FindingId, Report, Severity, Unit};

/// A way this near to a raised side leads over it, metres.
const OVER_M: f32 = 0.001;

pub(super) fn check(board: &Board<'_>, report: &mut Report, going: &Going) {
    let Some(found) = nearest(board, going) else { return };
    let name = found.standing.limit.name(board.show()).map(ToString::to_string).unwrap_or_default();
    let body_m = board.radius_m(going.stand.person);
    let figure = Figure::at_least(found.standing.margin_m + body_m, body_m, Unit::Metres);
    let what = format!("{} to the raised sides of {name}", going.way_name());
    let missed = report.measure(FindingId::RaisedEdge, Some(board.number(going.cue)), what, figure);
    let Some(figure) = missed.filter(|f| f.miss() > OVER_M) else { return };
    let over = figure.value <= OVER_M;
    let (severity, clause) = if over {
        (Severity::Stop, format!("{} leads over a raised side of {name}", going.way_name()))
    } else {
        (Severity::Fix, format!("{} leads along a raised side of {name}", going.way_name()))
    };
    let mut finding = going.finding(board, (FindingId::RaisedEdge, severity, name, clause), found.at);
    finding.figure = Some(figure).filter(|_| !over);
    finding.fix = Some("lead it over a ramp or a step unit, or set step_over where people may step down".into());
    report.add(finding);
}

/// True when a way keeps off all raised sides.
pub(super) fn crosses_none(board: &Board<'_>, going: &Going) -> bool {
    nearest(board, going).is_none_or(|found| found.standing.margin_m >= -OVER_M)
}

/// Where a way has least room beside raised sides; `None` where there are none.
fn nearest(board: &Board<'_>, going: &Going) -> Option<Narrowest> {
    let endless = endless();
    let mut ground = Ground::bare(&endless, &[]).ok()?;
    ground.add_raised(board.show(), board.class_of(going.stand.person)?).ok()?;
    narrowest(&ground, &going.path()).filter(|found| matches!(found.standing.limit, Limit::Physical(_)))
}
