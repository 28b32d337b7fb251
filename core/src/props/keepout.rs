//! Keep-outs: footprints grown by the room that a person needs.
//!
//! For what stands still, (contact ∪ body) ⊕ disc(body radius + clearance + survey allowance). For what
//! moves, the footprint is first swept along its travel for the time until a person reacts, so that the
//! clearance ahead is 0.50 m + speed × (latency + 0.7 s) and 0.50 m on the other sides. A moving ring
//! counts as its filled disc. Overhead parts have no keep-out.

use heapless::Vec;

use super::{Placement, Reach, footprint, physical};
use crate::geom::{GeomError, Region, Rounded, StagePoint};
use crate::show::{Cue, Name, Part, PropId, Show};

/// What a person would stand too near to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Limit {
    /// Beyond the floor's outline.
    OffFloor,
    /// A side of the floor: from vertex i to the next.
    Edge(u8),
    /// A part of a prop.
    Part {
        /// The prop.
        prop: PropId,
        /// Index among the prop's parts.
        part: u8,
    },
    /// A physical thing.
    Physical(u8),
}

impl Limit {
    /// The name of the prop or the physical thing; `None` for the floor's sides and its end, and for what the show
    /// does not have.
    pub fn name<'s>(&self, show: &'s Show) -> Option<&'s Name> {
        match *self {
            Self::Part { prop, .. } => show.props.get(prop.index()).map(|p| &p.name),
            Self::Physical(i) => show.physicals.get(usize::from(i)).map(|p| &p.name),
            Self::Edge(_) | Self::OffFloor => None,
        }
    }
}

/// One keep-out: a region that the midpoint between a person's heels must not enter.
///
/// About 170 bytes: a list for a cue with twenty of them takes 3.4 KB, so the caller chooses its length.
#[derive(Clone, Debug, PartialEq)]
pub struct KeepOut {
    /// What it is about.
    pub limit: Limit,
    /// Where nobody's midpoint may be.
    pub region: Region,
}

/// Why keep-outs could not be listed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum KeepOutError {
    /// More keep-outs than the list holds.
    Full {
        /// Its capacity.
        capacity: usize,
    },
    /// A footprint cannot be used.
    Shape {
        /// Whose.
        limit: Limit,
        /// What is wrong with it.
        fault: GeomError,
    },
}

impl KeepOut {
    /// Distance from `p` to the keep-out, metres; negative: so much is missing to the clearance.
    /// A person may stand on the boundary.
    pub fn signed_distance(&self, p: StagePoint) -> f32 {
        self.region.signed_distance(p)
    }
}

/// The keep-out of one part, or `None` for a part that is only overhead.
///
/// # Errors
/// [`GeomError`] as [`footprint::of_part`].
pub fn of_part(show: &Show, part: &Part, placement: &Placement, reach: &Reach) -> Result<Option<Region>, GeomError> {
    if !part.meets_bodies() {
        return Ok(None);
    }
    let still = footprint::of_part(show, part, placement)?;
    let lead = reach.lead(placement.velocity);
    if lead.length() == 0.0 {
        return still.grown(reach.beside_still_m()).map(Some);
    }
    let whole = match still {
        Region::Rounded(set) => set,
        Region::Ring(ring) => {
            let (centre, radius_m) = ring.filled();
            Rounded::disc(centre, radius_m)?
        }
    };
    whole.swept(lead)?.grown(reach.beside_moving_m()).map(|set| Some(Region::Rounded(set)))
}

/// Adds the keep-outs of one prop.
///
/// # Errors
/// [`KeepOutError`]; the list then holds the parts before the faulty one.
pub fn add_prop<const N: usize>(
    list: &mut Vec<KeepOut, N>,
    show: &Show,
    prop: PropId,
    placement: &Placement,
    reach: &Reach,
) -> Result<(), KeepOutError> {
    let Some(data) = show.props.get(prop.index()) else { return Ok(()) };
    for (i, part) in show.parts_of(data).iter().enumerate() {
        let limit = Limit::Part { prop, part: i as u8 };
        if let Some(region) = named(limit, of_part(show, part, placement, reach))? {
            add(list, limit, region)?;
        }
    }
    Ok(())
}

/// Adds the keep-outs of furniture and columns.
///
/// # Errors
/// [`KeepOutError`].
pub fn add_physicals<const N: usize>(
    list: &mut Vec<KeepOut, N>,
    show: &Show,
    reach: &Reach,
) -> Result<(), KeepOutError> {
    let stopping = show.physicals.iter().enumerate().filter(|(_, thing)| physical::stops_people(thing.kind));
    for (i, thing) in stopping {
        let limit = Limit::Physical(i as u8);
        let grown = physical::rectangle(thing).and_then(|area| Rounded::new(area, reach.beside_still_m()));
        add(list, limit, Region::Rounded(named(limit, grown)?))?;
    }
    Ok(())
}

/// All keep-outs of a cue: props coming, live and leaving where its moves leave them, and physical things.
///
/// # Errors
/// [`KeepOutError`].
pub fn of_cue<const N: usize>(show: &Show, cue: &Cue, reach: &Reach) -> Result<Vec<KeepOut, N>, KeepOutError> {
    let mut list = Vec::new();
    for state in show.props_in(cue) {
        if let Some(placement) = Placement::after(show, cue, state.prop) {
            add_prop(&mut list, show, state.prop, &placement, reach)?;
        }
    }
    add_physicals(&mut list, show, reach)?;
    Ok(list)
}

fn named<T>(limit: Limit, result: Result<T, GeomError>) -> Result<T, KeepOutError> {
    result.map_err(|fault| KeepOutError::Shape { limit, fault })
}

fn add<const N: usize>(list: &mut Vec<KeepOut, N>, limit: Limit, region: Region) -> Result<(), KeepOutError> {
    list.push(KeepOut { limit, region }).map_err(|_| KeepOutError::Full { capacity: N })
}

#[cfg(test)]
mod tests {
    use super::KeepOut;

    #[test]
    fn a_keep_out_is_as_small_as_its_document_says() {
        let bytes = core::mem::size_of::<KeepOut>();
        assert!((160..=180).contains(&bytes), "{bytes}");
    }
}
