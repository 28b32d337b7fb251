//! Walk lines: dots or chevrons at even steps of arc length, round bends too.
//!
//! When people are told to go they flow on at the pace of whoever walks there. Nothing blinks: each is drawn all the
//! time, and where it has to give way it shrinks to nothing over half its length and grows again beyond.

use crate::paint::{Rgba, SceneFull};
use crate::show::{Dots, Line};
use crate::walk::{Path, Spot};

use super::frame::Frame;
use super::item::{Pass, item};
use super::sheet::{Bounds, Sheet};
use super::sizes::Sizes;

/// Fastest flow, metres per second: a floor that drifts faster makes people sway (common practice).
pub const FLOW_MOST_MPS: f32 = 1.5;
/// Most dots that pass one place in a second: the number of flashes that is allowed (WCAG 2.2, SC 2.3.1).
pub const PASSES_MOST_HZ: f32 = 3.0;
/// A dot that has shrunk to less than this share of its size is left out.
const LEAST_SHARE: f32 = 0.15;

/// How one line is drawn.
#[derive(Clone, Copy, Debug)]
pub(super) struct Way<'s> {
    /// What it is made of.
    pub(super) line: &'s Line,
    /// Where it runs.
    pub(super) path: Path<'s>,
    /// Its light ink.
    pub(super) ink: Rgba,
    /// Its form.
    pub(super) form: Form,
    /// Where its first dot is, metres from its beginning; less than its spacing.
    pub(super) first_m: f32,
}

/// The form of a line's dots.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Form {
    /// Whole, standing.
    Steady,
    /// For later: hollow discs, smaller chevrons.
    Later,
    /// Whole, flowing.
    Flowing,
}

/// How far the dots of a line have flowed after `flow_ms` milliseconds, metres, less than their spacing.
///
/// They flow at `pace_mps`, but never faster than [`FLOW_MOST_MPS`] and never more than [`PASSES_MOST_HZ`] past one
/// place. Counted in whole micrometres, so that hours cost no precision.
pub fn flow_m(pace_mps: f32, spacing_m: f32, flow_ms: u32) -> f32 {
    let most_mps = libm::fminf(FLOW_MOST_MPS, PASSES_MOST_HZ * spacing_m);
    let millimetres_a_second = libm::roundf(libm::fminf(pace_mps, most_mps) * 1e3) as u64;
    let spacing_um = (libm::roundf(spacing_m * 1e6) as u64).max(1);
    (millimetres_a_second * u64::from(flow_ms) % spacing_um) as f32 * 1e-6
}

/// Places every `spacing_m` of arc length along a path, the first one `first_m` from its beginning, with the metres
/// from there.
pub(super) fn steps(path: Path<'_>, spacing_m: f32, first_m: f32) -> impl Iterator<Item = (f32, Spot)> {
    let mut begin_m = 0.0;
    let mut next = 0_u32;
    // Counted from the path's beginning, so that no error adds up.
    let place_m = move |k: u32| first_m + spacing_m * k as f32;
    path.stretches().flat_map(move |stretch| {
        let (from_m, length_m) = (begin_m, stretch.length());
        begin_m += length_m;
        let reach = libm::floorf((begin_m - first_m) / spacing_m);
        let (first, end) = (next, if reach < 0.0 { 0 } else { reach as u32 + 1 });
        next = next.max(end);
        (first..end).map(move |k| {
            let share = libm::fminf((place_m(k) - from_m) / length_m, 1.0);
            (place_m(k), Spot { at: stretch.point(share), way: stretch.heading(share) })
        })
    })
}

/// Draws a line's dots. `room_m` is how much clear floor a dot has beyond what it needs, metres: with less than
/// nothing it is left out, or shrinks while it flows.
pub(super) fn draw(
    scene: &mut Sheet<'_, '_>,
    sizes: &Sizes,
    way: &Way<'_>,
    room_m: impl Fn(&Spot) -> f32,
) -> Result<(), SceneFull> {
    let (line, length_m) = (way.line, way.path.length_m());
    let reach_m = line.dot_m + 2.0 * sizes.keyline_m;
    let size_of = |s_m: f32, spot: &Spot| {
        let share = match way.form {
            Form::Flowing => {
                // Its edge stays where it is while its middle goes on.
                let (half_m, from_ends_m) = (line.dot_m * 0.5, libm::fminf(s_m, length_m - s_m));
                libm::fminf(1.0 + room_m(spot) / half_m, from_ends_m / half_m)
            }
            _ if room_m(spot) < 0.0 => 0.0,
            _ => 1.0,
        };
        line.dot_m * libm::fminf(share, 1.0)
    };
    item(scene, way.ink, sizes.keyline_m, |scene, pass| {
        steps(way.path, line.spacing_m, way.first_m).try_for_each(|(s_m, spot)| {
            if !scene.shows(&Bounds::round(spot.at, reach_m)) {
                return Ok(());
            }
            let size_m = size_of(s_m, &spot);
            if size_m < line.dot_m * LEAST_SHARE { Ok(()) } else { dot(scene, (way, size_m), &spot, pass) }
        })
    })
}

/// One dot; for later it is hollow, or a smaller chevron.
fn dot(scene: &mut Sheet<'_, '_>, (way, size_m): (&Way<'_>, f32), spot: &Spot, pass: Pass) -> Result<(), SceneFull> {
    let later = way.form == Form::Later;
    match way.line.dots {
        Dots::Discs => {
            scene.disc(spot.at, size_m * 0.5 + pass.grow_m)?;
            if later && !pass.keyline { scene.hole(spot.at, size_m * 0.3) } else { Ok(()) }
        }
        Dots::Chevrons => {
            let size_m = if later { size_m * 0.6 } else { size_m };
            chevron(scene, &Frame::along(spot.at, spot.way), size_m, pass.grow_m)
        }
    }
}

/// A chevron `size` long and as wide, its arms leaning 45 degrees, every side moved out by `grow`.
fn chevron(scene: &mut Sheet<'_, '_>, frame: &Frame, size: f32, grow: f32) -> Result<(), SceneFull> {
    let half = size * 0.5;
    // A leaning side moved out by `grow` moves its crossing with the axis by sqrt 2 of it.
    let slant = grow * core::f32::consts::SQRT_2;
    let side = half + grow;
    let (tip, notch) = (half + slant, -slant);
    scene.polygon_from([
        frame.at(tip, 0.0),
        frame.at(tip - side, side),
        frame.at(notch - side, side),
        frame.at(notch, 0.0),
        frame.at(notch - side, -side),
        frame.at(tip - side, -side),
    ])
}
