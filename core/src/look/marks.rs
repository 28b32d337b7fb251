//! Marks: places for people.
//!
//! The sizes are common practice of the trade. Ahead is the way the person faces; a mark's point is the
//! midpoint between the heels, or the seat's centre for a bracket.

use heapless::Vec;

use crate::geom::{GeomError, StagePoint, StageVector, hull};
use crate::paint::SceneFull;
use crate::show::{Mark, MarkKind, Who};

use super::arc;
use super::frame::Frame;
use super::ink;
use super::item::{Pass, item};
use super::sheet::Sheet;
use super::sides::Sides;
use super::sizes::Sizes;
use super::states::MarkState;
use super::who::{self, Extent, Outline};

/// Length of a T's toe bar, metres.
pub const BAR_M: f32 = 0.30;
/// Centre line of the toe bar ahead of the mark's point, metres.
pub const TOE_M: f32 = 0.15;
/// Length of the stem behind the toe bar, metres.
pub const STEM_M: f32 = 0.25;
/// Outer width of a wheelchair bracket, metres.
pub const BRACKET_WIDTH_M: f32 = 0.80;
/// Outer length of a wheelchair bracket, metres.
pub const BRACKET_LENGTH_M: f32 = 1.30;
/// Centre-line radius of a ring mark, metres.
pub const RING_M: f32 = 0.15;

/// Most corners of a mark's [`outline`].
pub const OUTLINE_POINTS: usize = 16;

/// Drive left of an arrived mark, of 255: 30 % of its light on a floor of gamma 2.4.
pub const ARRIVED: u8 = 154;

/// How one mark is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Dress {
    /// Colour and shape of the person.
    pub(super) who: Who,
    /// The state that its form tells.
    pub(super) state: MarkState,
    /// Width of its lines, metres.
    pub(super) line_m: f32,
    /// Drive of its light, 0 to 255.
    pub(super) level: u8,
}

/// Draws a mark and the shape round it.
pub(super) fn draw(scene: &mut Sheet<'_, '_>, sizes: &Sizes, mark: &Mark, dress: Dress) -> Result<(), SceneFull> {
    let frame = Frame::facing(mark.at, mark.facing_deg);
    let half = dress.line_m * 0.5;
    let outline = Outline::of(dress.who, &frame, extent(mark.kind, dress.who, half), half);
    let level = if dress.state == MarkState::Arrived { ARRIVED } else { 255 };
    let ink = ink::of(dress.who).dimmed(level).dimmed(dress.level);
    item(scene, ink, sizes.keyline_m, |scene, pass| {
        outline.draw(scene, (half, sizes.tolerance_m), pass, dress.state)?;
        form(scene, mark.kind, &frame, (half, sizes), pass, dress.state == MarkState::Later)
    })
}

/// The rectangle that a mark's form fills, without the shape round it, counter-clockwise seen from above: a tee's toe
/// bar is 0.15 m ahead of the heels' place, and its stem ends 0.10 m behind it.
pub fn field(mark: &Mark) -> [StagePoint; 4] {
    let bar = BAR_M * 0.5;
    let (side, back, front) = match mark.kind {
        MarkKind::Tee => (bar, TOE_M - STEM_M, TOE_M + 0.05),
        MarkKind::Bracket => (BRACKET_WIDTH_M * 0.5, -BRACKET_LENGTH_M * 0.5, BRACKET_LENGTH_M * 0.5),
        MarkKind::Ring | MarkKind::Cross => (bar, -bar, bar),
    };
    let frame = Frame::facing(mark.at, mark.facing_deg);
    [(back, -side), (front, -side), (front, side), (back, side)].map(|(ahead, left)| frame.at(ahead, left))
}

/// Farthest that a mark and its shape reach from the mark's point, for lines of `line_m`, metres.
pub fn reach_m(kind: MarkKind, who: Who, line_m: f32) -> f32 {
    let frame = Frame::facing(StagePoint::default(), 0.0);
    let half = line_m * 0.5;
    let shape = match Outline::of(who, &frame, extent(kind, who, half), half) {
        Outline::Circle { centre, radius_m, .. } => centre.distance(frame.origin) + radius_m,
        Outline::Polygon { corners, .. } => corners.iter().map(|c| c.distance(frame.origin)).fold(0.0, libm::fmaxf),
    };
    let form = corners(kind, &frame, half, 0.0);
    form.iter().map(|c| c.distance(frame.origin)).fold(shape + half, libm::fmaxf)
}

/// Farthest that a mark and its shape reach from the mark's point in the direction of `way`, metres.
pub fn support_m(mark: &Mark, who: Who, line_m: f32, way: StageVector) -> f32 {
    let frame = Frame::facing(mark.at, mark.facing_deg);
    let half = line_m * 0.5;
    let shape = match Outline::of(who, &frame, extent(mark.kind, who, half), half) {
        Outline::Circle { centre, radius_m, .. } => (centre - mark.at).dot(way) + radius_m,
        Outline::Polygon { corners, .. } => corners.iter().map(|&c| (c - mark.at).dot(way)).fold(0.0, libm::fmaxf),
    };
    let form = corners(mark.kind, &frame, half, 0.0);
    form.iter().map(|&c| (c - mark.at).dot(way)).fold(shape + half, libm::fmaxf)
}

