//! Panels that died, or came back, while the show is in memory: which marks they are under, and where else these could be.

use heapless::Vec;

use super::nudges::{is_stop, put_mark};
use super::recheck::{self, Found, Room};
use crate::floor::Block;
use crate::geom::{Convex, PixelPoint, StagePoint, StageVector, polygon};
use crate::limits as cap;
use crate::link::Refusal;
use crate::look::{marks, placed};
use crate::show::{CueId, MarkId, Show, TileFault, TileState};
use crate::units::Angle;

/// Farthest that another place for a mark is looked for, metres, in rings of [`RING_M`].
pub const NEAR_M: f32 = 0.25;
const RING_M: f32 = 0.05;
const RINGS: u8 = 5;
/// Directions in which each ring is looked at.
const DIRECTIONS: u16 = 32;
/// Nearer than this to a dead panel a mark's light falls on it, metres.
const ON_M: f32 = 1e-3;

/// Panels whose state differs from the stored show's, for whoever has to pass them on: 4 bytes each.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Tiles {
    changes: Vec<Change, { cap::TILE_FAULTS }>,
}

/// One panel that died or came back.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Change {
    /// Index of the block.
    pub block: u8,
    /// Panel column from the block's left canvas edge, 0 first.
    pub column: u8,
    /// Panel row from the block's top canvas edge, 0 first.
    pub row: u8,
    /// It is dead.
    pub dead: bool,
}

impl Tiles {
    /// As stored.
    pub const fn new() -> Self {
        Self { changes: Vec::new() }
    }

    /// Another show is in memory.
    pub fn forget(&mut self) {
        self.changes.clear();
    }

    /// All changes, each panel once.
    pub fn changes(&self) -> &[Change] {
        &self.changes
    }

    /// Makes a panel dead or good in the show in memory. True when it was not that already.
    ///
    /// # Errors
    /// [`Refusal::NoSuch`] for a panel that no block has; [`Refusal::Full`].
    pub fn set(&mut self, show: &mut Show, change: Change) -> Result<bool, Refusal> {
        let block = show.blocks.get(usize::from(change.block)).ok_or(Refusal::NoSuch)?;
        let (columns, rows) = block.panels();
        if u16::from(change.column) >= columns || u16::from(change.row) >= rows {
            return Err(Refusal::NoSuch);
        }
        let known = show.tile_faults.iter().position(|fault| is_of(fault, change));
        if known.is_some() == change.dead {
            return Ok(false);
        }
        let full = Refusal::Full { limit: cap::TILE_FAULTS as u32 };
        let earlier = self.changes.iter().position(|old| same_panel(*old, change));
        if earlier.is_none() && self.changes.is_full() {
            return Err(full);
        }
        match known {
            Some(i) => drop(show.tile_faults.swap_remove(i)),
            None => show.tile_faults.push(fault(change)).map_err(|_| full)?,
        }
        match earlier {
            // Back to what is stored.
            Some(i) => drop(self.changes.swap_remove(i)),
            None => self.changes.push(change).map_err(|_| full)?,
        }
        Ok(true)
    }
}

fn fault(Change { block, column, row, .. }: Change) -> TileFault {
    TileFault { block, column, row, state: TileState::Dead }
}

fn is_of(fault: &TileFault, change: Change) -> bool {
    (fault.block, fault.column, fault.row) == (change.block, change.column, change.row)
}

fn same_panel(a: Change, b: Change) -> bool {
    (a.block, a.column, a.row) == (b.block, b.column, b.row)
}

/// The marks of which a panel shows some: bit i for mark i. A mark counts with the shape round it, for everybody who is
/// placed on it.
pub fn touched(show: &Show, change: Change) -> u64 {
    let Some(area) = area(show, &fault(change)) else { return 0 };
    let marks = (0..).map(MarkId).zip(&show.marks);
    let touches = |id| outlines(show, id, &mut |outline| outline.gap(&area) < ON_M);
    marks.filter(|(id, _)| touches(*id)).fold(0, |bits, (id, _)| bits | 1_u64.checked_shl(id.0.into()).unwrap_or(0))
}

/// True when any of a mark lies on any dead or missing panel.
fn is_on_fault(show: &Show, id: MarkId) -> bool {
    let on = |fault: &TileFault| {
        let Some(area) = area(show, fault) else { return false };
        outlines(show, id, &mut |outline| outline.gap(&area) < ON_M)
    };
    show.tile_faults.iter().any(on)
}

/// True when `test` holds for a mark's own outline or as any cue uses it.
fn outlines(show: &Show, id: MarkId, test: &mut impl FnMut(&Convex) -> bool) -> bool {
    let Some(mark) = show.marks.get(id.index()) else { return false };
    let mut holds = |points: &[StagePoint]| Convex::polygon(points).is_ok_and(|outline| test(&outline));
    let placed = show.cue_places.iter().filter(|place| place.mark == Some(id));
    holds(&marks::field(mark)) || placed.filter_map(|place| placed::outline(show, place)).any(|(_, o)| holds(&o))
}

/// A panel's rectangle on the stage.
pub fn area(show: &Show, fault: &TileFault) -> Option<Convex> {
    let block: &Block = show.blocks.get(usize::from(fault.block))?;
    let (width, height) = (f32::from(block.panel_width_px), f32::from(block.panel_height_px));
    let x = f32::from(block.x_px) + width * f32::from(fault.column);
    let y = f32::from(block.y_px) + height * f32::from(fault.row);
    let corners = [(x, y), (x, y + height), (x + width, y + height), (x + width, y)];
    let mut corners = corners.map(|(x, y)| block.map.to_stage(PixelPoint::new(x, y)));
    if polygon::signed_area(&corners) < 0.0 {
        corners.reverse();
    }
    Convex::polygon(&corners).ok()
}

/// The nearest place within [`NEAR_M`] at which a mark lies on no dead panel and everybody who stands there in `cues`, or
/// walks there or from there, has room. The show is then as it was.
pub fn elsewhere(
    show: &mut Show,
    id: MarkId,
    cues: impl Iterator<Item = CueId> + Clone,
    room: &mut Room,
) -> Option<StagePoint> {
    let home = show.marks.get(id.index())?.at;
    let mut fits = |show: &mut Show, to: StagePoint| {
        put_mark(show, id, (home, to));
        let mut found = Found::default();
        if !is_on_fault(show, id) {
            cues.clone().for_each(|cue| recheck::check_mark(show, cue, id, room, &mut |one| found.count(one)));
        }
        put_mark(show, id, (to, home));
        // Nothing measured: it lay on a dead panel.
        found.checked > 0 && found.short == 0
    };
    places(home).find(|&to| to.distance(home) <= NEAR_M && !is_stop(show, to) && fits(show, to))
}

/// Places round `from`, the nearest ring first, on the 10 mm grid, as people measure them.
fn places(from: StagePoint) -> impl Iterator<Item = StagePoint> {
    let grid = |m: f32| libm::roundf(m * 100.0) / 100.0;
    (1..=RINGS).flat_map(move |ring| {
        (0..DIRECTIONS).map(move |step| {
            let (sin, cos) = Angle::from_degrees(f32::from(step) * 360.0 / f32::from(DIRECTIONS)).sin_cos();
            let to = from + StageVector::new(cos, sin) * (f32::from(ring) * RING_M);
            StagePoint::new(grid(to.x), grid(to.y))
        })
    })
}
