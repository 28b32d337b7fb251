//! Who and what is where in each cue, read off the running order.

use underfoot_core::geom::StagePoint;
use underfoot_core::props::{Placement, life, motion, sweep};
use underfoot_core::show::{Cue, CueProp, LineId, MarkId, PersonId, PropId, Show};

/// One cue's people and props.
#[derive(Clone, Debug, Default)]
pub(super) struct Cast {
    /// The cue's number in hundredths.
    pub(super) number: u32,
    /// People on the floor.
    pub(super) people: Vec<Stand>,
    /// Props in the picture, or on their way in or out.
    pub(super) props: Vec<There>,
}

/// One person in one cue.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stand {
    pub(super) person: PersonId,
    /// The mark that the cue ends on.
    pub(super) mark: Option<MarkId>,
    /// The mark of the cue before.
    pub(super) from: Option<MarkId>,
    /// The drawn line.
    pub(super) line: Option<LineId>,
    /// Index in the show's list of placements.
    pub(super) index: usize,
}

/// One prop in one cue.
#[derive(Clone, Copy, Debug)]
pub(super) struct There {
    pub(super) prop: PropId,
    /// Where it stands once its moves have ended.
    pub(super) end: StagePoint,
    /// Index in the show's list of prop states.
    pub(super) index: usize,
    /// Whether it travels in this cue.
    pub(super) travels: Travels,
}

/// Whether a prop stands still in a cue.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Travels {
    /// It stands where it ends; it may grow there.
    No,
    /// It goes from where it starts to where it ends.
    Once,
    /// It goes away, and is gone where it ends.
    Away,
    /// It goes round or swings, and never stands.
    Always,
}

impl There {
    /// The place at which it stands still, at last or all along; `None` for what never does, or is then gone.
    pub(super) fn rests_at(&self) -> Option<StagePoint> {
        matches!(self.travels, Travels::No | Travels::Once).then_some(self.end)
    }

    /// True when it travels in this cue.
    pub(super) fn moves(&self) -> bool {
        self.travels != Travels::No
    }
}

/// The cast of every cue.
pub(super) fn cast(show: &Show) -> Vec<Cast> {
    let mut stands: Vec<Option<MarkId>> = vec![None; show.people.len()];
    let cues = show.cues.iter();
    cues.map(|cue| {
        let states = (usize::from(cue.props.first)..).zip(show.props_in(cue));
        let props = states.filter_map(|(index, state)| there(show, cue, (index, state))).collect();
        let people = show.places_in(cue).iter().enumerate().map(|(i, place)| Stand {
            person: place.person,
            mark: place.mark,
            from: stands.get(place.person.index()).copied().flatten(),
            line: place.line,
            index: usize::from(cue.places.first) + i,
        });
        let cast = Cast { number: cue.number, people: people.collect(), props };
        // Who is not named is not on the floor.
        stands.fill(None);
        for stand in &cast.people {
            if let Some(place) = stands.get_mut(stand.person.index()) {
                *place = stand.mark;
            }
        }
        cast
    })
    .collect()
}

/// Where the cue's moves take a prop.
fn there(show: &Show, cue: &Cue, (index, state): (usize, &CueProp)) -> Option<There> {
    let end = Placement::after(show, cue, state.prop)?.at;
    let travels = match (sweep::travels(show, cue, state, (0.0, f32::INFINITY)), motion::period_s(show, state)) {
        (false, _) => Travels::No,
        (true, Some(_)) => Travels::Always,
        (true, None) if life::gone_after_s(show, state).is_finite() => Travels::Away,
        (true, None) => Travels::Once,
    };
    Some(There { prop: state.prop, end, index, travels })
}
