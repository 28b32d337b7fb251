//! Footprints of props. The form of the line says how high the part is and where the prop is in its life.
//!
//! Contact solid, body dashed, overhead ticks at the corners. Coming: arrow heads point in; live: none;
//! leaving: arrow heads point out. The centre line of the band is the footprint's edge.

use core::f32::consts::{FRAC_PI_2, FRAC_PI_4, TAU};

use heapless::Vec;

use crate::geom::StagePoint;
use crate::limits;
use crate::paint::SceneFull;
use crate::show::{Band, Part, PartShape, Presence, Prop, Show};
use crate::units::Angle;

use super::arc;
use super::dash::Dashes;
use super::frame::Frame;
use super::ink;
use super::item::{Pass, item};
use super::sheet::{Bounds, Sheet};
use super::sides::{Sides, Station};
use super::sizes::Sizes;

/// Length of an overhead tick from its corner, metres.
pub const TICK_M: f32 = 0.25;
/// Length of an arrow head, metres.
pub const HEAD_M: f32 = 0.14;
/// Distance that arrow heads along an outline aim at, metres.
pub const HEAD_SPACING_M: f32 = 1.1;

/// The strongest band that a part reaches: the one people meet first.
pub fn strongest(part: &Part) -> Band {
    if part.reaches(Band::Contact) {
        Band::Contact
    } else if part.reaches(Band::Body) {
        Band::Body
    } else {
        Band::Overhead
    }
}

/// Draws the outlines of all parts of a prop that stands at `frame`.
pub(super) fn draw(
    scene: &mut Sheet<'_, '_>,
    sizes: &Sizes,
    show: &Show,
    prop: &Prop,
    (frame, presence, level): (&Frame, Presence, u8),
) -> Result<(), SceneFull> {
    let parts = show.parts_of(prop);
    // A tower above its own base has one footprint: only the part that people meet first is drawn.
    let below = |i: usize, part: &Part| {
        let rank = |j: usize, p: &Part| (strongest(p), j);
        parts.iter().enumerate().any(|(j, p)| p.shape == part.shape && rank(j, p) < rank(i, part))
    };
    for (_, part) in parts.iter().enumerate().filter(|&(i, part)| !below(i, part)) {
        let outline = Outline::of(show, part, frame);
        if !scene.shows(&outline.bounds(sizes)) {
            continue;
        }
        item(scene, ink::PROP.dimmed(level), sizes.keyline_m, |scene, pass| {
            outline.draw(scene, sizes, strongest(part), pass)?;
            outline.heads(scene, sizes, presence, pass)
        })?;
    }
    Ok(())
}

/// A part's footprint on the stage.
#[derive(Clone, Debug)]
pub(super) enum Outline {
    Disc { centre: StagePoint, radius_m: f32, ahead: f32 },
    Ring(Ring),
    Polygon(Vec<StagePoint, { limits::HULL_VERTICES }>),
}

/// A ring with an opening; `from` to `to` is the solid part, radians counter-clockwise.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ring {
    pub(super) centre: StagePoint,
    pub(super) inner_m: f32,
    pub(super) outer_m: f32,
    from: f32,
    to: f32,
}

impl Outline {
    pub(super) fn of(show: &Show, part: &Part, frame: &Frame) -> Self {
        let place = |p: StagePoint| frame.at(p.x, p.y);
        let ahead = libm::atan2f(frame.ahead.y, frame.ahead.x);
        match part.shape {
            PartShape::Disc { at, radius_m } => Self::Disc { centre: place(at), radius_m, ahead },
            PartShape::Ring { at, inner_m, outer_m, gap_deg, gap_m } => {
                let half = libm::asinf(libm::fminf(gap_m * 0.5 / outer_m, 1.0));
                let middle = ahead + Angle::from_degrees(gap_deg).to_radians();
                let (from, to) = (middle + half, middle + TAU - half);
                Self::Ring(Ring { centre: place(at), inner_m, outer_m, from, to })
            }
            PartShape::Polygon(run) => {
                let vertices = run.of(&show.part_vertices).iter().take(limits::HULL_VERTICES);
                Self::Polygon(vertices.map(|&p| place(p)).collect())
            }
        }
    }

