//! The ways of moving props: a thin dotted line round all that their parts pass over while their cue goes on.
//!
//! Dots on a dark line and nothing inside. What reaches the toes has its dots in an even row, what only passes at the
//! height of bodies has them in pairs, as its outline is dashed where the other's is solid; what passes overhead has
//! none. An arrow head in the middle of each leg says which way a keyed move goes.

use heapless::Vec;

use crate::geom::{Convex, Region, Rounded, Stretch, polygon};
use crate::limits as cap;
use crate::paint::SceneFull;
use crate::props::outline::union_outline;
use crate::props::sweep::travels;
use crate::props::{Placement, footprint, sweep};
use crate::show::{Band, Cue, CueProp, MotionKind, Part, PartShape, Prop, Show};

use super::drive::Drive;
use super::frame::Frame;
use super::ink;
use super::item::Pass;
use super::props::{HEAD_M, strongest};
use super::sheet::{Bounds, Sheet};
use super::sides::Sides;
use super::sizes::Sizes;
use super::walk;

/// Least distance from dot to dot, metres.
pub const SPACING_M: f32 = 0.15;
/// Dots along a line as long as the floor's edge: larger floors are seen from farther away.
pub const ROUND_THE_FLOOR: f32 = 160.0;
/// Diameter of a dot in shares of their distance.
pub const DOT: f32 = 0.2;
/// Least diameter of a dot, metres and pixels.
pub const DOT_LEAST: (f32, f32) = (0.025, 3.0);
/// Length of an arrow head in shares of the distance of dots; at least that of other arrow heads.
pub const HEAD: f32 = 0.5;
/// A leg shorter than this has no arrow head, metres.
const SHORT_M: f32 = 0.5;
/// A piece shorter than this share of the distance of dots has none.
const SHORT_PIECE: f32 = 0.3;
/// Farthest that the dark line below the dots may leave its arcs, metres.
const COARSE_M: f32 = 0.004;
/// From the start of the cue for as long as it takes.
const ALL_S: (f32, f32) = (0.0, f32::INFINITY);

/// Draws the ways of everything that moves in a cue, what leaves too: until it has gone, the floor there is not free.
/// With a moment of the cue, milliseconds since it began, what has come to rest by then has no way any more.
#[inline(never)]
pub(super) fn draw(
    scene: &mut Sheet<'_, '_>,
    sizes: &Sizes,
    (show, cue, cue_ms): (&Show, Option<&Cue>, Option<u32>),
    drive: &Drive,
) -> Result<(), SceneFull> {
    let Some(cue) = cue else { return Ok(()) };
    let left_s = cue_ms.map_or(ALL_S, |ms| (ms as f32 / 1000.0, f32::INFINITY));
    let states = show.props_in(cue).iter().filter(|state| travels(show, cue, state, left_s));
    states.into_iter().try_for_each(|state| one(scene, sizes, (show, cue, state), drive.prop(state.prop)))
}

/// Draws one way. It is made where it stays: on the box's stack there is no room for a second one.
#[inline(never)]
fn one(
    scene: &mut Sheet<'_, '_>,
    sizes: &Sizes,
    (show, cue, state): (&Show, &Cue, &CueProp),
    level: u8,
) -> Result<(), SceneFull> {
    let mut way = Sweep { show, state, regions: Vec::new(), pieces: Vec::new(), band: Band::Overhead };
    way.fill(cue)?;
    way.draw(scene, sizes, level)
}

/// One moving prop.
struct Sweep<'s> {
    show: &'s Show,
    state: &'s CueProp,
    regions: Vec<Region, { cap::SWEEP_REGIONS }>,
    /// The border of all regions; empty when it has more pieces than are kept: then they are looked for each time.
    pieces: Vec<Stretch, { cap::SWEEP_PIECES }>,
    band: Band,
}