/// The convex outline of all that a mark lights or darkens on the floor in any of its states, its shape and keyline
/// with it, for lines of `line_m` with `keyline_m` on each side. Counter-clockwise seen from above; round ones are
/// given as the polygon of sixteen sides that touches them, at most a 51st of their radius too large.
///
/// # Errors
/// [`GeomError`] for a mark that no show may have: its place is not finite.
pub fn outline(
    mark: &Mark,
    who: Who,
    (line_m, keyline_m): (f32, f32),
) -> Result<Vec<StagePoint, OUTLINE_POINTS>, GeomError> {
    let frame = Frame::facing(mark.at, mark.facing_deg);
    let half = line_m * 0.5;
    let mut points = Vec::<StagePoint, { 2 * OUTLINE_POINTS }>::new();
    points.extend(match mark.kind {
        MarkKind::Ring => round(frame.origin, RING_M + half + keyline_m),
        _ => corners(mark.kind, &frame, half, keyline_m).iter().copied().collect(),
    });
    points.extend(match Outline::of(who, &frame, extent(mark.kind, who, half), half) {
        Outline::Circle { centre, radius_m, .. } => round(centre, radius_m + half + keyline_m),
        Outline::Polygon { corners, .. } => Sides(&corners).outset(half + keyline_m).collect(),
    });
    let hull = hull::hull::<{ 2 * OUTLINE_POINTS }>(&points)?;
    // The shape goes round the mark or lies inside it: never more corners than either has.
    Vec::from_slice(&hull).map_err(|_| GeomError::TooMany)
}

/// The polygon that touches a circle with the middles of its sides.
fn round(centre: StagePoint, radius_m: f32) -> Vec<StagePoint, OUTLINE_POINTS> {
    let step = core::f32::consts::TAU / OUTLINE_POINTS as f32;
    let reach_m = radius_m / libm::cosf(step * 0.5);
    (0..OUTLINE_POINTS).map(|i| arc::on_circle(centre, reach_m, step * i as f32)).collect()
}

fn extent(kind: MarkKind, who: Who, half: f32) -> Extent {
    match kind {
        MarkKind::Tee => Extent { front_m: TOE_M + half, back_m: TOE_M - half - STEM_M, side_m: BAR_M * 0.5 },
        // Inside the bracket, where the chair will stand: found on approach, covered on arrival.
        MarkKind::Bracket => {
            let room = who::room(who, BRACKET_WIDTH_M * 0.5 - 2.0 * half - who::CLEAR_M * 0.5, half);
            Extent { front_m: room, back_m: -room, side_m: room }
        }
        MarkKind::Ring => Extent { front_m: RING_M + half, back_m: -RING_M - half, side_m: RING_M + half },
        MarkKind::Cross => {
            let reach = (BAR_M * 0.5 + half) * core::f32::consts::FRAC_1_SQRT_2;
            Extent { front_m: reach, back_m: -reach, side_m: reach }
        }
    }
}

/// The mark itself; hollow when it is for later.
fn form(
    scene: &mut Sheet<'_, '_>,
    kind: MarkKind,
    frame: &Frame,
    (half, sizes): (f32, &Sizes),
    pass: Pass,
    hollow: bool,
) -> Result<(), SceneFull> {
    let wall = libm::fmaxf(0.012, 3.0 * sizes.pitch_m);
    let hole = (hollow && !pass.keyline && half > wall).then_some(-wall);
    if kind == MarkKind::Ring {
        arc::ring(scene, frame.origin, RING_M, half + pass.grow_m)?;
        // The hole of a hollow band is the band between its walls, taken away.
        return hole.map_or(Ok(()), |grow| {
            scene.hole(frame.origin, RING_M + half + grow)?;
            scene.disc(frame.origin, RING_M - half - grow)
        });
    }
    scene.polygon(&corners(kind, frame, half, pass.grow_m))?;
    hole.map_or(Ok(()), |grow| scene.polygon_from(corners(kind, frame, half, grow).into_iter().rev()))
}

/// Corners of a mark's form, counter-clockwise, every side moved out by `grow` metres.
fn corners(kind: MarkKind, frame: &Frame, half: f32, grow: f32) -> Vec<StagePoint, 12> {
    let w = half + grow;
    let put = |list: &[(f32, f32)]| list.iter().map(|&(ahead, left)| frame.at(ahead, left)).collect();
    match kind {
        MarkKind::Tee => {
            let (toe, heel, back) = (TOE_M + w, TOE_M - w, TOE_M - half - STEM_M - grow);
            let bar = BAR_M * 0.5 + grow;
            put(&[(back, -w), (heel, -w), (heel, -bar), (toe, -bar), (toe, bar), (heel, bar), (heel, w), (back, w)])
        }
        MarkKind::Bracket => {
            let (front, back) = (BRACKET_LENGTH_M * 0.5 + grow, -BRACKET_LENGTH_M * 0.5 - grow);
            let side = BRACKET_WIDTH_M * 0.5 + grow;
            let (inner, stop) = (side - 2.0 * w, front - 2.0 * w);
            put(&[
                (back, -side),
                (front, -side),
                (front, side),
                (back, side),
                (back, inner),
                (stop, inner),
                (stop, -inner),
                (back, -inner),
            ])
        }
        MarkKind::Cross | MarkKind::Ring => {
            // Turned by an eighth, so that no bar can be taken for a toe bar.
            let turned = |(a, l): (f32, f32)| {
                let k = core::f32::consts::FRAC_1_SQRT_2;
                ((a - l) * k, (a + l) * k)
            };
            let r = BAR_M * 0.5 + grow;
            put(&[
                (-w, -w),
                (-w, -r),
                (w, -r),
                (w, -w),
                (r, -w),
                (r, w),
                (w, w),
                (w, r),
                (-w, r),
                (-w, w),
                (-r, w),
                (-r, -w),
            ]
            .map(turned))
        }
    }
}
