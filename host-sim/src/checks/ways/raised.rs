//! Ways over the raised sides of risers and ramps.

use underfoot_core::props::{Level, Limit, Reach};
use underfoot_core::show::{Cue, PhysicalKind, Show};
use underfoot_core::walk::{Narrowest, Path, narrowest};

use super::beside::{Ground, endless};
use super::going::Going;
use crate::checks::board::Board;
use crate::findings::{Figure, FindingId, Report, Severity, Unit};

/// A way this near to a raised side leads over it, metres.
const OVER_M: f32 = 0.001;

pub(super) fn check(board: &Board<'_>, report: &mut Report, going: &Going) {
    let Some((found, body_m)) = nearest(board, going) else { return };
    let Limit::Physical(thing) = found.standing.limit else { return };
    let name = board.show().physicals.get(usize::from(thing)).map(|p| p.name.to_string()).unwrap_or_default();
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
    nearest(board, going).is_none_or(|(found, _)| {
        !matches!(found.standing.limit, Limit::Physical(_)) || found.standing.margin_m >= -OVER_M
    })
}

/// Where a way has least room beside raised sides, with the room that a body needs there, metres.
fn nearest(board: &Board<'_>, going: &Going) -> Option<(Narrowest, f32)> {
    let class = board.class_of(going.stand.person)?;
    let sides = only_raised(board.show())?;
    let ground = Ground::of(&sides, &Cue::default(), class, 0.0).ok()?;
    let found = narrowest(&ground, &Path::new(&going.points))?;
    let reach = Reach::of(board.show(), class, Level::Hard);
    Some((found, reach.body_m))
}

/// The show without its floor's end and whatever stands on it; `None` without raised things. Furniture becomes a rug,
/// so that indices stay.
fn only_raised(show: &Show) -> Option<Box<Show>> {
    let is_raised = |kind| matches!(kind, PhysicalKind::Riser | PhysicalKind::Ramp { .. });
    show.physicals.iter().any(|p| is_raised(p.kind)).then(|| {
        let mut sides = Box::new(show.clone());
        (sides.floor, sides.entries) = (endless(), Default::default());
        let others = sides.physicals.iter_mut().filter(|p| !is_raised(p.kind) && p.kind != PhysicalKind::Step);
        others.for_each(|p| p.kind = PhysicalKind::Rug);
        sides
    })
}
