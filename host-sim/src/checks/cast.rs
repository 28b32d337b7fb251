//! Who and what is where in each cue, read off the running order.

use underfoot_core::geom::{StagePoint, StageVector};
use underfoot_core::props::Placement;
use underfoot_core::show::{Cue, CueProp, LineId, MarkId, MotionKind, PersonId, PropId, Show};
use underfoot_core::units::Angle;

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

/// One prop in one cue: where it starts and where it ends.
#[derive(Clone, Copy, Debug)]
pub(super) struct There {
    pub(super) prop: PropId,
    pub(super) start: StagePoint,
    pub(super) end: StagePoint,
    /// The motion that starts with the cue.
    pub(super) motion: Option<MotionKind>,
}

impl There {
    /// The places at which it stands still: one, or two when it moves in between.
    pub(super) fn places(&self) -> impl Iterator<Item = StagePoint> + use<> {
        let again = (self.start != self.end).then_some(self.end);
        std::iter::once(self.start).chain(again)
    }

    /// Places all along its motion, 0.1 m apart or less: what a proposed fix keeps clear of. No check of
    /// the motion itself.
    pub(super) fn swept(&self, show: &Show) -> Vec<StagePoint> {
        let mut places: Vec<StagePoint> = self.places().collect();
        match self.motion {
            Some(MotionKind::Keys { keys, .. }) => {
                for pair in keys.of(&show.motion_keys).windows(2) {
                    let steps = (pair[0].place.distance(pair[1].place) / 0.1).ceil().max(1.0);
                    let step = (pair[1].place - pair[0].place) * (1.0 / steps);
                    places.extend((0..=steps as u32).map(|i| pair[0].place + step * i as f32));
                }
            }
            Some(MotionKind::Circle { centre, radius_m, .. }) => {
                let steps = (radius_m * std::f32::consts::TAU / 0.1).ceil().max(8.0);
                places.extend((0..steps as u32).map(|i| {
                    let (sin, cos) = Angle::from_degrees(i as f32 * 360.0 / steps).sin_cos();
                    centre + StageVector::new(cos, sin) * radius_m
                }));
            }
            Some(MotionKind::Pendulum { pivot, length_m, swing_deg, plane_deg, .. }) => {
                let reach_m = length_m * Angle::from_degrees(swing_deg).sin_cos().0;
                let (sin, cos) = Angle::from_degrees(plane_deg).sin_cos();
                let steps = (2.0 * reach_m / 0.1).ceil().max(2.0);
                places.extend(
                    (0..=steps as u32)
                        .map(|i| pivot + StageVector::new(cos, sin) * (reach_m * (2.0 * i as f32 / steps - 1.0))),
                );
            }
            Some(MotionKind::Grow { .. } | MotionKind::Presence) | None => {}
        }
        places
    }
}

/// The cast of every cue.
pub(super) fn cast(show: &Show) -> Vec<Cast> {
    let mut stands: Vec<Option<MarkId>> = vec![None; show.people.len()];
    let cues = show.cues.iter();
    cues.map(|cue| {
        let props = show.props_in(cue).iter().filter_map(|state| there(show, cue, state)).collect();
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

/// Where the cue's moves take a prop: from the first key of a keyed move, else from where it already stands.
fn there(show: &Show, cue: &Cue, state: &CueProp) -> Option<There> {
    let end = Placement::after(show, cue, state.prop)?.at;
    let motion = state.motion.and_then(|m| show.motions.get(m.index())).map(|m| m.kind);
    let start = match motion {
        Some(MotionKind::Keys { keys, .. }) => keys.of(&show.motion_keys).first().map_or(end, |k| k.place),
        _ => end,
    };
    Some(There { prop: state.prop, start, end, motion })
}
