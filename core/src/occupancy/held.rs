//! What holds at one cell at one moment of a cue.

use super::area::Area;
use super::{Cause, Cell, CellClass, Found, MapError, border};
use crate::geom::{Convex, GeomError, PixelPoint, Region, Rounded};
use crate::props::life::{Life, life_at};
use crate::props::sweep::sweep;
use crate::props::{Limit, footprint, motion, physical};
use crate::show::{Band, Cue, CueProp, Part, Show, TileFault};

/// What gets somewhere within so many seconds makes it [`CellClass::SweptSoon`].
pub const SOON_S: f32 = 3.0;

/// The class of a cell at `t_s` seconds after the start of `cue`, and the first thing that gives it.
///
/// # Errors
/// [`MapError::Shape`]: nothing is said about a cell while a shape of the cue cannot be used.
pub fn class_of(show: &Show, cue: &Cue, t_s: f32, cell: &Cell) -> Result<Found, MapError> {
    let mut best = Found::default();
    each_at(show, cue, t_s, cell, &mut |found| {
        if found.class.beats(best.class) {
            best = found;
        }
    })?;
    Ok(best)
}

/// Calls `tell` with everything that touches a cell, in the order props of the cue, floor, physical things,
/// panels; a thing may come twice.
///
/// # Errors
/// As [`class_of`].
pub fn each_at(show: &Show, cue: &Cue, t_s: f32, cell: &Cell, tell: &mut impl FnMut(Found)) -> Result<(), MapError> {
    areas(show, cue, t_s, &mut |class, cause, area| {
        let cause = Some(cause);
        if area.touches(cell).map_err(|fault| MapError::Shape { cause, fault })? {
            tell(Found { class, cause });
        }
        Ok(())
    })
}

/// Calls `each` with every area that gives a class.
pub(super) fn areas(
    show: &Show,
    cue: &Cue,
    t_s: f32,
    each: &mut impl FnMut(CellClass, Cause, &Area<'_>) -> Result<(), MapError>,
) -> Result<(), MapError> {
    let t_s = t_s.max(0.0);
    for state in show.props_in(cue) {
        prop_areas(show, cue, (state, t_s), each)?;
    }
    border::areas(show, each)?;
    for (i, thing) in show.physicals.iter().enumerate() {
        let area = physical::rectangle(thing).and_then(|set| Rounded::new(set, 0.0));
        one(CellClass::Physical, Cause::Limit(Limit::Physical(i as u8)), area.map(Region::Rounded), each)?;
    }
    for (i, fault) in show.tile_faults.iter().enumerate() {
        if let Some(panel) = panel(show, fault) {
            one(CellClass::Dead, Cause::Tile(i as u8), panel, each)?;
        }
    }
    Ok(())
}

fn prop_areas(
    show: &Show,
    cue: &Cue,
    (state, t_s): (&CueProp, f32),
    each: &mut impl FnMut(CellClass, Cause, &Area<'_>) -> Result<(), MapError>,
) -> Result<(), MapError> {
    let Some(prop) = show.props.get(state.prop.index()) else { return Ok(()) };
    let life = life_at(show, state, t_s);
    let Some(now) = motion::at(show, cue, state, t_s).filter(|_| life != Life::Gone) else { return Ok(()) };
    for (i, part) in show.parts_of(prop).iter().enumerate() {
        let cause = Cause::Limit(Limit::Part { prop: state.prop, part: i as u8 });
        let (bottom_m, top_m) = now.heights(part.bottom_m, part.top_m);
        if let (true, Some(class)) = (life != Life::Coming, class_now(&Part { bottom_m, top_m, ..*part })) {
            one(class, cause, footprint::of_part(show, part, &now.placement), each)?;
        }
        for span_s in spans_soon(show, state, life, t_s).into_iter().flatten() {
            let mut done = Ok(());
            let swept = sweep(show, cue, state, i as u8, span_s, None, &mut |region| {
                if done.is_ok() {
                    done = one(CellClass::SweptSoon, cause, Ok(region), each);
                }
            });
            swept.map_err(|fault| MapError::Shape { cause: Some(cause), fault })?;
            done?;
        }
    }
    Ok(())
}

/// The class that a part gives while it is there: that of its lowest band, which beats those above.
fn class_now(part: &Part) -> Option<CellClass> {
    let bands =
        [(Band::Contact, CellClass::Contact), (Band::Body, CellClass::Body), (Band::Overhead, CellClass::Overhead)];
    bands.into_iter().find(|&(band, _)| part.reaches(band)).map(|(_, class)| class)
}

/// The times in which what a prop passes over counts as soon.
///
/// For what is there: the next [`SOON_S`], when it moves. For what is coming the same, because people see its
/// outline move on the floor, and so long again from the moment when it comes into the picture.
fn spans_soon(show: &Show, state: &CueProp, life: Life, t_s: f32) -> [Option<(f32, f32)>; 2] {
    let from = |start_s: f32| (start_s, start_s + SOON_S);
    match life {
        Life::Gone => [None, None],
        Life::Live | Life::Leaving => [motion::moves(show, state).then(|| from(t_s)), None],
        Life::Coming => [Some(from(t_s)), motion::appears_s(state).map(from)],
    }
}

/// The area of a dead or missing panel; `None` for one that no block has.
fn panel(show: &Show, fault: &TileFault) -> Option<Result<Region, GeomError>> {
    let block = show.blocks.get(usize::from(fault.block))?;
    let edge = |start: u16, index: u8, size: u16| f32::from(start) + f32::from(index) * f32::from(size);
    let (left, top) =
        (edge(block.x_px, fault.column, block.panel_width_px), edge(block.y_px, fault.row, block.panel_height_px));
    let (right, bottom) = (left + f32::from(block.panel_width_px), top + f32::from(block.panel_height_px));
    let corners = [(left, top), (left, bottom), (right, bottom), (right, top)];
    let corners = corners.map(|(x, y)| block.map.to_stage(PixelPoint::new(x, y)));
    Some(Convex::hull_of(&corners).and_then(|set| Rounded::new(set, 0.0)).map(Region::Rounded))
}

fn one(
    class: CellClass,
    cause: Cause,
    region: Result<Region, GeomError>,
    each: &mut impl FnMut(CellClass, Cause, &Area<'_>) -> Result<(), MapError>,
) -> Result<(), MapError> {
    let region = region.map_err(|fault| MapError::Shape { cause: Some(cause), fault })?;
    each(class, cause, &Area::Region(&region))
}
