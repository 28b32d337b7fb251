//! How near a moving prop and a person come, and whether that leaves the room that a person needs.

pub mod apart;
pub(in crate::walk) mod least;

use crate::geom::{GeomError, Prepared, Region, Ring, Rounded, StagePoint, StageVector};
use crate::props::pieces::{self, Piece};
use crate::props::reach::MOVING_M;
use crate::props::{Placement, Reach, footprint, life, motion};
use crate::show::{Cue, CueProp, Part, Prop, Show};
use crate::walk::meet::least::{Facing, Found, Sample, Search};
use crate::walk::phase::Phase;
use crate::walk::walker::Walker;

/// The moment at which a prop and a person are nearest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Meeting {
    /// When, seconds after the start of the cue: the first time when it is kept for a while.
    pub at_s: f32,
    /// Where the person is then.
    pub place: StagePoint,
    /// From the body's edge to the footprint, metres, or what is left of that beyond what is needed
    /// ([`least_spare`]); negative when they overlap, or when so much is missing.
    pub gap_m: f32,
    /// How fast the prop goes then, metres per second.
    pub speed_mps: f32,
    /// Index of the prop's part that is nearest.
    pub part: u8,
}

/// The least distance between a person's body and a prop over the times of `over`, seconds after the start of the
/// cue: never more than a millimetre above the least there is, over all moments, none left out.
///
/// Counted are the times at which a part reaches above the floor and below 2.3 m, from the start of its motion on,
/// announced or not, until the prop is gone ([`life`]). A ring that travels counts as its filled disc. `None` when
/// there is no such time.
///
/// # Errors
/// [`GeomError`] for a footprint that cannot be used.
pub fn least_gap(
    show: &Show,
    cue: &Cue,
    state: &CueProp,
    walker: &Walker<'_>,
    over: (f32, f32),
) -> Result<Option<Meeting>, GeomError> {
    Question { show, cue, state, walker, reach: None }.answer(over, None)
}

/// The least room to spare: as [`least_gap`], with the room of `reach` taken off.
///
/// While the prop travels, the distance is that to its footprint carried on by velocity × lead, and 0.50 m are
/// needed; while it stands, the clearance from what stands still. The survey's allowance comes on top.
/// These are the keep-outs of [`crate::props::keepout`] at every moment: the way ahead is straight, also where the prop
/// is going to stop or turn before, so somebody whom it never reaches may be short of this room.
///
/// # Errors
/// As [`least_gap`].
pub fn least_spare(
    show: &Show,
    cue: &Cue,
    state: &CueProp,
    walker: &Walker<'_>,
    reach: &Reach,
    over: (f32, f32),
) -> Result<Option<Meeting>, GeomError> {
    Question { show, cue, state, walker, reach: Some(reach) }.answer(over, None)
}

/// The first moment over the times of `over` at which the prop is `gap_m` or less from the person's body, to half a
/// millisecond; `None` when it stays farther away. What counts, and the gap, are those of [`least_gap`]: with 0 this
/// is when they touch.
///
/// # Errors
/// As [`least_gap`].
pub fn first_within(
    show: &Show,
    cue: &Cue,
    state: &CueProp,
    walker: &Walker<'_>,
    gap_m: f32,
    over: (f32, f32),
) -> Result<Option<Meeting>, GeomError> {
    Question { show, cue, state, walker, reach: None }.answer(over, Some(gap_m))
}

struct Question<'q> {
    show: &'q Show,
    cue: &'q Cue,
    state: &'q CueProp,
    walker: &'q Walker<'q>,
    reach: Option<&'q Reach>,
}

/// A part as seen from its prop's place.
struct Shape {
    set: Prepared,
    ring: Option<Ring>,
}

impl Question<'_> {
    /// The least over all parts, or the first moment within a limit.
    fn answer(&self, over: (f32, f32), limit_m: Option<f32>) -> Result<Option<Meeting>, GeomError> {
        let Some(prop) = self.show.props.get(self.state.prop.index()) else { return Ok(None) };
        let from_s = over.0.max(0.0);
        let mut to_s = over.1.min(life::gone_after_s(self.show, self.state));
        if let Some(period_s) = motion::period_s(self.show, self.state) {
            // Once the person rests, one period shows it all.
            to_s = to_s.min(from_s.max(self.walker.rests_s()) + period_s);
        }
        if to_s < from_s {
            return Ok(None);
        }
        let mut search = Search::new();
        for (i, part) in self.show.parts_of(prop).iter().enumerate() {
            let shape = Shape::of(self.show, prop, part)?;
            pieces::each(self.show, self.cue, self.state, (from_s, to_s), &mut |piece| {
                let Some(low_s) = piece.low_s(part) else { return };
                self.walker.phases(low_s, &mut |phase, span_s| {
                    let sample = |t_s: f32| self.sample(&shape, (piece, phase), t_s);
                    let (lead_s, _) = self.needs(piece);
                    let bend = piece.bend_bound() + phase.bend_mps2() + lead_s * piece.jerk_bound();
                    match limit_m {
                        None => search.over(span_s, bend, (i as u8, *piece), &sample),
                        Some(limit_m) => search.first(span_s, (bend, limit_m), (i as u8, *piece), &sample),
                    }
                });
            });
        }
        Ok(search.found().map(|found| self.meeting(&found)))
    }

    /// The distance at one moment of a piece and a phase.
    fn sample(&self, shape: &Shape, (piece, phase): (&Piece, &Phase), t_s: f32) -> Sample {
        let (lead_s, needed_m) = self.needs(piece);
        let (at, velocity) = piece.travel(t_s);
        let (from, ahead) = (phase.place(t_s) - at, velocity * lead_s);
        let seen = StagePoint::default() + from;
        let (distance_m, facing) = match shape.ring.filter(|_| !piece.travels()) {
            Some(ring) => {
                let (outer_m, inner_m, out) = ring.circles_from(seen);
                let facing = Facing::Ring { outer_m: outer_m - needed_m, inner_m: inner_m - needed_m, out };
                (ring.signed_distance(seen), facing)
            }
            None => {
                let near = shape.set.near(seen, ahead);
                (near.distance_m, Facing::Convex(near.out))
            }
        };
        Sample { t_s, from, ahead, value_m: distance_m - needed_m, facing }
    }

    /// The lead, seconds, and what the distance of the midpoint between the heels is measured from, metres.
    fn needs(&self, piece: &Piece) -> (f32, f32) {
        let body_m = self.walker.body_m;
        match self.reach {
            None => (0.0, body_m),
            Some(reach) if piece.travels() => (reach.lead_s, body_m + MOVING_M + reach.allowance_m),
            Some(reach) => (0.0, body_m + reach.still_m + reach.allowance_m),
        }
    }

    fn meeting(&self, found: &Found<(u8, Piece)>) -> Meeting {
        let (part, piece) = found.of;
        let speed_mps = piece.travel(found.t_s).1.length();
        Meeting { at_s: found.t_s, place: self.walker.place_at(found.t_s), gap_m: found.value_m, speed_mps, part }
    }
}

impl Shape {
    fn of(show: &Show, prop: &Prop, part: &Part) -> Result<Self, GeomError> {
        let own = Placement { at: StagePoint::default(), velocity: StageVector::default(), ..Placement::resting(prop) };
        Ok(match footprint::of_part(show, part, &own)? {
            Region::Rounded(set) => Self { set: Prepared::new(&set), ring: None },
            Region::Ring(ring) => {
                let (centre, radius_m) = ring.filled();
                Self { set: Prepared::new(&Rounded::disc(centre, radius_m)?), ring: Some(ring) }
            }
        })
    }
}
