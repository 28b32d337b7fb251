//! The core's planned way held against what an independent search says.

use underfoot_core::show::LinePoint;
use underfoot_core::walk::WalkError;

use crate::route_case::RouteCase;
use crate::route_oracle::{Bounds, V, Walked};

/// How much nearer to something the core's way may be than it should: its own tolerance and rounding, metres.
pub const SLACK: f64 = 3e-5;
/// How far lengths may be outside the bounds, metres: a sharp corner of the floor is walked as an arc of 0.1 mm, which
/// costs 0.2 mm at most; the rest is rounding.
pub const ROUNDING: f64 = 3e-4;

/// A planned way as the oracle walks it.
pub fn walked(points: &[LinePoint]) -> Walked {
    let points: Vec<(V, f64)> = points.iter().map(|p| (p.at.into(), p.bend_m.into())).collect();
    Walked::along(&points)
}

/// What is wrong with the core's answer in a case; whether there is a way.
///
/// # Errors
/// Says what is wrong.
pub fn judge(case: &RouteCase, bounds: Bounds) -> Result<bool, String> {
    let (route, points) = match (case.planned(), bounds) {
        (Ok(planned), Bounds { low: Some(_), .. }) => planned,
        (Ok((route, _)), _) => return Err(format!("a way of {} m where there is none", route.length_m)),
        (Err(WalkError::NoWay(_)), Bounds { high: None, .. }) => return Ok(false),
        (Err(WalkError::NoWay(no)), _) => return Err(format!("no way, {no:?}, where there is one: {bounds:?}")),
        (Err(error), _) => return Err(format!("{error:?}")),
    };
    let (way, low, high) = (walked(&points), bounds.low.unwrap_or(0.0), bounds.high.unwrap_or(f64::INFINITY));
    if let Some(piece) = way.fault(&case.plan, SLACK) {
        return Err(format!("too near at {piece:?}, by {}", -way.spare(&case.plan)));
    }
    if way.length < low - ROUNDING || way.length > high + ROUNDING {
        return Err(format!("{} m is not between {low} and {high}", way.length));
    }
    if (way.length - f64::from(route.length_m)).abs() > ROUNDING || way.overlap > SLACK {
        return Err(format!("{} m is told as {}; corners overlap by {}", way.length, route.length_m, way.overlap));
    }
    let ends = [points.first(), points.last()].map(|p| p.map(|p| p.at));
    if ends != case.stops.map(Some) { Err(format!("it ends at {ends:?}")) } else { Ok(true) }
}