    fn draw(&self, scene: &mut Sheet<'_, '_>, sizes: &Sizes, band: Band, pass: Pass) -> Result<(), SceneFull> {
        let half = sizes.half_m() + pass.grow_m;
        match self {
            Self::Disc { centre, radius_m, ahead } => {
                circle(scene, *centre, (*radius_m, half, *ahead), (sizes, band, pass))
            }
            Self::Ring(ring) => ring.draw(scene, sizes, band, pass),
            Self::Polygon(vertices) => polygon(scene, &Sides(vertices), half, (sizes, band, pass)),
        }
    }

    /// Bounds that nothing drawn of the outline reaches past.
    fn bounds(&self, sizes: &Sizes) -> Bounds {
        // Arrow heads stand off it, and sharp corners reach out by twice the widths laid round it.
        let margin_m = HEAD_M + 2.0 * sizes.line_m + 8.0 * sizes.keyline_m;
        match self {
            Self::Disc { centre, radius_m, .. } => Bounds::round(*centre, radius_m + margin_m),
            Self::Ring(ring) => Bounds::round(ring.centre, ring.outer_m + margin_m),
            Self::Polygon(vertices) => Bounds::of(vertices).grown(margin_m),
        }
    }

    fn heads(&self, scene: &mut Sheet<'_, '_>, sizes: &Sizes, presence: Presence, pass: Pass) -> Result<(), SceneFull> {
        if presence == Presence::Live {
            return Ok(());
        }
        let off = sizes.half_m() + 2.0 * sizes.keyline_m;
        let head = |scene: &mut Sheet<'_, '_>, s: Station| arrow(scene, s, off, (presence, pass.grow_m));
        match self {
            Self::Disc { centre, radius_m, ahead } => {
                let n = count(TAU * radius_m);
                (0..n).try_for_each(|i| head(scene, round(*centre, *radius_m, ahead + share(TAU, i, n))))
            }
            Self::Ring(r) => {
                let n = count((r.to - r.from) * r.outer_m);
                let at = |i| r.from + share(r.to - r.from, i, n);
                (0..n).try_for_each(|i| head(scene, round(r.centre, r.outer_m, at(i))))
            }
            Self::Polygon(vertices) => {
                let shape = Sides(vertices);
                let perimeter = shape.perimeter_m();
                let n = if vertices.len() <= 4 { vertices.len() as u16 } else { count(perimeter) };
                (0..n).try_for_each(|i| {
                    let along = if vertices.len() <= 4 { shape.middle_m(i.into()) } else { share(perimeter, i, n) };
                    head(scene, shape.station(along))
                })
            }
        }
    }
}

impl Ring {
    /// True without a gap.
    pub(super) fn is_closed(&self) -> bool {
        self.to - self.from >= TAU - 1e-4
    }

    fn draw(&self, scene: &mut Sheet<'_, '_>, sizes: &Sizes, band: Band, pass: Pass) -> Result<(), SceneFull> {
        let half = sizes.half_m() + pass.grow_m;
        if self.is_closed() {
            let turn = self.from;
            circle(scene, self.centre, (self.outer_m, half, turn), (sizes, band, pass))?;
            return circle(scene, self.centre, (self.inner_m, half, turn), (sizes, band, pass));
        }
        let whole = band == Band::Contact || (pass.keyline && band == Band::Body);
        if whole {
            let (tol, thick) = (sizes.tolerance_m, self.outer_m - self.inner_m);
            scene.polygon_from(self.edge(half, tol))?;
            return if thick > 2.0 * half { scene.polygon_from(self.edge(-half, tol).rev()) } else { Ok(()) };
        }
        self.open_arc(scene, (self.outer_m, half), (sizes, band, pass))?;
        self.open_arc(scene, (self.inner_m, half), (sizes, band, pass))
    }

