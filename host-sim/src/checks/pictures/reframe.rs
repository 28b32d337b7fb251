//! A shot that looks a little higher or lower, through a shorter lens.

use super::desk::Desk;
use super::fault::Fault;
use crate::checks::change::Change;

/// Step of the look point, metres.
const RISE_M: f32 = 0.02;
/// Most steps of it: 0.40 m.
const RISES: i16 = 20;
/// Shortest lens that is proposed, a share of the planned focal length.
const SHORTEST: f32 = 0.7;
/// A focal length shorter by this share changes the picture as much as a step of the look point.
const AS_MUCH: f32 = 0.025;

/// The smallest change of look point and focal length with which the shot holds everyone that it is about.
pub(super) fn words(desk: &Desk<'_, '_>, fault: &Fault) -> Option<String> {
    let show = desk.board.show();
    let shot = show.shots.get(fault.pair.shot.index())?;
    let key = shot.keys.of(&show.shot_keys).first()?;
    let change = steps(key.focal_mm).into_iter().find_map(|(rises, focal_mm)| {
        let change = Change::Shot { shot: fault.pair.shot, rise_m: RISE_M * f32::from(rises), focal_mm };
        desk.trials.helps(&change, fault).then_some(change)
    })?;
    let Change::Shot { rise_m, focal_mm, .. } = change else { return None };
    let name = &shot.name;
    let look = (rise_m != 0.0).then(|| {
        let way = if rise_m > 0.0 { "raise" } else { "lower" };
        format!("{way} the look point of {name} by {:.2} m (to {:.2} m)", rise_m.abs(), key.look.z + rise_m)
    });
    let lens = (focal_mm != key.focal_mm).then(|| format!("use {focal_mm} mm instead of {}", key.focal_mm));
    match (look, lens) {
        (Some(look), Some(lens)) => Some(format!("{look} and {lens}")),
        (Some(look), None) => Some(look),
        (None, Some(lens)) => Some(format!("{lens} on {name}")),
        (None, None) => None,
    }
}

/// Rises and focal lengths, what changes the picture least first.
fn steps(planned_mm: f32) -> Vec<(i16, f32)> {
    // Whole millimetres as lenses are set, and half ones where whole ones are coarse.
    let step_mm = if planned_mm < 15.0 { 0.5 } else { 1.0 };
    let count = ((planned_mm * (1.0 - SHORTEST)) / step_mm).floor() as u16;
    let shorter = (1..=count).map(|i| ((planned_mm / step_mm).ceil() - f32::from(i)) * step_mm);
    let lenses: Vec<f32> = std::iter::once(planned_mm).chain(shorter).collect();
    let mut all: Vec<(i16, f32)> = (-RISES..=RISES).flat_map(|r| lenses.iter().map(move |&l| (r, l))).collect();
    let much = |&(r, l): &(i16, f32)| f32::from(r.abs()) + (1.0 - l / planned_mm) / AS_MUCH;
    all.sort_by(|a, b| much(a).total_cmp(&much(b)).then(b.0.cmp(&a.0)));
    all.retain(|&(r, l)| r != 0 || l != planned_mm);
    all
}