impl Sweep<'_> {
    /// Adds the ways of all parts that people can meet.
    ///
    /// # Errors
    /// [`SceneFull`] when they have more pieces than can be put together.
    #[inline(never)]
    fn fill(&mut self, cue: &Cue) -> Result<(), SceneFull> {
        let (show, state) = (self.show, self.state);
        let Some(prop) = show.props.get(state.prop.index()) else { return Ok(()) };
        for (i, part) in show.parts_of(prop).iter().enumerate().filter(|(_, part)| strongest(part) != Band::Overhead) {
            self.band = self.band.min(strongest(part));
            if let Some(region) = self.round(prop, part) {
                self.add(region)?;
                continue;
            }
            let mut done = Ok(());
            // A part whose shape gives no footprint has no way either: `check` names it.
            let _ = sweep(show, cue, state, i as u8, ALL_S, None, &mut |region| {
                if done.is_ok() {
                    done = self.add(region);
                }
            });
            done?;
        }
        Ok(())
    }

    /// What has corners and goes round a circle: only the outside of its way is drawn. The inside would need very many
    /// regions.
    #[inline(never)]
    fn round(&self, prop: &Prop, part: &Part) -> Option<Region> {
        let (MotionKind::Circle { centre, radius_m, .. }, PartShape::Polygon(_)) = (self.motion()?, part.shape) else {
            return None;
        };
        let there = Placement { at: centre, ..Placement::resting(prop) };
        footprint::of_part(self.show, part, &there).ok()?.grown(radius_m).ok()
    }

    fn motion(&self) -> Option<MotionKind> {
        Some(self.show.motions.get(self.state.motion?.index())?.kind)
    }

    /// Adds a region; where there is no room the last one becomes the hull of both, which leaves nothing out.
    #[inline(never)]
    fn add(&mut self, region: Region) -> Result<(), SceneFull> {
        let Err(region) = self.regions.push(region) else { return Ok(()) };
        let full = SceneFull { list: "pieces of a moving prop's way", capacity: cap::SWEEP_REGIONS };
        let both = self.regions.last().and_then(|last| hull(last, &region)).ok_or(full)?;
        self.regions.last_mut().map(|last| *last = both).ok_or(full)
    }

    #[inline(never)]
    fn draw(&mut self, scene: &mut Sheet<'_, '_>, sizes: &Sizes, level: u8) -> Result<(), SceneFull> {
        let spacing_m = libm::fmaxf(SPACING_M, polygon::perimeter(&self.show.floor.vertices) / ROUND_THE_FLOOR);
        let least_m = libm::fmaxf(DOT_LEAST.0, DOT_LEAST.1 * sizes.pitch_m);
        let half_m = libm::fmaxf(least_m, spacing_m * DOT) * 0.5;
        let head_m = libm::fmaxf(HEAD_M, spacing_m * HEAD);
        let seen = |region: &Region| {
            let (centre, radius_m) = region.bounds();
            scene.shows(&Bounds::round(centre, radius_m + half_m + sizes.keyline_m))
        };
        if !self.regions.iter().any(seen) {
            return Ok(());
        }
        self.keep_pieces();
        let key = Pass { grow_m: sizes.keyline_m, keyline: true };
        self.each_piece(|piece| {
            // Each piece is a shape of its own: they overlap at corners.
            scene.begin(ink::KEY);
            walk::stretch(scene, piece, half_m + key.grow_m, libm::fmaxf(sizes.tolerance_m, COARSE_M))
        })?;
        scene.begin(ink::KEY);
        self.heads(scene, head_m, key)?;
        scene.begin(ink::PROP.dimmed(level));
        self.each_piece(|piece| self.dots(scene, piece, (spacing_m, half_m)))?;
        self.heads(scene, head_m, Pass { grow_m: 0.0, keyline: false })
    }

    #[inline(never)]
    fn keep_pieces(&mut self) {
        let (pieces, mut all_kept) = (&mut self.pieces, true);
        union_outline(&self.regions, &mut |piece| all_kept &= pieces.push(piece).is_ok());
        if !all_kept {
            pieces.clear();
        }
    }

    fn each_piece(&self, mut draw: impl FnMut(&Stretch) -> Result<(), SceneFull>) -> Result<(), SceneFull> {
        if !self.pieces.is_empty() {
            return self.pieces.iter().try_for_each(draw);
        }
        let mut done = Ok(());
        union_outline(&self.regions, &mut |piece| {
            if done.is_ok() {
                done = draw(&piece);
            }
        });
        done
    }

    /// Dots along one piece, evenly, with half a step to each of its ends.
    fn dots(
        &self,
        scene: &mut Sheet<'_, '_>,
        piece: &Stretch,
        (spacing_m, half_m): (f32, f32),
    ) -> Result<(), SceneFull> {
        let steps = piece.length() / spacing_m;
        let count = if (SHORT_PIECE..1.0).contains(&steps) { 1 } else { libm::roundf(steps) as u16 };
        for i in 0..count {
            if self.band == Band::Contact || i % 3 != 1 {
                scene.disc(piece.point((f32::from(i) + 0.5) / f32::from(count)), half_m)?;
            }
        }
        Ok(())
    }

    /// An arrow head in the middle of each leg of a keyed move.
    fn heads(&self, scene: &mut Sheet<'_, '_>, head_m: f32, pass: Pass) -> Result<(), SceneFull> {
        let Some(MotionKind::Keys { keys, .. }) = self.motion() else { return Ok(()) };
        let keys = keys.of(&self.show.motion_keys);
        for (a, b) in keys.iter().zip(keys.iter().skip(1)) {
            let way = b.place - a.place;
            let Some(ahead) = way.unit().filter(|_| way.length() >= SHORT_M) else { continue };
            let frame = Frame::along(a.place + way * 0.5, ahead);
            let (half, wing) = (head_m * 0.5, head_m * 0.55);
            Sides(&[frame.at(half, 0.0), frame.at(-half, wing), frame.at(-half, -wing)]).filled(scene, pass.grow_m)?;
        }
        Ok(())
    }
}

/// A convex region that holds both; `None` for one with too many corners.
#[inline(never)]
fn hull(a: &Region, b: &Region) -> Option<Region> {
    let whole = |region: &Region| match region {
        Region::Rounded(set) => Some(set.clone()),
        Region::Ring(ring) => {
            let (centre, radius_m) = ring.filled();
            Rounded::disc(centre, radius_m).ok()
        }
    };
    let (a, b) = (whole(a)?, whole(b)?);
    let mut corners = Vec::<_, 64>::new();
    corners.extend_from_slice(a.core().vertices()).ok()?;
    corners.extend_from_slice(b.core().vertices()).ok()?;
    let core = Convex::hull_of(&corners).ok()?;
    Rounded::new(core, libm::fmaxf(a.radius_m(), b.radius_m())).ok().map(Region::Rounded)
}