    /// The outline with every side moved out by `by_m`, counter-clockwise.
    pub(super) fn edge(&self, by_m: f32, tolerance_m: f32) -> impl DoubleEndedIterator<Item = StagePoint> {
        // Its straight ends move parallel to themselves, so the same metres are more of a turn near the centre.
        let turn = |radius: f32| libm::asinf(libm::fmaxf(libm::fminf(by_m / radius, 1.0), -1.0));
        let (outer, inner) = (self.outer_m + by_m, libm::fmaxf(self.inner_m - by_m, 0.001));
        let n = arc::steps(outer, self.to - self.from, tolerance_m);
        let out = arc::along(self.centre, outer, (self.from - turn(outer), self.to + turn(outer)), n);
        let back = arc::along(self.centre, inner, (self.from - turn(inner), self.to + turn(inner)), n);
        out.chain(back.rev())
    }

    /// One of the two arcs of a gapped ring in dashes or in corner ticks.
    fn open_arc(
        &self,
        scene: &mut Sheet<'_, '_>,
        (radius, half): (f32, f32),
        (sizes, band, pass): (&Sizes, Band, Pass),
    ) -> Result<(), SceneFull> {
        let length = (self.to - self.from) * radius;
        let dashes = Dashes::open(length);
        let (n, dash, period) = match band {
            Band::Overhead => (2, libm::fminf(TICK_M, length / 3.0), length - libm::fminf(TICK_M, length / 3.0)),
            _ => (dashes.count, dashes.dash_m, dashes.period_m()),
        };
        for i in 0..n {
            let start = period * f32::from(i) - pass.grow_m;
            let ends = (self.from + start / radius, self.from + (start + dash + 2.0 * pass.grow_m) / radius);
            arc::sector(scene, self.centre, (radius - half, radius + half), ends, sizes.tolerance_m)?;
        }
        Ok(())
    }
}

fn circle(
    scene: &mut Sheet<'_, '_>,
    centre: StagePoint,
    (radius, half, ahead): (f32, f32, f32),
    (sizes, band, pass): (&Sizes, Band, Pass),
) -> Result<(), SceneFull> {
    match band {
        Band::Contact => arc::ring(scene, centre, radius, half),
        Band::Body if pass.keyline => arc::ring(scene, centre, radius, half),
        Band::Body => arc::dashed(scene, centre, (radius, half), ahead, sizes.tolerance_m),
        Band::Overhead => {
            let tick = libm::fminf(2.0 * TICK_M, radius * FRAC_PI_4) + 2.0 * pass.grow_m;
            let share = tick / (radius * FRAC_PI_2);
            arc::pieces(scene, centre, (radius, half), (4, share, ahead + FRAC_PI_4), sizes.tolerance_m)
        }
    }
}

fn polygon(
    scene: &mut Sheet<'_, '_>,
    shape: &Sides<'_>,
    half: f32,
    (sizes, band, pass): (&Sizes, Band, Pass),
) -> Result<(), SceneFull> {
    match band {
        Band::Contact => shape.band(scene, half),
        Band::Body if pass.keyline || shape.narrow(sizes.half_m()) => shape.band(scene, half),
        Band::Body => shape.dashed(scene, half),
        Band::Overhead => shape.corners(scene, half, TICK_M + pass.grow_m),
    }
}

fn count(perimeter_m: f32) -> u16 {
    let n = libm::roundf(perimeter_m / HEAD_SPACING_M);
    libm::fminf(libm::fmaxf(n, 3.0), 10.0) as u16
}

/// The middle of share `i` of `n` equal shares.
fn share(whole: f32, i: u16, n: u16) -> f32 {
    whole * (f32::from(i) + 0.5) / f32::from(n.max(1))
}

fn round(centre: StagePoint, radius_m: f32, angle: f32) -> Station {
    let at = arc::on_circle(centre, radius_m, angle);
    Station { at, out: (at - centre).unit().unwrap_or_default() }
}

/// An arrow head outside the outline.
fn arrow(
    scene: &mut Sheet<'_, '_>,
    station: Station,
    off: f32,
    (presence, grow): (Presence, f32),
) -> Result<(), SceneFull> {
    let frame = Frame::along(station.at, station.out);
    let (near, far, w) = (off, off + HEAD_M, HEAD_M * 0.55);
    let corners = match presence {
        Presence::Coming => [frame.at(near, 0.0), frame.at(far, -w), frame.at(far, w)],
        _ => [frame.at(far, 0.0), frame.at(near, w), frame.at(near, -w)],
    };
    Sides(&corners).filled(scene, grow)
}
